"""The sound files that a class brings itself: whether they can be rung, and played."""

from collections.abc import Iterator
from pathlib import Path

from guide.problem import Place, Problem, UnusableChoice
from guide.sequence.model import ClassFile
from guide.sequence.sound_names import BEDS, PALETTE_NAMES, music_files
from guide.sequence.steps import Steps


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
            yield _problem(class_file.sound_places[role], error)


def faulty_music(steps: Steps) -> Iterator[Problem]:
    """A problem for each file of music that is no sound, or ends before its time, at the place that names it.

    What shows only where all of a file is read, shows when it is.
    """
    own = [one for one in steps.music_named() if one.source not in BEDS]
    if not own:
        return
    from guide.sound.sound_files import streamed

    for music in own:
        try:
            for path in music_files(Path(music.source)):
                streamed(path)
        except UnusableChoice as error:
            yield _problem(music.place, error)


def _problem(place: Place, error: UnusableChoice) -> Problem:
    """What is wrong with a file, and in the last brackets what to do, at the place that names it."""
    what, _, fix = str(error).removesuffix(")").rpartition(" (")
    return Problem(place, what, fix)
