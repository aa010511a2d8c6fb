"""All the words of a class, spoken once, measured, kept, and handed out when they are needed."""

import multiprocessing
import re
import threading
from collections import OrderedDict
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from guide.pauses import parted, shown
from guide.priority import cores
from guide.problem import FaultyFile, MachineTrouble, Place, Problem
from guide.units import frames_from_ms, ms_from_frames
from guide.voice.cache import Cache, CachedClip, cache_folder, cache_key
from guide.voice.lexicon import Pronunciation, pieces
from guide.voice.normalise import normalised
from guide.voice.protocol import Unspeakable, Voice, VoiceFailed, checked_rate
from guide.voice.registry import DEFAULT, OWN, open_voice
from guide.voice.silence import KEPT_MS, trimmed
from guide.voice.takes.as_speech import SpokenTake
from guide.voice.takes.store import Takes
from guide.voice.worker_pool import Failed, Fault, Waking, WorkerPool, done

#: So much of recently used speech stays in memory, whatever the length of the class.
HELD_BYTES = 24_000_000

#: With fewer texts than this to be spoken, one process is done before a second one has started.
WORTH_MORE_WORKERS = 60

#: So few takes are cleaned in this process: a second one takes a second to start.
QUICK = 12

#: A voice that takes longer hangs: a minute, and a fifth of a second for each character. Longer than an engine's own
#: limit (see `system`), which tells more.
LIMIT_S = 60.0
LIMIT_S_A_CHARACTER = 0.2

#: So many texts are remembered as they are said: more than a class has.
MOST_TEXTS = 4096

#: A pause among words as they are said, in ms.
_PAUSE = re.compile(r"\|(\d+)\|")

Progress = Callable[[int, int], None]


class Finisher(Protocol):
    """How a clip is shaped before it is kept: from trimmed samples to the clip at `units.RATE_HZ` and its measures.

    It is sent to other processes, so it must be picklable; `version` names everything that its results rest on.
    """

    @property
    def version(self) -> str: ...

    def __call__(self, samples: NDArray[np.float32], rate_hz: int) -> tuple[NDArray[np.int16], NDArray[np.float32]]: ...

    def measured(self, pcm: NDArray[np.int16]) -> NDArray[np.float32]: ...


@dataclass(frozen=True, slots=True)
class VoiceSettings:
    """Which voice speaks, how fast (0.5 to 2.0), and the words that it is told how to say.

    Where there are `takes`, those are heard, each as many times faster as `tempos` says by its words, and the voice
    says the rest.
    """

    name: str = DEFAULT
    rate: float = 1.0
    lexicon: Mapping[str, str] = field(default_factory=dict)
    takes: Takes | None = None
    tempos: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class SpeechLine:
    """Words as they are written and as they are said, the place they come from, and the key of their sound.

    Those that were recorded have their take.
    """

    text: str
    place: Place
    said: str
    key: str
    take: SpokenTake | None = None


@dataclass(frozen=True, slots=True)
class ClipFacts:
    """What is remembered of a clip whether or not it is in memory."""

    frames: int
    measures: NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class ClipMaker:
    """Speaks a line, finishes it, and keeps it: what is done in a process of its own."""

    voice: Voice
    rate: float
    finish: Finisher
    cache: Cache

    def __call__(self, line: SpeechLine) -> ClipFacts:
        # Another program may have spoken it meanwhile.
        kept = self.cache.load(line.key)
        if kept is None:
            kept = self.made(line)
            self.cache.store(line.key, kept)
        return ClipFacts(kept.pcm.size, kept.measures)

    def made(self, line: SpeechLine) -> CachedClip:
        """The clip of a line, with its pauses. Raises Unspeakable or VoiceFailed."""
        if line.take is not None:
            clip = line.take.speak()
            return CachedClip(*self.finish(clip.samples, clip.rate_hz))
        words, *more = _PAUSE.split(line.said)
        pcm, measures = self._finished(words)
        if not more:
            return CachedClip(pcm, measures)
        parts = [pcm]
        for pause_ms, said in zip(more[::2], more[1::2], strict=True):
            # What is kept of the silence around words is a part of the pause between them.
            parts.append(np.zeros(max(0, frames_from_ms(int(pause_ms) - 2 * KEPT_MS)), np.int16))
            parts += [self._finished(said)[0]] if said else []
        whole = np.concatenate(parts)
        return CachedClip(whole, self.finish.measured(whole))

    def _finished(self, said: str) -> tuple[NDArray[np.int16], NDArray[np.float32]]:
        clip = self.voice.speak(said, self.rate)
        if not np.isfinite(clip.samples).all():
            raise VoiceFailed("the voice gave sound that is no numbers")
        samples = trimmed(clip.samples, clip.rate_hz)
        if not samples.size:
            raise Unspeakable(
                f"the voice {self.voice.name} says nothing for these words", "write them as they are said"
            )
        return self.finish(samples, clip.rate_hz)


