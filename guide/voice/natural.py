"""The natural voice: hibari-tts, whose model is inside its package. Nothing is ever downloaded."""

import os
import re
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from typing import Any

import numpy as np
from numpy.typing import NDArray

from guide.problem import MachineTrouble, UnusableChoice
from guide.voice.cache import Cache, cache_folder
from guide.voice.lexicon import Pronunciation
from guide.voice.phonemes import WORD_GAP
from guide.voice.protocol import Clip, Unspeakable, VoiceFailed, checked_rate
from guide.voice.silence import joined

RATE_HZ = 24_000

#: Changes whenever this file makes the same text sound different.
_OURS = "1"

#: More at once takes gigabytes: 485 MB for 1,000 characters without a stop.
MOST_CHARACTERS = 200

SENTENCE_PAUSE_MS = 350
CLAUSE_PAUSE_MS = 180

#: Read by the library below the voice when it is loaded. Without it, it makes itself a number for this machine, keeps
#: what it counts in a database in the user's folders, and looks up the address that this is to be sent to.
NO_TELEMETRY = "ORT_DISABLE_TELEMETRY"

_PHONEMES = {
    "AA": "ɑ",
    "AE": "æ",
    "AH": "ʌ",
    "AX": "ə",
    "AO": "ɔ",
    "AW": "W",
    "AY": "I",
    "EH": "ɛ",
    "ER": "əɹ",
    "EY": "A",
    "IH": "ɪ",
    "IY": "i",
    "OW": "O",
    "OY": "Y",
    "UH": "ʊ",
    "UW": "u",
    "CH": "ʧ",
    "DH": "ð",
    "G": "ɡ",
    "HH": "h",
    "JH": "ʤ",
    "NG": "ŋ",
    "R": "ɹ",
    "SH": "ʃ",
    "TH": "θ",
    "Y": "j",
    "ZH": "ʒ",
    **{letter: letter.lower() for letter in "BDFKLMNPSTVWZ"},
}
_STRESSED = {"AX": "ʌ", "ER": "ɜɹ"}
_STRESS = {"1": "ˈ", "2": "ˌ"}

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+(?=\S)(?<!\.\.\.\s)")
_CLAUSE_END = re.compile(r"(?<=[,;:])\s+")
_RESPELT = re.compile(r"\[([^\]]*)\]\(([^/)][^)]*)\)")
_MARKED = re.compile(r"\[[^\]]*\]\([^)]*\)")


@dataclass(frozen=True, slots=True)
class NaturalVoice:
    """An American woman's voice, in English. See `protocol.Voice`."""

    name: str = "natural"

    @property
    def version(self) -> str:
        try:
            return f"hibari-tts {version('hibari-tts')}, {_OURS}"
        except PackageNotFoundError as error:
            raise MachineTrouble(_missing()) from error

    def hint(self, said: Pronunciation) -> str:
        """The engine's own mark: `[word](/phonemes/)`, or `[word](syl-la-bles)` for `speak` to work out."""
        word = re.sub(r"[^\w]", "", said.written)
        return f"[{word}](/{phonemes(said.sounds)}/)" if said.sounds else f"[{word}]({said.respelt.strip('/')})"

    def speak(self, text: str, rate: float) -> Clip:
        checked_rate(rate)
        strange = next((char for char in _MARKED.sub("", text) if char.isalpha() and not char.isascii()), None)
        if strange:
            raise Unspeakable(f"the natural voice has no sound for “{strange}”", "write it in Latin letters")
        parts, pauses_ms = [], []
        for part, pause_ms in cut(text):
            parts.append(_said(part, rate))
            pauses_ms.append(round(pause_ms / rate))
        if not parts:
            return Clip(np.zeros(0, np.float32), RATE_HZ)
        return Clip(joined(parts, pauses_ms[:-1], RATE_HZ), RATE_HZ)


def open_natural(which: str) -> NaturalVoice:
    """The natural voice; there is one. Raises UnusableChoice for any other."""
    if which:
        raise UnusableChoice(
            f"there is no voice “natural:{which}”: the natural voice is the one inside its package, and nothing is "
            "downloaded (write natural)"
        )
    return NaturalVoice()


