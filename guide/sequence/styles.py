"""Styles of teaching: what a class of one takes for granted, so that its file need not say it.

Whatever a file says itself goes before its style. The numbers are common practice, no source.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Condition, Pose
from guide.sequence.steps import BY_CHIMES, UNCOUNTED, BellWhen, Counting, InBreaths, InTime, Pace

#: A pose that is ever kept for so many breaths is one to stay in, and a style may say for how long.
LONG_BREATHS = 10


@dataclass(frozen=True, slots=True)
class Style:
    """What a style takes for granted.

    - `pace`, `count` and `bell_step` (around each pose) hold where the file gives none.
    - `stay` is how long a pose to stay in is kept where nothing else is written; None leaves that to the library.
    - `say_breaths` is whether a move says "Inhale" or "Exhale" in front of its words.
    - `names` are names that mean another pose in this style than elsewhere.
    - `avoid` is whom it is for, and `let_be` the rules of advice that are not for it.
    """

    pace: Pace
    count: Counting
    bell_step: BellWhen = BellWhen.NONE
    stay: InTime | None = None
    say_breaths: bool = True
    names: Mapping[str, str] = field(default_factory=dict)
    avoid: tuple[Condition, ...] = ()
    let_be: frozenset[str] = frozenset()


def _pace(inhale_ms: int, exhale_ms: int) -> Pace:
    return Pace(Fraction(inhale_ms), Fraction(0), Fraction(exhale_ms), Fraction(0))


def _minutes(least: int, usual: int, most: int) -> InTime:
    return InTime(least * 60_000, usual * 60_000, most * 60_000)


#: A class of no style: four seconds in and four out, 7.5 breaths a minute, slow and easy.
USUAL = Style(pace=_pace(4000, 4000), count=BY_CHIMES)

STYLES: Mapping[str, Style] = {
    "yin": Style(
        pace=_pace(4000, 6000),
        count=UNCOUNTED,
        bell_step=BellWhen.END,
        stay=_minutes(2, 3, 5),
        say_breaths=False,
        names={"butterfly": "yin butterfly", "pigeon": "swan", "straddle": "dragonfly"},
        let_be=frozenset({"long hold", "unprepared", "no counter", "backbend to fold"}),
    ),
    "restorative": Style(
        pace=_pace(4000, 6000),
        count=UNCOUNTED,
        stay=_minutes(5, 8, 15),
        say_breaths=False,
        names={
            "reclining bound angle": "supported reclining bound angle",
            "seated forward fold": "supported seated fold",
            "final rest": "supported final rest",
            "side-lying rest": "supported side-lying rest",
            "child's pose": "supported child's pose",
            "twist": "prone twist on a bolster",
        },
        let_be=frozenset({"long hold", "unprepared", "no counter", "backbend to fold"}),
    ),
    "chair": Style(
        pace=_pace(4000, 4000),
        count=BY_CHIMES,
        names={
            "cat and cow": "chair cat and cow",
            "warrior one": "chair warrior one",
            "warrior two": "chair warrior two",
            "side angle": "chair side angle",
            "twist": "twist on a chair",
            "chair twist": "twist on a chair",
            "forward fold": "chair forward fold",
            "pigeon": "seated figure four",
            "final rest": "chair-seated rest",
        },
    ),
    "prenatal": Style(
        pace=_pace(4000, 5000),
        count=BY_CHIMES,
        names={
            "final rest": "supported side-lying rest",
            "twist": "open seated twist",
            "squat": "supported squat",
            "child's pose": "wide child's pose",
        },
        avoid=(Condition.PREGNANCY,),
    ),
}


def styled(library: Library, style: Style) -> Library:
    """The library with the names that mean another pose in this style."""
    meant = {name: pose for name, known in style.names.items() if (pose := library.find(known)) is not None}
    return library.calling(meant) if meant else library


def stay_in(pose: Pose | None, style: Style) -> InBreaths | InTime | None:
    """How long a pose is kept where the file says nothing: as its style says, or as the library does."""
    if pose is None:
        return None
    return style.stay if style.stay and pose.hold.most >= LONG_BREATHS else pose.hold