class SpokenClips(Mapping[str, NDArray[np.int16]]):
    """Every clip of a class by its words as written: int16, mono, at `units.RATE_HZ`.

    Clips are loaded when they are asked for, and the least used go when more than `held_bytes` are held. One that is
    not in the cache any more, or never could be kept, is spoken again.
    """

    def __init__(
        self,
        lines: Mapping[str, SpeechLine],
        facts: Mapping[str, ClipFacts],
        speaker: ClipMaker,
        held_bytes: int = HELD_BYTES,
    ) -> None:
        self._lines = lines
        self._facts = facts
        self._speaker = speaker
        self._held_bytes = held_bytes
        self._held: OrderedDict[str, NDArray[np.int16]] = OrderedDict()
        self._lock = threading.Lock()

    def __getitem__(self, text: str) -> NDArray[np.int16]:
        line = self._lines[text]
        # Clips are asked for by the sound card's thread, and ahead of it by another.
        with self._lock:
            pcm = self._held.pop(line.key, None)
            held = self._held[line.key] = self._load(line) if pcm is None else pcm
            while len(self._held) > 1 and self.held_bytes() > self._held_bytes:
                self._held.popitem(last=False)
        return held

    def __iter__(self) -> Iterator[str]:
        return iter(self._lines)

    def __len__(self) -> int:
        return len(self._lines)

    def measures(self, text: str) -> NDArray[np.float32]:
        """What the finish measured of a clip."""
        return self._facts[self._lines[text].key].measures

    def length_ms(self, text: str) -> int:
        """How long a clip lasts, rounded up to the next millisecond."""
        return ms_from_frames(self._facts[self._lines[text].key].frames)

    def lengths_ms(self) -> dict[str, int]:
        """How long each clip lasts, by its words."""
        return {text: self.length_ms(text) for text in self._lines}

    def joined(self, more: "SpokenClips") -> "SpokenClips":
        """These clips and more that the same voice has spoken."""
        return SpokenClips(
            {**self._lines, **more._lines}, {**self._facts, **more._facts}, self._speaker, self._held_bytes
        )

    def held_bytes(self) -> int:
        """How much speech is in memory now."""
        return sum(pcm.nbytes for pcm in self._held.values())

    def _load(self, line: SpeechLine) -> NDArray[np.int16]:
        kept = self._speaker.cache.load(line.key)
        if kept is not None:
            return kept.pcm
        try:
            kept = self._speaker.made(line)
        except Unspeakable as error:
            raise FaultyFile([_problem(line, error.what, error.fix)]) from error
        except VoiceFailed as error:
            raise _trouble(line, str(error)) from error
        if kept.pcm.size != self._facts[line.key].frames:
            raise _trouble(line, "the voice said it in another length the second time, and it could not be kept")
        self._speaker.cache.store(line.key, kept)
        return kept.pcm


def speak_all(
    wanted: Sequence[tuple[str, Place]],
    settings: VoiceSettings,
    finish: Finisher,
    progress: Progress | None = None,
    cache: Cache | None = None,
    waking: Waking | None = None,
) -> SpokenClips:
    """Every text of `wanted` as speech, from the cache where it is known, spoken now where it is not.

    `progress` is told how many of the texts not known are done, and how many there are. A process that is `waking`
    speaks them, where there are any.

    Raises:
        FaultyFile: with every text that cannot be said, at its place.
        UnusableChoice: there is no such voice, rate or pronunciation.
        MachineTrouble: the voice is missing, crashed or hung; the message names the words and their place.
    """
    speaker = _speaker(settings, finish, cache)
    lines = _lines(wanted, settings, speaker)
    facts: dict[str, ClipFacts] = {}
    missing: dict[str, SpeechLine] = {}
    for line in lines.values():
        kept = None if line.key in missing or line.key in facts else speaker.cache.load(line.key)
        if kept is not None:
            facts[line.key] = ClipFacts(kept.pcm.size, kept.measures.copy())
        elif line.key not in facts:
            missing.setdefault(line.key, line)
    facts |= _speak(list(missing.values()), speaker, progress, waking)
    return SpokenClips(lines, facts, speaker)


def unspoken(
    wanted: Sequence[tuple[str, Place]], settings: VoiceSettings, finish: Finisher, cache: Cache | None = None
) -> frozenset[str]:
    """Those of the texts that are not in the cache, and will take time to speak.

    Raises what `speak_all` raises for texts that hold nothing to say, and for a voice that there is not.
    """
    speaker = _speaker(settings, finish, cache)
    lines = _lines(wanted, settings, speaker)
    return frozenset(line.text for line in lines.values() if not speaker.cache.has(line.key))


