"""From the name of a class file to its proven timeline: the one road that every command takes."""

import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from linecache import getline
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.options import USUAL_RATE
from guide.problem import FaultyFile, GuideError, Place, Problem, UnusableChoice
from guide.sequence.expand import unroll
from guide.sequence.model import ClassFile
from guide.sequence.steps import Count, Steps

if TYPE_CHECKING:
    from guide.plan.timeline import Note, Timeline
    from guide.sequence.reader import Read
    from guide.sound.palette import Palette
    from guide.voice.class_clips import SpokenClips, VoiceSettings

STDIN = "-"


@dataclass(frozen=True, slots=True)
class VoiceChoice:
    """What the command line asks of the voice; None leaves it to the class file."""

    name: str | None = None
    rate: float | None = None


@dataclass(frozen=True, slots=True)
class LookedInto:
    """What a file holds: the class and its steps, None where it holds blocks alone, and every problem found.

    With problems the steps are those that could be made.
    """

    class_file: ClassFile | None
    steps: Steps | None
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class ReadyClass:
    """A class with everything that performing it takes; `steps` are those that fill the slot."""

    class_file: ClassFile
    steps: Steps
    spoken: "SpokenClips"
    palette: "Palette"
    sound_ms: Mapping[str, int]
    timeline: "Timeline"


def open_class(file: str) -> tuple[ClassFile, Steps]:
    """The class in `file` and its steps; `-` reads standard input, with paths in it taken from the current folder.

    Raises:
        FaultyFile: with every problem in it.
        UnusableChoice: there is no such file, it cannot be read, or it holds blocks and no class.
    """
    found = look_into(file)
    if found.problems:
        raise FaultyFile(found.problems)
    if found.class_file is None or found.steps is None:
        raise UnusableChoice(f"{file}: holds blocks and no class (name a class file; blocks are used from one)")
    return found.class_file, found.steps


def look_into(file: str) -> LookedInto:
    """What is in a class file or a block file, and everything that is wrong with it.

    Raises UnusableChoice where there is no such file, or it cannot be read.
    """
    made = _looked(file)
    if made.class_file is None:
        return LookedInto(None, None, made.problems)
    expanded = unroll(made.class_file)
    return LookedInto(made.class_file, expanded.steps, (*made.problems, *map(with_line, expanded.problems)))


def _looked(file: str) -> "Read":
    from guide.sequence import source
    from guide.sequence.reader import look

    if file == STDIN:
        return look(sys.stdin.buffer.read(), "<stdin>", Path.cwd())
    path = Path(file)
    return look(source.from_file(path), file, path.parent)


def with_line(problem: Problem) -> Problem:
    """The problem with the line of its file to show, where the file is one that can be read again."""
    return replace(problem, source=getline(problem.place.file, problem.place.line).rstrip("\r\n"))


def with_slot(steps: Steps, slot_ms: int | None) -> Steps:
    """The steps with another slot, where one is given."""
    return steps if slot_ms is None else replace(steps, slot_ms=slot_ms)


def make_ready(file: str, choice: VoiceChoice, slot_ms: int | None = None, spare_numbers: int = 0) -> ReadyClass:
    """Read, expand, speak, fit, plan and prove a class; `slot_ms` goes before the slot that the file gives.

    Where breaths are counted aloud, so many numbers are spoken beyond those of the plan, for holds that may grow.

    Raises:
        GuideError: whatever is wrong with the file or the machine, said for a person.
    """
    opened = OpenClass.of(file, choice, slot_ms)
    spoken = opened.speak(opened.wanted)
    numbers = opened.numbers(spoken.lengths_ms(), spare_numbers)
    if numbers:
        spoken = opened.speak(opened.wanted | numbers)
    steps, timeline = opened.planned(spoken.lengths_ms())
    notes = (*timeline.notes, *_unknown_poses(opened.class_file, steps, timeline))
    timeline = replace(timeline, notes=notes)
    return ReadyClass(opened.class_file, steps, spoken, opened.palette, opened.sound_ms, timeline)


