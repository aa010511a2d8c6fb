"""From a class that was loaded to its proved timeline, with all that performing it takes."""

from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from guide.problem import GuideError, Place
from guide.ready.choices import USUAL_LUFS, USUAL_RATE, Cover, VoiceChoice
from guide.ready.load import LoadedClass, load, with_slot
from guide.sequence.expand import library_of
from guide.sequence.model import ClassFile
from guide.sequence.steps import Steps
from guide.sound.balance import USUAL_BALANCE, Balance
from guide.voice.cache import MUSIC, cache_folder
from guide.voice.class_clips import Progress, SpokenClips, VoiceSettings
from guide.voice.registry import DEFAULT, OWN
from guide.voice.takes.store import Takes

if TYPE_CHECKING:
    from guide.plan.fitting.fit import Fitted
    from guide.plan.timeline import Note, Timeline
    from guide.sound.music.shelf import MusicShelf
    from guide.sound.palette import Palette
    from guide.voice.worker_pool import Waking


@dataclass(frozen=True, slots=True)
class Album:
    """Where a track stands among those that belong together: it is number `number`, from 1, `of` so many."""

    title: str
    number: int
    of: int


@dataclass(frozen=True, slots=True)
class ReadyClass:
    """A class with everything that performing it takes; `steps` are those that fill the slot.

    `loudness_lufs` is how loud it is to be as a whole, `made_from` the files that it was read from and the takes beside
    it, with what each is. Its track has so many `channels`: 1, since all is heard in the middle, or the same twice;
    `room_tone` lies under all of it where the file or the command asks. `music` has the tapes of its music, which are
    made when they are asked for; `balance` says what is louder or softer than usual. `unrecorded` says how many lines
    its teacher, whose own voice speaks it, has not recorded; it is empty where there are none. Its track may be one of
    an `album`. Its `cover` may be the bytes of a picture, PNG or JPEG.
    """

    class_file: ClassFile
    steps: Steps
    spoken: SpokenClips
    palette: "Palette"
    sound_ms: Mapping[str, int]
    timeline: "Timeline"
    loudness_lufs: float
    made_from: Mapping[Path, str]
    music: "MusicShelf"
    channels: int = 1
    room_tone: bool = False
    unrecorded: str = ""
    album: Album | None = None
    balance: Balance = USUAL_BALANCE
    cover: Cover | bytes = Cover.CLASS


def make_ready(
    written: LoadedClass | str | Path,
    voice: str | None = None,
    voice_rate: float | None = None,
    slot_ms: int | None = None,
    loudness_lufs: float = USUAL_LUFS,
    progress: Progress | None = None,
) -> ReadyClass:
    """Speak, fit, plan and prove a class that was loaded, or lies in a file.

    Words that were spoken once are kept, and take no time again.

    Args:
        written: what `load` gave, or the path of a class file.
        voice: the name of the voice that speaks, as `guide voices` lists them; None leaves it to the file.
        voice_rate: how fast it speaks, from 0.5 to 2.0, where 1.0 is as the voice comes; None leaves it to the file.
        slot_ms: the time that the class fills; None leaves it to the file.
        loudness_lufs: how loud its sound is as a whole when it is written.
        progress: is told `(done, total)` while words are spoken; nothing is told where all are kept.

    Raises:
        FaultyFile: with every problem of the file.
        UnusableChoice: there is no such file, it holds no class, or there is no such voice, rate or sound.
        MachineTrouble: the words could not be spoken.
    """
    loaded = written if isinstance(written, LoadedClass) else load(written)
    opened = OpenClass.of(loaded, VoiceChoice(voice, voice_rate), slot_ms, progress)
    spoken, steps, timeline = opened.spoken(progress)
    notes = (*timeline.notes, *_unknown_poses(opened.class_file, steps, timeline))
    timeline = replace(timeline, notes=notes)
    sounds = opened.palette, opened.sound_ms
    return ReadyClass(
        opened.class_file,
        steps,
        spoken,
        *sounds,
        timeline,
        loudness_lufs,
        loaded.never_written_over(),
        opened.music,
        room_tone=opened.class_file.room_tone,
        unrecorded=opened.unrecorded,
    )