def _speaker(settings: VoiceSettings, finish: Finisher, cache: Cache | None) -> ClipMaker:
    rate = checked_rate(settings.rate)
    return ClipMaker(open_voice(settings.name), rate, finish, Cache(cache_folder()) if cache is None else cache)


def said_by(voice: Voice, text: str, lexicon: Mapping[str, str]) -> str:
    """What `voice` is given for words as written; empty when nothing in them can be said."""
    parts = [(_hinted(voice, words, lexicon), pause_ms) for words, pause_ms in parted(text)]
    said = [(words, pause_ms) for words, pause_ms in parts if words]
    return "".join(f"{words}|{pause_ms}|" if pause_ms else words for words, pause_ms in said)


def _hinted(voice: Voice, text: str, lexicon: Mapping[str, str]) -> str:
    said = _pieces(text, tuple(lexicon.items()))
    return "".join(voice.hint(piece) if isinstance(piece, Pronunciation) else piece for piece in said)


@lru_cache(MOST_TEXTS)
def _pieces(text: str, lexicon: tuple[tuple[str, str], ...]) -> tuple[str | Pronunciation, ...]:
    """The words as a voice is to say them; a class that is played asks twice, for what is missing and for all."""
    return pieces(normalised(text), dict(lexicon))


def _lines(wanted: Sequence[tuple[str, Place]], settings: VoiceSettings, speaker: ClipMaker) -> dict[str, SpeechLine]:
    voice, version = speaker.voice, speaker.voice.version
    lines: dict[str, SpeechLine] = {}
    problems = []
    for text, place in wanted:
        if text in lines:
            continue
        take = _take(text, settings)
        if take is not None:
            key = cache_key(OWN, take.version, 1.0, take.content, speaker.finish.version)
            lines[text] = SpeechLine(text, place, text, key, take)
            continue
        said = said_by(voice, text, settings.lexicon)
        key = cache_key(voice.name, version, speaker.rate, said, speaker.finish.version)
        lines[text] = SpeechLine(text, place, said, key)
        if not said:
            problems.append(_problem(lines[text], "there is nothing in it that can be said", "write words"))
    if problems:
        raise FaultyFile(problems)
    return lines


def _take(text: str, settings: VoiceSettings) -> SpokenTake | None:
    """The take that says these words, where one was recorded."""
    take = None if settings.takes is None else settings.takes.latest(text)
    return None if take is None else SpokenTake(take, take.content(), settings.tempos.get(text, 1.0))


def _speak(
    lines: Sequence[SpeechLine], speaker: ClipMaker, progress: Progress | None, waking: Waking | None
) -> dict[str, ClipFacts]:
    # In a process of its own a class is one of several that are spoken side by side.
    is_alone = multiprocessing.parent_process() is None
    workers = cores() if is_alone and len(lines) >= WORTH_MORE_WORKERS else 1
    pool: WorkerPool[SpeechLine, ClipFacts] = WorkerPool(speaker, _limit_s, workers, waking=waking)
    facts: dict[str, ClipFacts] = {}
    problems = []
    with closing(_here(lines, speaker) if _is_quick(lines) else pool.work_through(lines)) as outcomes:
        for count, (place, outcome) in enumerate(outcomes, start=1):
            line = lines[place]
            if not isinstance(outcome, Failed):
                facts[line.key] = outcome
            elif outcome.fault is Fault.WORDS:
                problems.append(_problem(line, outcome.what, outcome.fix))
            else:
                raise _trouble(line, outcome.what)
            if progress is not None:
                progress(count, len(lines))
    if problems:
        raise FaultyFile(problems)
    return facts


def _is_quick(lines: Sequence[SpeechLine]) -> bool:
    """Whether no voice has to wake for lines, and they are done before a process has started."""
    return len(lines) <= QUICK and all(line.take is not None for line in lines)


def _here(lines: Sequence[SpeechLine], speaker: ClipMaker) -> Generator[tuple[int, ClipFacts | Failed], None, None]:
    """What comes of each line in this process."""
    for place, line in enumerate(lines):
        yield place, done(speaker, line)


def _limit_s(line: SpeechLine) -> float:
    return LIMIT_S + LIMIT_S_A_CHARACTER * len(line.said)


def _problem(line: SpeechLine, what: str, fix: str) -> Problem:
    return Problem(line.place, f"“{shown(line.text)}” cannot be spoken: {what}", fix)


def _trouble(line: SpeechLine, what: str) -> MachineTrouble:
    return MachineTrouble(f"{line.place}: “{shown(line.text)}” could not be spoken: {what}")