@dataclass(frozen=True, slots=True)
class OpenClass:
    """A class that has been read, and its sounds; `wanted` are its words, each with the place that it comes from."""

    class_file: ClassFile
    steps: Steps
    palette: "Palette"
    sound_ms: Mapping[str, int]
    wanted: dict[str, Place]
    settings: "VoiceSettings"

    @staticmethod
    def of(file: str, choice: VoiceChoice, slot_ms: int | None) -> "OpenClass":
        """Raises GuideError for whatever is wrong with the file or its sounds."""
        from guide.sound.palette import load

        class_file, steps = open_class(file)
        steps = with_slot(steps, slot_ms)
        names = _sound_names(steps)
        palette = load(names, _folder(file))
        wanted = {words.text: words.place for step in steps.steps for words in (*step.entry, *step.words)}
        sound_ms = {name: palette.length_ms(name) for name in names}
        return OpenClass(class_file, steps, palette, sound_ms, wanted, _settings(class_file, choice))

    def numbers(self, word_ms: Mapping[str, int], spare: int) -> dict[str, Place]:
        """The numbers that the plan will count aloud, and so many beyond the highest."""
        from guide.plan.breath_counting import counted
        from guide.plan.fitting.fit import fit

        if all(step.count is not Count.VOICE for step in self.steps.steps):
            return {}
        fitted = fit(self.steps, word_ms, self.sound_ms)
        numbers = counted(fitted.steps, word_ms, self.sound_ms)
        highest = max((int(number) for number in numbers if number.isdigit()), default=0)
        more = map(str, range(highest + 1, highest + 1 + spare if highest else 0))
        return dict.fromkeys((*numbers, *more), self.class_file.place)

    def speak(self, wanted: Mapping[str, Place]) -> "SpokenClips":
        """The words as speech, with a bar that shows how far it is."""
        from guide.sound.clip_finish import FINISH
        from guide.voice.class_clips import speak_all

        with progress_bar("Speaking the words") as told:
            return speak_all(list(wanted.items()), self.settings, FINISH, told)

    def planned(self, word_ms: Mapping[str, int]) -> tuple[Steps, "Timeline"]:
        """The steps that fill the slot, and their plan, proved."""
        from guide.plan.checker import prove
        from guide.plan.fitting.fit import fit
        from guide.plan.scheduler import plan

        fitted = fit(self.steps, word_ms, self.sound_ms)
        timeline = fitted.told(plan(fitted.steps, word_ms, self.sound_ms))
        prove(fitted.steps, timeline, word_ms)
        return fitted.steps, timeline


def _unknown_poses(class_file: ClassFile, steps: Steps, timeline: "Timeline") -> "Iterator[Note]":
    """A note for each pose that the library does not know: it gets no words, and its name may only be misspelt."""
    from guide.plan.advice import unknown_pose
    from guide.plan.advice.registry import advise
    from guide.plan.advice.view import ClassView
    from guide.plan.timeline import Note
    from guide.sequence.expand import library_of

    for advice in advise(ClassView(class_file, steps, timeline, library_of(class_file))):
        if advice.rule == unknown_pose.NAME:
            yield Note(advice.place, f"{advice.what} ({advice.fix})")


def _sound_names(steps: Steps) -> list[str]:
    sounds = steps.sounds
    bells = {section.bell_sound for section in steps.sections} | {step.bell_sound for step in steps.steps}
    return sorted(bells | {sounds.klass, sounds.inhale, sounds.exhale, sounds.pause})


def _folder(file: str) -> Path:
    return Path.cwd() if file == STDIN else Path(file).parent


def _settings(class_file: ClassFile, choice: VoiceChoice) -> "VoiceSettings":
    from guide.voice.class_clips import VoiceSettings
    from guide.voice.registry import DEFAULT

    return VoiceSettings(
        name=choice.name or class_file.voice or DEFAULT,
        rate=choice.rate or class_file.voice_rate or USUAL_RATE,
        lexicon=dict(class_file.pronounce),
    )


@contextmanager
def progress_bar(label: str) -> Iterator[Callable[[int, int], None]]:
    """A bar on standard error that is told (done, total); nothing is shown where that is not a terminal."""
    shown = sys.stderr.isatty()

    def told(done: int, total: int) -> None:
        if shown and total:
            width = 24
            full = width * done // total
            bar = "█" * full + "·" * (width - full)
            click.echo(f"\r{label} {bar} {100 * done // total} %", nl=False, err=True)

    try:
        yield told
    finally:
        if shown:
            click.echo("\r\033[K", nl=False, err=True)


def each(files: Iterable[str], work: Callable[[str], None]) -> int:
    """Do the work for every file, telling what goes wrong with one and going on with the next.

    Returns the exit code: the highest of the errors met, 0 where there were none.
    """
    code = 0
    for file in files:
        try:
            work(file)
        except GuideError as error:
            click.echo(str(error), err=True)
            code = max(code, error.exit_code)
    return code
