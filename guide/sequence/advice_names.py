"""The names of the rules of advice, as a class file writes them under `let be`.

The rules themselves are in `plan/advice`; the reader needs their names to tell a misspelt one.
"""

ADVICE_NAMES = (
    "unknown pose",
    "one side",
    "wrong side",
    "long move",
    "no quiet",
    "many cues",
    "unprepared",
    "no counter",
    "backbend to fold",
    "no way",
    "wrists",
    "late strain",
    "no rest",
    "no settling",
    "no easier way",
    "slow breath",
    "long hold",
    "said again",
    "many words",
    "to avoid",
)