@dataclass(frozen=True, slots=True)
class OpenClass:
    """A class without faults, and its sounds; `wanted` are its words, each with the place that it comes from.

    `unrecorded` is as for `ReadyClass`; `notes` are about takes, and stand in every plan of it.
    """

    class_file: ClassFile
    steps: Steps
    palette: "Palette"
    sound_ms: Mapping[str, int]
    wanted: dict[str, Place]
    settings: VoiceSettings
    music: "MusicShelf"
    unrecorded: str = ""
    notes: "tuple[Note, ...]" = ()

    @staticmethod
    def of(
        loaded: LoadedClass, choice: VoiceChoice, slot_ms: int | None, progress: Progress | None = None
    ) -> "OpenClass":
        """Takes of the teacher's own voice, where that speaks, are measured, and `progress` is told.

        Raises GuideError for whatever is wrong with the file, its sounds or takes.
        """
        from guide.sound.music.shelf import MusicShelf
        from guide.sound.palette import load as load_sounds

        class_file, steps = loaded.whole()
        steps = with_slot(steps, slot_ms)
        names = sorted(steps.sound_names())
        palette = load_sounds(names, loaded.folder)
        wanted = {words.text: words.place for step in steps.steps for words in (*step.entry, *step.words)}
        sound_ms = {name: palette.length_ms(name) for name in names}
        settings = _settings(class_file, choice, loaded.folder)
        music = MusicShelf([one.source for one in steps.music_named()], cache_folder() / MUSIC)
        opened = OpenClass(class_file, steps, palette, sound_ms, wanted, settings, music)
        return opened if settings.takes is None else opened._in_own_voice(settings.takes, progress)

    def numbers(self, word_ms: Mapping[str, int], spare: int) -> dict[str, Place]:
        """The numbers that the plan will count aloud, and those of holds that have so many breaths more."""
        if all(step.count.numbers is None for step in self.steps.steps):
            return {}
        return self._numbers(self._fitted(word_ms), word_ms, spare)

    def speak(
        self, wanted: Mapping[str, Place], progress: Progress | None = None, waking: "Waking | None" = None
    ) -> SpokenClips:
        """The words as speech; those that are not kept are spoken by a voice that is `waking`, where there is one."""
        from guide.sound.clip_finish import FINISH
        from guide.voice.class_clips import speak_all

        return speak_all(list(wanted.items()), self.settings, FINISH, progress, waking=waking)

    def spoken(self, progress: Progress | None = None) -> "tuple[SpokenClips, Steps, Timeline]":
        """All of its words as speech and the numbers counted aloud, the steps that fill the slot, and their plan."""
        words = self.speak(self.wanted, progress)
        # Numbers change nothing of how long anything is.
        fitted = self._fitted(words.lengths_ms())
        numbers = self._numbers(fitted, words.lengths_ms(), 0)
        spoken = words.joined(self.speak(numbers, progress)) if numbers else words
        return spoken, *self._proved(fitted, spoken.lengths_ms())

    def known_lengths(self) -> Mapping[str, int]:
        """How long its words last without a voice: as measured where they were spoken before, else as is estimated."""
        from guide.plan.estimate import EstimatedLengths
        from guide.sound.clip_finish import FINISH
        from guide.voice.class_clips import unspoken

        found = EstimatedLengths(self.settings.rate)
        wanted = self.wanted | self.numbers(found, 0)
        # Where there is no such voice, nothing was spoken by it.
        with suppress(GuideError):
            missing = unspoken(list(wanted.items()), self.settings, FINISH)
            kept = {text: place for text, place in wanted.items() if text not in missing}
            found |= self.speak(kept).lengths_ms() if kept else {}
        return found

    def planned(self, word_ms: Mapping[str, int]) -> "tuple[Steps, Timeline]":
        """The steps that fill the slot, and their plan, proved."""
        return self._proved(self._fitted(word_ms), word_ms)

    def _in_own_voice(self, takes: Takes, progress: Progress | None) -> "OpenClass":
        """The class with its takes measured; words that are not recorded are taken to last as long as is estimated."""
        from guide.plan.estimate import EstimatedLengths
        from guide.plan.timeline import Note
        from guide.ready.own_voice import fitted_takes, unrecorded

        def recorded(wanted: Mapping[str, Place]) -> dict[str, Place]:
            return {text: place for text, place in wanted.items() if takes.latest(text) is not None}

        estimated, words = EstimatedLengths(self.settings.rate), recorded(self.wanted)
        word_ms = {text: estimated[text] for text in self.wanted} | self.speak(words, progress).lengths_ms()
        fitted = self._fitted(word_ms)
        counted = self._numbers(fitted, word_ms, 0)
        numbers = recorded(counted)
        word_ms |= self.speak(numbers, progress).lengths_ms()
        tempos, notes = fitted_takes(words | numbers, fitted.steps.steps, word_ms, self.sound_ms)
        told = unrecorded((*self.wanted, *counted), takes)
        notes = [Note(self.class_file.place, told), *notes] if told else notes
        settings = replace(self.settings, tempos=tempos)
        return replace(self, settings=settings, unrecorded=told, notes=tuple(notes))

    # What plans is brought in here: words can be spoken before anything is planned.

    def _fitted(self, word_ms: Mapping[str, int]) -> "Fitted":
        from guide.plan.fitting.fit import fit

        return fit(self.steps, word_ms, self.sound_ms)

    def _numbers(self, fitted: "Fitted", word_ms: Mapping[str, int], spare: int) -> dict[str, Place]:
        from guide.plan.breath_counting import counted

        return dict.fromkeys(counted(fitted.steps, word_ms, self.sound_ms, spare), self.class_file.place)

    def _proved(self, fitted: "Fitted", word_ms: Mapping[str, int]) -> "tuple[Steps, Timeline]":
        from guide.plan.checker import prove
        from guide.plan.scheduler import plan

        timeline = fitted.told(plan(fitted.steps, word_ms, self.sound_ms))
        timeline = replace(timeline, notes=(*self.notes, *timeline.notes)) if self.notes else timeline
        prove(fitted.steps, timeline, word_ms)
        return fitted.steps, timeline


def _unknown_poses(class_file: ClassFile, steps: Steps, timeline: "Timeline") -> "Iterator[Note]":
    """A note for each pose that the library does not know: it gets no words, and its name may only be misspelt."""
    from guide.plan.advice import unknown_pose
    from guide.plan.advice.view import ClassView
    from guide.plan.timeline import Note

    if unknown_pose.NAME not in class_file.let_be:
        for advice in sorted(unknown_pose.advise(ClassView(class_file, steps, timeline, library_of(class_file)))):
            yield Note(advice.place, f"{advice.what} ({advice.fix})")


def _settings(class_file: ClassFile, choice: VoiceChoice, folder: Path) -> VoiceSettings:
    """What is chosen before what the file says; the own voice is that of the takes in the folder of the class."""
    name = choice.name or class_file.voice or DEFAULT
    return VoiceSettings(
        name=DEFAULT if name == OWN else name,
        rate=choice.rate or class_file.voice_rate or USUAL_RATE,
        lexicon=dict(class_file.pronounce),
        takes=Takes.in_folder(folder) if name == OWN else None,
    )
