"""The natural voice: the same words always give the same sound, no call is too long, nothing comes from the network."""

import multiprocessing
import socket

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from voice_fakes import PlainFinish, at

from guide.problem import FaultyFile, UnusableChoice
from guide.voice.class_clips import VoiceSettings, said_by, speak_all
from guide.voice.lexicon import pronounced
from guide.voice.natural import MOST_CHARACTERS, RATE_HZ, NaturalVoice, cut
from guide.voice.protocol import Unspeakable
from guide.voice.registry import open_voice
from guide.voice.silence import KEPT_MS, trimmed


def seconds(text: str, rate: float = 1.0) -> float:
    return len(NaturalVoice().speak(text, rate).samples) / RATE_HZ


def loud_ranges(samples: np.ndarray, rate_hz: int, gap_ms: int) -> int:
    """How many stretches of sound there are with at least `gap_ms` of silence between them."""
    loud = np.flatnonzero(np.abs(samples) > 10 ** (-50 / 20))
    return int(np.count_nonzero(np.diff(loud) > gap_ms * rate_hz // 1000)) + 1


def test_it_speaks_without_the_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("nothing may be looked for on the network")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    clip = NaturalVoice().speak("Lift your arms.", 1.0)
    assert (clip.rate_hz, clip.samples.dtype, clip.samples.ndim) == (24_000, np.float32, 1)
    assert 0.6 < clip.samples.size / RATE_HZ < 2.0


def sound_of(text: str) -> bytes:
    return NaturalVoice().speak(text, 1.0).samples.tobytes()


@pytest.mark.slow
def test_the_same_words_give_the_same_sound_in_any_process_and_order() -> None:
    texts = ["Lift your arms.", "Fold forward.", "Lift your arms."]
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        elsewhere = pool.map(sound_of, reversed(texts))
    here = [sound_of(text) for text in texts]
    assert here[0] == here[2]
    assert here == list(reversed(elsewhere))


def test_silence_around_words_is_cut_off_and_sentences_stand_a_third_of_a_second_apart() -> None:
    clip = NaturalVoice().speak("Lift your arms. Lift your arms.", 1.0)
    loud = np.flatnonzero(np.abs(clip.samples) > 10 ** (-50 / 20))
    assert loud[0] <= KEPT_MS * RATE_HZ // 1000
    assert clip.samples.size - 1 - loud[-1] <= KEPT_MS * RATE_HZ // 1000
    one = trimmed(NaturalVoice().speak("Lift your arms.", 1.0).samples, RATE_HZ).size
    assert clip.samples.size == 2 * one + 350 * RATE_HZ // 1000
    assert loud_ranges(clip.samples, RATE_HZ, 350) == 2


def test_a_faster_rate_takes_less_time() -> None:
    """Outside check: about half at 2.0 and twice at 0.5, as measured of this engine."""
    text = "Step your right foot between your hands."
    lengths = [seconds(text, rate) for rate in (0.5, 0.8, 1.0, 1.25, 2.0)]
    assert lengths == sorted(lengths, reverse=True)
    assert 1.6 < lengths[0] / lengths[2] < 2.3
    assert 0.4 < lengths[4] / lengths[2] < 0.7


@given(st.text("abc .,;:!?'-", max_size=900))
@settings(deadline=None, max_examples=200)
def test_no_part_is_longer_than_the_engine_bears_and_no_letter_is_lost(text: str) -> None:
    parts = cut(text)
    assert all(len(part) <= MOST_CHARACTERS and pause_ms >= 0 for part, pause_ms in parts)
    letters = "".join(filter(str.isalpha, text))
    assert "".join(filter(str.isalpha, "".join(part for part, _ in parts))) == letters


def test_a_long_text_without_a_stop_is_spoken_whole() -> None:
    words = "and let your shoulders sink " * 12
    assert len(words) > MOST_CHARACTERS
    assert seconds(words.strip()) > 12


def test_brackets_of_a_teacher_are_never_taken_for_marks_of_the_engine() -> None:
    voice = NaturalVoice()
    written = "Rest [here](/ʃ/) now"
    said = said_by(voice, written, {})
    assert "[" not in said
    assert "here" in said


def test_a_pronunciation_of_the_class_is_heard() -> None:
    voice = NaturalVoice()
    plain = voice.speak(said_by(voice, "Ujjayi.", {}), 1.0).samples
    own = voice.speak(said_by(voice, "Ujjayi.", {"ujjayi": "bah-NAH-nah"}), 1.0).samples
    same = voice.speak(voice.hint(pronounced("x", "bah-NAH-nah")) + ".", 1.0).samples
    assert not np.array_equal(plain[:1000], own[:1000])
    assert np.array_equal(own, same)


@pytest.mark.parametrize("name", ["natural:emma", "natural:fenrir", "natural:fable", "natural:kore", "natural:heart"])
def test_voices_that_would_be_downloaded_are_refused(name: str) -> None:
    with pytest.raises(UnusableChoice, match=r"nothing is downloaded \(write natural\)"):
        open_voice(name)


@pytest.mark.parametrize(("text", "sign"), [("Om ॐ", "ॐ"), ("дыши", "д"), ("呼吸", "呼")])
def test_other_scripts_are_problems_instead_of_silence(text: str, sign: str) -> None:
    with pytest.raises(Unspeakable, match=f"the natural voice has no sound for “{sign}”"):
        NaturalVoice().speak(text, 1.0)
    with pytest.raises(FaultyFile) as caught:
        speak_all([(text, at(7))], VoiceSettings(), PlainFinish())
    assert str(caught.value) == (
        f"class.yaml:7:5: “{text}” cannot be spoken: the natural voice has no sound for “{sign}” "
        "(write it in Latin letters)"
    )
