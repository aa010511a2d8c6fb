"""Courses made from the text of a class, with estimated lengths of its words."""

from pathlib import Path

from guide.live.course import Course, begin
from guide.plan.counting import counted
from guide.plan.estimate import EstimatedLengths
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.sequence.expand import expand
from guide.sequence.reader import read_text
from guide.sequence.steps import Steps

SEQUENCES = Path(__file__).parents[2] / "sequences"


class SoundLengths(dict[str, int]):
    """Every bell lasts two seconds."""

    def __missing__(self, name: str) -> int:
        return 2000


def course_of(steps: Steps) -> Course:
    word_ms, sound_ms = EstimatedLengths(0.75), SoundLengths()
    fitted = fit(steps, word_ms, sound_ms)
    counted(fitted.steps, word_ms, sound_ms)
    return begin(fitted.steps, word_ms, sound_ms, plan(fitted.steps, word_ms, sound_ms))


def course(entries: str, head: str = "") -> Course:
    return course_of(expand(read_text(f"title: T\n{head}class:\n{entries}", "class.yaml", SEQUENCES)))


def shipped(name: str) -> Course:
    path = SEQUENCES / f"{name}.yaml"
    return course_of(expand(read_text(path.read_text(encoding="utf-8"), path.name, SEQUENCES)))
