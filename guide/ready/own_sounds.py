"""The sound files that a class brings itself: whether they can be rung."""

from collections.abc import Iterator
from pathlib import Path

from guide.problem import Problem, UnusableChoice
from guide.sequence.model import ClassFile
from guide.sequence.sound_names import PALETTE_NAMES


def faulty_sounds(class_file: ClassFile, folder: Path) -> Iterator[Problem]:
    """A problem for each sound file that cannot be read, at the place that names it."""
    own = {role: sound for role, sound in class_file.sounds.items() if sound not in PALETTE_NAMES}
    if not own:
        return
    from guide.sound.palette import load

    for role, sound in own.items():
        try:
            load([sound], folder)
        except UnusableChoice as error:
            what, _, fix = str(error).partition("; ")
            yield Problem(class_file.sound_places[role], what, fix)
