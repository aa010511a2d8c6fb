"""What a rule of advice looks at, and what it gives.

To add a rule, write a module with `NAME`, `REASON` and `advise(view) -> Iterator[Advice]`, put its name into
`sequence/advice_names.py` and the module into `registry.RULES`, and write a class that deserves it under
`tests/plan/advice/`.
"""

from dataclasses import dataclass

from guide.plan.timeline import Cue, Span, Timeline
from guide.problem import Place
from guide.sequence.model import ClassFile
from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Pose
from guide.sequence.steps import Step, Steps


@dataclass(frozen=True, slots=True, order=True)
class Advice:
    """One thing that a colleague would say: where, by which rule, what it is, and what could be done.

    `steps` are the indices of the steps it is about; it is silenced when one of them lets the rule be.
    """

    place: Place
    rule: str
    what: str
    fix: str
    steps: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class ClassView:
    """A class as the rules see it: as written, in steps, and in time, with the pose library (and the file's own poses).

    The timeline may be made from estimated lengths of the words. `steps.steps[n]` and `timeline.spans[n]` are the same
    step.
    """

    class_file: ClassFile
    steps: Steps
    timeline: Timeline
    library: Library

    def pose(self, number: int) -> Pose | None:
        """What the library knows of the pose of a step."""
        known = self.steps.steps[number].known
        return None if known is None else self.library.find(known)

    def step(self, number: int) -> Step:
        """The step with this number, as written."""
        return self.steps.steps[number]

    def span(self, number: int) -> Span:
        """The step with this number, in time."""
        return self.timeline.spans[number]

    def cues(self, number: int) -> tuple[Cue, ...]:
        """The cues of a step, in the order in which they are said."""
        return tuple(cue for cue in self.timeline.cues if cue.step == number)
