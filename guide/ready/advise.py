"""What a colleague would say to a class, with or without a voice."""

from typing import TYPE_CHECKING

from guide.plan.advice import registry
from guide.plan.advice.estimated_plan import estimated_view
from guide.plan.advice.view import Advice, ClassView
from guide.plan.timeline import Timeline
from guide.problem import FaultyFile
from guide.ready.choices import USUAL_RATE
from guide.ready.load import LoadedClass, with_slot
from guide.sequence.expand import library_of
from guide.sequence.model import ClassFile
from guide.sequence.steps import Steps

if TYPE_CHECKING:
    from guide.ready.make_ready import ReadyClass


def advise(of: "LoadedClass | ReadyClass", slot_ms: int | None = None) -> tuple[Advice, ...]:
    """All the advice on a class that its file does not silence, sorted by place; none on a file of blocks.

    How long the words of a loaded class take is estimated, so that no voice is needed; `slot_ms` goes before the slot
    that its file gives. A class that was made ready is judged as it is.

    Raises:
        FaultyFile: with every problem of a loaded class.
    """
    if not isinstance(of, LoadedClass):
        return registry.advise(view_of(of))
    if of.problems:
        raise FaultyFile(of.problems)
    if of.class_file is None or of.steps is None:
        return ()
    rate = of.class_file.voice_rate or USUAL_RATE
    return registry.advise(estimated_view(of.class_file, with_slot(of.steps, slot_ms), library_of(of.class_file), rate))


def view_of(ready: "ReadyClass") -> ClassView:
    """A class that was made ready, with the pose library as its file has it."""
    return planned_view(ready.class_file, ready.steps, ready.timeline)


def planned_view(class_file: ClassFile, steps: Steps, timeline: Timeline) -> ClassView:
    """A class with its plan, and the pose library as its file has it."""
    return ClassView(class_file, steps, timeline, library_of(class_file))
