"""Words that a recogniser heard: kept beside the recording, taken up again, and never written over hers."""

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import soundfile

from guide.problem import MachineTrouble, UnusableChoice
from guide.review.captions.transcript import read
from guide.review.hearing import heard_words
from guide.review.hearing.heard_words import ENDING, captions, heard
from guide.review.hearing.recogniser import MOST_LETTERS, HeardWord, Recogniser, beforehand

SENTENCE = (HeardWord(1_000, 1_400, "Lift"), HeardWord(1_400, 1_700, "<up>"), HeardWord(3_000, 3_500, "& fold."))


class Listening:
    """A recogniser that hears the same sentence in everything, and counts."""

    def __init__(self, called: str) -> None:
        self.called, self.times, self.sentences = called, 0, [SENTENCE]

    def words(self, recording: Path, names: Sequence[str], progress: object) -> Iterator[tuple[HeardWord, ...]]:
        self.times += 1
        yield from self.sentences


@pytest.fixture
def listening(monkeypatch: pytest.MonkeyPatch) -> Listening:
    one = Listening("tiny.en")

    def opened(model: Path | None) -> Listening:
        one.called = model.name if model else "tiny.en"
        return one

    monkeypatch.setattr(heard_words.Recogniser, "of", opened)
    return one


@pytest.fixture
def recording(tmp_path: Path) -> Path:
    path = tmp_path / "class.mp4"
    path.write_bytes(b"\0\0\0\x18ftypmp42" + bytes(100))
    return path


def test_every_word_keeps_its_time() -> None:
    written = "WEBVTT\n\n" + captions([SENTENCE])
    assert "00:00:01.000 --> 00:00:03.500\nLift <00:00:01.400>&lt;up&gt; <00:00:03.000>&amp; fold." in written


def test_words_are_kept_beside_the_recording_and_heard_once(recording: Path, listening: Listening) -> None:
    found = heard(recording, ())
    assert found.kept == recording.with_name("class.mp4" + ENDING)
    assert [(one.start_ms, one.text) for one in found.transcript.blocks] == [
        (1_000, "Lift"),
        (1_400, "<up>"),
        (3_000, "& fold."),
    ]
    again = heard(recording, ())
    assert (again.transcript.blocks, listening.times) == (found.transcript.blocks, 1)
    assert read(found.kept).blocks == found.transcript.blocks


def test_another_recording_or_model_is_heard_anew(recording: Path, listening: Listening, tmp_path: Path) -> None:
    heard(recording, ())
    assert heard(recording, (), tmp_path / "large").kept
    with recording.open("ab") as file:
        file.write(b"more")
    assert heard(recording, ()).kept
    assert listening.times == 3


def test_what_she_wrote_or_mended_is_left_alone(recording: Path, listening: Listening) -> None:
    beside = recording.with_name("class.mp4" + ENDING)
    beside.write_text("mine", encoding="utf-8")
    found = heard(recording, ())
    assert (found.kept, found.why) == (None, f"{beside} is yours and was left alone")
    assert beside.read_text(encoding="utf-8") == "mine"
    beside.unlink()
    heard(recording, ())
    mended = beside.read_text(encoding="utf-8").replace("Lift", "Left")
    beside.write_text(mended, encoding="utf-8")
    assert heard(recording, ()).transcript.blocks[0].text == "Left"
    with recording.open("ab") as file:
        file.write(b"more")
    assert heard(recording, ()).transcript.blocks[0].text == "Lift"
    assert beside.read_text(encoding="utf-8") == mended


def test_a_recording_without_words_is_told(recording: Path, listening: Listening) -> None:
    listening.sentences = []
    with pytest.raises(UnusableChoice, match="no words are heard in it"):
        heard(recording, ())


def test_what_is_missing_is_told_with_what_to_install(recording: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "faster_whisper", None)
    with pytest.raises(MachineTrouble) as told:
        Recogniser.of(None)
    assert str(told.value) == (
        "to hear words in a recording, a recogniser is needed (python -m pip install 'practice-guide[hear]')"
    )


def test_names_are_told_beforehand_as_sentences_and_no_more_than_a_recogniser_bears() -> None:
    assert beforehand(["tadasana", "Warrior two", "tadasana"]) == "Tadasana. Warrior two."
    assert MOST_LETTERS - 10 < len(beforehand(f"name {number}" for number in range(1_000))) <= MOST_LETTERS


def test_names_that_it_was_told_and_says_in_silence_are_left_out(tmp_path: Path) -> None:
    """As the small model said them at the end of a rendered class: `Tadasana.`, and it was not sure."""

    def sentence(text: str, sure: float) -> SimpleNamespace:
        parts = [SimpleNamespace(start=1.0, end=2.0, word=f" {word}") for word in text.split()]
        return SimpleNamespace(text=text, avg_logprob=sure, end=2.0, words=parts)

    said = [sentence("Tadasana.", -0.1), sentence("Tadasana. Adho mukha shavasana.", -0.7), sentence("Fold.", -0.9)]
    model = SimpleNamespace(model=SimpleNamespace(is_multilingual=False), transcribe=lambda *_, **__: (said, None))
    path = tmp_path / "class.wav"
    soundfile.write(path, np.zeros(16_000, dtype=np.float32), 16_000)
    heard_words = Recogniser("tiny.en", model).words(path, ["tadasana", "adho mukha svanasana"])
    assert [" ".join(word.text for word in words) for words in heard_words] == ["Tadasana.", "Fold."]
