"""All the words of a class are spoken once, measured, kept, and handed out; every failure names the words."""

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
import pytest
from voice_fakes import FRAMES_A_LETTER, BadVoice, FullDisk, PlainFinish, ToneVoice, at

from guide.pauses import DOTS_MS, pause
from guide.problem import FaultyFile, MachineTrouble, Place, UnusableChoice
from guide.units import RATE_HZ
from guide.voice import class_clips
from guide.voice.cache import Cache
from guide.voice.class_clips import HELD_BYTES, SpokenClips, VoiceSettings, speak_all
from guide.voice.protocol import Voice

Offer = Callable[[Voice], str]

KEPT_FRAMES = 2 * 30 * RATE_HZ // 1000


def wanted(*texts: str) -> list[tuple[str, Place]]:
    return [(text, at(line)) for line, text in enumerate(texts, start=1)]


def said(tone: ToneVoice) -> list[str]:
    return tone.log.read_text(encoding="utf-8").splitlines() if tone.log.exists() else []


def speak(voice: str, texts: Sequence[tuple[str, Place]], rate: float = 1.0, cache: Cache | None = None) -> SpokenClips:
    return speak_all(texts, VoiceSettings(voice, rate), PlainFinish(), None, cache)


def test_clips_are_found_by_the_words_as_written_with_their_length_rounded_up(tone: ToneVoice, offer: Offer) -> None:
    spoken = speak(offer(tone), wanted("Hold for 5 s", "Exhale."))
    assert list(spoken) == ["Hold for 5 s", "Exhale."]
    assert sorted(said(tone)) == ["Exhale.", "Hold for five seconds."]
    frames = len("Hold for five seconds.") * FRAMES_A_LETTER + KEPT_FRAMES
    clip = spoken["Hold for 5 s"]
    assert (clip.dtype, clip.size) == (np.int16, frames)
    assert spoken.length_ms("Hold for 5 s") == -(-frames // 48)
    assert spoken.lengths_ms() == {text: -(-clip.size // 48) for text, clip in spoken.items()}
    assert spoken.measures("Exhale.").tolist() == [0.25]
    with pytest.raises(KeyError):
        spoken["never wanted"]


def test_a_pause_in_words_is_quiet_of_its_length_in_their_clip(tone: ToneVoice, offer: Offer) -> None:
    text = f"Stand.{pause(3000)}Walk … on.{pause(500)}"
    clip = speak(offer(tone), wanted(text))[text]
    assert said(tone) == ["Stand.", "Walk...", "on."]
    sounds = np.flatnonzero(clip)
    quiet_ms = [int(gap) // 48 for gap in np.diff(sounds, append=clip.size + KEPT_FRAMES // 2) if gap > 4800]
    assert quiet_ms == [3000, DOTS_MS, 500]


def test_a_text_is_spoken_once_however_often_it_is_wanted(tone: ToneVoice, offer: Offer) -> None:
    name = offer(tone)
    told: list[tuple[int, int]] = []
    texts = wanted("Inhale.", "Inhale.", "Exhale.", "5 breaths", "five breaths")
    first = speak_all(texts, VoiceSettings(name), PlainFinish(), lambda done, total: told.append((done, total)))
    assert sorted(said(tone)) == ["Exhale.", "Inhale.", "five breaths."]
    assert told == [(1, 3), (2, 3), (3, 3)]
    again = speak_all(texts, VoiceSettings(name), PlainFinish(), lambda done, total: told.append((done, total)))
    assert len(said(tone)) == len(told) == 3
    assert all(np.array_equal(first[text], again[text]) for text, _ in texts)


def test_another_rate_finish_or_pronunciation_is_spoken_anew(tone: ToneVoice, offer: Offer) -> None:
    name = offer(tone)
    texts = wanted("Hum.")
    speak(name, texts)
    speak(name, texts, rate=1.5)
    speak_all(texts, VoiceSettings(name), PlainFinish("other"))
    speak_all(texts, VoiceSettings(name, lexicon={"hum": "hoom"}), PlainFinish())
    assert said(tone) == ["Hum.", "Hum.", "Hum.", "<hoom>."]


def test_a_damaged_entry_is_spoken_again(tone: ToneVoice, offer: Offer, cache_of_its_own: Path) -> None:
    name = offer(tone)
    first = speak(name, wanted("Inhale."))["Inhale."]
    (path,) = cache_of_its_own.rglob("*.clip")
    path.write_bytes(path.read_bytes()[:100])
    assert np.array_equal(speak(name, wanted("Inhale."))["Inhale."], first)
    assert said(tone) == ["Inhale.", "Inhale."]


def test_words_thrown_away_while_a_class_is_made_are_spoken_again(
    tone: ToneVoice, offer: Offer, cache_of_its_own: Path
) -> None:
    spoken = speak(offer(tone), wanted("Inhale."))
    assert Cache(cache_of_its_own).clear().count == 1
    assert spoken["Inhale."].size == 7 * FRAMES_A_LETTER + KEPT_FRAMES
    assert said(tone) == ["Inhale.", "Inhale."]


def test_a_full_disk_costs_time_but_not_the_class(tone: ToneVoice, offer: Offer, cache_of_its_own: Path) -> None:
    texts = wanted("Inhale.", "Exhale slowly.")
    spoken = speak(offer(tone), texts, cache=Cache(cache_of_its_own, FullDisk(room=0)))
    assert [clip.size for clip in spoken.values()] == [len(text) * FRAMES_A_LETTER + KEPT_FRAMES for text, _ in texts]
    assert list(cache_of_its_own.rglob("*.*")) == []


def test_memory_stays_the_same_whatever_the_length_of_the_class(tone: ToneVoice, offer: Offer) -> None:
    texts = wanted(*(f"{'slowly ' * 40}{chr(97 + number % 26) * (number // 26 + 1)}" for number in range(60)))
    name = offer(tone)
    speak(name, texts)
    one_clip = 2 * (300 * FRAMES_A_LETTER + KEPT_FRAMES)
    spoken = speak(name, texts)
    small = SpokenClips(spoken._lines, spoken._facts, spoken._speaker, held_bytes=5 * one_clip)
    for text, _ in texts:
        assert np.array_equal(small[text], spoken[text])
        assert small.held_bytes() <= 5 * one_clip
    assert len(small) == len(spoken) == 60
    assert spoken.held_bytes() <= HELD_BYTES
    assert len(said(tone)) == 60


def test_many_workers_make_the_same_as_one(
    tone: ToneVoice, offer: Offer, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    name = offer(tone)
    texts = wanted(*(f"step {'on ' * number}" for number in range(1, 25)))
    one = speak(name, texts, cache=Cache(tmp_path / "one"))
    monkeypatch.setattr(class_clips, "WORTH_MORE_WORKERS", 2)
    monkeypatch.setattr(class_clips, "cores", lambda: 3)
    three = speak(name, texts, cache=Cache(tmp_path / "three"))
    assert one.lengths_ms() == three.lengths_ms()
    assert all(np.array_equal(one[text], three[text]) for text in one)
    assert len(said(tone)) == 48


def test_every_text_with_nothing_to_say_is_a_problem_at_its_place(tone: ToneVoice, offer: Offer) -> None:
    with pytest.raises(FaultyFile) as caught:
        speak(offer(tone), wanted("Inhale.", "🙏", "***"))
    assert str(caught.value) == (
        "class.yaml:2:5: “🙏” cannot be spoken: there is nothing in it that can be said (write words)\n"
        "class.yaml:3:5: “***” cannot be spoken: there is nothing in it that can be said (write words)"
    )
    assert said(tone) == []


@pytest.mark.parametrize("way", ["empty", "silent", "refuses"])
def test_every_text_that_a_voice_has_no_sound_for_is_a_problem_at_its_place(
    way: str, tone: ToneVoice, offer: Offer
) -> None:
    reason = {
        "refuses": "no sound for it (write something else)",
    }.get(way, "the voice bad says nothing for these words (write them as they are said)")
    with pytest.raises(FaultyFile) as caught:
        speak(offer(BadVoice(way, tone)), wanted("Inhale.", "bad one", "bad two"))
    assert str(caught.value).splitlines() == [
        f"class.yaml:2:5: “bad one” cannot be spoken: {reason}",
        f"class.yaml:3:5: “bad two” cannot be spoken: {reason}",
    ]


@pytest.mark.parametrize(
    ("way", "reason"),
    [
        ("raises", "RuntimeError: the model is broken"),
        ("not_numbers", "the voice gave sound that is no numbers"),
        ("crashes", "the voice crashed (SIGSEGV)"),
        ("leaves", "the voice crashed (exit code 3)"),
        ("hangs", "the voice did not answer in time"),
    ],
)
def test_a_voice_that_fails_names_the_words_and_their_place(
    way: str, reason: str, tone: ToneVoice, offer: Offer, monkeypatch: pytest.MonkeyPatch
) -> None:
    if way == "hangs":
        monkeypatch.setattr(class_clips, "LIMIT_S", 0.1)
        monkeypatch.setattr(class_clips, "LIMIT_S_A_CHARACTER", 0.0)
    with pytest.raises(MachineTrouble) as caught:
        speak(offer(BadVoice(way, tone)), wanted("bad step"))
    assert str(caught.value) == f"class.yaml:1:5: “bad step” could not be spoken: {reason}"


def test_what_was_spoken_before_a_voice_failed_is_kept(tone: ToneVoice, offer: Offer) -> None:
    name = offer(BadVoice("leaves", tone))
    with pytest.raises(MachineTrouble, match=r"class.yaml:2:5: “bad step”"):
        speak(name, wanted("Inhale.", "bad step", "Exhale."))
    speak(name, wanted("Inhale."))
    assert said(tone) == ["Inhale."]


@pytest.mark.parametrize("rate", [0.0, 0.49, 2.01, -1.0, 10.0, float("nan"), float("inf")])
def test_a_rate_that_no_voice_speaks_at_is_refused(rate: float, tone: ToneVoice, offer: Offer) -> None:
    with pytest.raises(UnusableChoice, match=r"a voice cannot speak at the rate .* \(write a number from 0.5 to 2.0\)"):
        speak(offer(tone), wanted("Inhale."), rate=rate)


def test_a_voice_that_is_not_there_is_refused_with_what_was_meant() -> None:
    with pytest.raises(UnusableChoice, match="there is no voice “natrual” \\(did you mean “natural”\\?\\)"):
        speak("natrual", wanted("Inhale."))


def test_a_class_without_words_needs_no_worker(tone: ToneVoice, offer: Offer) -> None:
    spoken = speak(offer(tone), [])
    assert len(spoken) == 0
    assert spoken.lengths_ms() == {}
