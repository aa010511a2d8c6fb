"""The voices that can be asked for by name."""

from collections.abc import Callable
from difflib import get_close_matches

from guide.problem import UnusableChoice
from guide.voice.protocol import Voice

DEFAULT = "natural"

#: The teacher's own voice: her takes, and the default voice for what she has not recorded.
OWN = "own"


def _natural(which: str) -> Voice:
    from guide.voice.natural import open_natural

    return open_natural(which)


def _system(which: str) -> Voice:
    from guide.voice.system import open_system

    return open_system(which)


#: Every engine by the word before the colon in a voice's name; each is given the word after it, or "".
ENGINES: dict[str, Callable[[str], Voice]] = {
    "natural": _natural,
    "system": _system,
    # By itself it has no takes: those belong to a class.
    OWN: _natural,
}


def open_voice(name: str) -> Voice:
    """The voice called `name`: `natural`, `system`, or `system:` and the id of one of the machine's own voices.

    Raises:
        UnusableChoice: there is no such voice.
        MachineTrouble: its engine is not installed or does not start.
    """
    engine, _, which = name.strip().partition(":")
    if engine not in ENGINES:
        near = get_close_matches(engine, ENGINES, n=1)
        meant = f"did you mean “{near[0]}”?" if near else "`guide voices` lists them"
        raise UnusableChoice(f"there is no voice “{name}” ({meant})")
    return ENGINES[engine](which)


def wake_default() -> None:
    """Have the default voice ready to speak in this process. Raises MachineTrouble where it cannot."""
    from guide.voice.natural import wake

    wake()
