"""A class in time without a voice: planned with estimated lengths of its words, for the rules to look at."""

from guide.plan.advice.view import ClassView
from guide.plan.estimate import EstimatedLengths
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.sequence.model import ClassFile
from guide.sequence.poses.library import Library
from guide.sequence.steps import Steps

#: About how long a bell or a chime rings. Nothing in a class waits for more than its first seconds.
SOUND_MS = 3000


def estimated_view(class_file: ClassFile, steps: Steps, library: Library, rate: float) -> ClassView:
    """The class as its rules see it, filling its slot where it has one; `rate` is that of the voice.

    `library` has the file's own poses in it.
    """
    word_ms = EstimatedLengths(rate)
    sounds = steps.sounds
    names = {sounds.klass, sounds.inhale, sounds.exhale, sounds.pause}
    names |= {section.bell_sound for section in steps.sections} | {step.bell_sound for step in steps.steps}
    sound_ms = dict.fromkeys(names, SOUND_MS)
    fitted = fit(steps, word_ms, sound_ms)
    return ClassView(class_file, fitted.steps, plan(fitted.steps, word_ms, sound_ms), library)