def wake() -> None:
    """Load the engine into this process. Raises MachineTrouble where there is none, VoiceFailed where it fails."""
    _engine()


def phonemes(sounds: str) -> str:
    """ARPAbet (see `phonemes`) in the engine's alphabet. A doubled consonant is said once, but for `d`: a single one
    would be that of "buddy".
    """
    return " ".join(_word(word) for word in sounds.split(WORD_GAP))


def _word(sounds: str) -> str:
    said: list[str] = []
    for sound in sounds.replace(" . ", " ").split():
        bare = sound.rstrip("12")
        stress = _STRESS.get(sound[len(bare) :], "")
        letters = _STRESSED.get(bare, _PHONEMES[bare]) if stress else _PHONEMES[bare]
        if not (said and said[-1] == letters != "d"):
            said.append(stress + letters)
    return "".join(said)


def cut(text: str) -> list[tuple[str, int]]:
    """`text` in parts short enough to be said at once, each with the pause after it in ms.

    The cuts are at sentences, then at clauses, then, in a clause that is too long by itself, between words.
    """
    parts: list[tuple[str, int]] = []
    for sentence in filter(_has_letters, _SENTENCE_END.split(text)):
        if len(sentence) <= MOST_CHARACTERS:
            parts.append((sentence, SENTENCE_PAUSE_MS))
            continue
        for clause in filter(_has_letters, _CLAUSE_END.split(sentence)):
            parts += [(run, 0) for run in _runs(clause)]
            parts[-1] = (parts[-1][0], CLAUSE_PAUSE_MS)
        parts[-1] = (parts[-1][0], SENTENCE_PAUSE_MS)
    return parts


def _runs(clause: str) -> list[str]:
    runs = [""]
    for word in clause.split():
        for piece in (word[start : start + MOST_CHARACTERS] for start in range(0, len(word), MOST_CHARACTERS)):
            if runs[-1] and len(runs[-1]) + 1 + len(piece) > MOST_CHARACTERS:
                runs.append("")
            runs[-1] = f"{runs[-1]} {piece}" if runs[-1] else piece
    return runs


def _has_letters(text: str) -> bool:
    return any(char.isalpha() for char in text)


def _said(part: str, rate: float) -> NDArray[np.float32]:
    engine = _engine()
    try:
        marked = _RESPELT.sub(lambda found: f"[{found[1]}](/{_syllables(engine, found[2])}/)", part)
        samples: NDArray[np.float32] = engine(marked, speed=rate, seed=0)
    except Exception as error:  # whatever an engine raises, the teacher is told which words did it
        raise VoiceFailed(f"the natural voice failed: {error}") from error
    if not samples.size:
        raise Unspeakable(f"the natural voice has no sounds for “{part}”", "write it as it is said")
    return samples


def _syllables(engine: Any, respelt: str) -> str:
    """Phonemes for English syllables with hyphens between; the one in capitals bears the stress, else the first."""
    parts = re.split(r"[\s-]+", respelt.strip())
    stressed = next((place for place, part in enumerate(parts) if len(part) > 1 and part.isupper()), 0)
    said = ""
    for place, part in enumerate(parts):
        plain = re.sub("[ˈˌ]", "", "".join(engine.phonemize(part.lower())))
        vowel = re.search("[AIOQWYaiuæɑɒɔəɛɜɪʊʌᵻ]", plain)
        at = vowel.start() if vowel and place == stressed and len(parts) > 1 else None
        said += plain if at is None else f"{plain[:at]}ˈ{plain[at:]}"
    return said


@cache
def _engine() -> Any:
    os.environ[NO_TELEMETRY] = "1"
    try:
        from guide.voice.natural_waking import woken
    except ImportError as error:
        raise MachineTrouble(_missing()) from error
    try:
        return woken(NaturalVoice().version, Cache(cache_folder()))
    except Exception as error:
        raise VoiceFailed(f"the natural voice cannot start: {error}") from error


def _missing() -> str:
    return "the natural voice is not installed (type: python -m pip install hibari-tts==0.2.1)"
