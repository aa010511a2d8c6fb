"""What advice once was wrong about, or silent about, each in a class of a few lines."""

from advice_samples import rules_of
from rows import each_row


def bare(entries: str, top: str = "") -> str:
    """A class of these entries and nothing else."""
    return f"title: T\n{top}class:\n{entries}"


def poses(*names: str) -> str:
    return "".join(f"  - {{pose: {name}, hold: 5 breaths}}\n" for name in names)


CATS = "  - rounds: 5\n    of:\n      - inhale: Drop your belly, lift your chest.\n      - exhale: Round your back.\n"
MOON = ("high lunge", "warrior three", "half moon")
ONE_LEG = "  - rounds: 3\n    of:\n      - inhale: Step the right foot back.\n      - exhale: Plank.\n"

#: The class, and the rule that has nothing to say to it.
SOUND = [
    (bare(poses("bridge", "shoulderstand", "fish")), "unprepared"),
    (bare(poses("bridge", "wheel", "wheel", "shoulderstand")), "unprepared"),
    (bare("  - both sides:\n" + "".join(f"      - pose: {name}\n" for name in MOON)), "unprepared"),
    (bare("  - pose: sleeping pigeon\n    hold: 4 min each side\n", "style: yin\n"), "unprepared"),
    (bare("  - inhale: Come to hands and knees.\n  - exhale:\n" + CATS + poses("puppy")), "unprepared"),
    (bare("  - rounds: 4\n    of: sun salutation A\n"), "said again"),
    (bare("  - rounds: 5\n    of: sun salutation B\n"), "said again"),
]

#: The class, and the rule that has.
FAULTY = [
    (
        bare(poses("chair", "tree") + "  - rest: 3 min\n    pose: final rest\n" + poses("plank", "boat")),
        "effort after rest",
    ),
    (bare(poses("downward dog") + ONE_LEG), "one side"),
    (bare(poses("child's pose") + "  - both sides: warrior two\n    hold: 4 breaths\n"), "no way"),
]


@each_row("text, rule", SOUND)
def test_what_is_sound_is_left_alone(text: str, rule: str) -> None:
    assert rule not in rules_of(text)


@each_row("text, rule", FAULTY)
def test_what_is_faulty_is_told(text: str, rule: str) -> None:
    assert rule in rules_of(text)
