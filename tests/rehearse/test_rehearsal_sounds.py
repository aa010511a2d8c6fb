"""What is heard in a rehearsal: only what begins in the change that is under way, words softly, from the key on."""

from dataclasses import replace

import numpy as np
import pytest

from guide.live import player as player_module
from guide.live.orders import Order
from guide.live.speakers.base import Pull, Wanted
from guide.live.speakers.reconnecting import ReconnectingSpeaker
from guide.rehearse.rehearsal_sound import WHISPER, Quiet, Sounded
from guide.sound import dips, levels
from guide.sound.mixer import Mix, MixedBell, MixedCue
from guide.units import frames_from_ms

SECOND = frames_from_ms(1000)
FADE = player_module.FADE_FRAMES
WORDS, CHIME = 0.4, 0.2


def mix() -> Mix:
    """Ten seconds: words in the first half of each second, a chime through the whole of each; both steady."""
    half, whole = np.full(SECOND // 2, WORDS, np.float32), np.full(SECOND, CHIME, np.float32)
    return Mix(
        length_frames=10 * SECOND,
        predicted=levels.Levels(1.0, 1.0, 1.0, -18.0),
        cues=tuple(MixedCue(second * SECOND, half.size, "words") for second in range(10)),
        rings=tuple(MixedBell(second * SECOND, whole.size, whole) for second in range(10)),
        dips=dips.from_plan(()),
        clip=lambda words: half,
        longest_cue=half.size,
        longest_ring=whole.size,
    )


def sounded() -> tuple[Sounded, Pull]:
    sounding = ReconnectingSpeaker(Wanted("silent"))
    made = Sounded(mix(), sounding)
    assert sounding.source is not None
    return made, sounding.source


def heard(pull: Pull, seconds: float) -> np.ndarray:
    return pull(int(seconds * SECOND))[:, 0]


def test_before_the_first_change_nothing_is_heard() -> None:
    _, pull = sounded()
    assert not heard(pull, 2).any()


def test_words_are_fifteen_decibels_softer_than_the_class_has_them_and_chimes_are_not() -> None:
    made, pull = sounded()
    heard(pull, 1)
    made.begin(2000, 4000)
    sound = heard(pull, 1)
    assert sound[FADE + SECOND // 10] == pytest.approx(CHIME + WORDS * WHISPER, rel=1e-5)
    assert sound[SECOND * 3 // 4] == pytest.approx(CHIME, rel=1e-5)
    assert pytest.approx(-15, abs=0.01) == 20 * np.log10(WHISPER)


def test_what_begins_after_the_change_is_not_heard_however_late_the_key_is() -> None:
    made, pull = sounded()
    made.begin(2000, 4000)
    assert heard(pull, 2)[FADE:].all()
    assert not heard(pull, 20).any()
    made.begin(4000, 5000)
    assert heard(pull, 1)[FADE:].all()


def test_a_change_begins_with_its_key_and_what_sounded_before_fades() -> None:
    made, pull = sounded()
    made.begin(2000, 4000)
    heard(pull, 0.5)
    made.begin(6000, 8000)
    sound = heard(pull, 2.5)
    assert np.abs(np.diff(sound[: 2 * FADE])).max() < 2 * (CHIME + WORDS) / FADE
    assert sound[2 * SECOND - 100] == pytest.approx(CHIME, rel=1e-5)
    assert not sound[2 * SECOND + 1 :].any()


def test_a_pause_is_silent_and_holds_its_place() -> None:
    made, pull = sounded()
    made.begin(2000, 4000)
    heard(pull, 0.5)
    made.pause()
    assert not heard(pull, 5)[FADE:].any()
    made.go_on()
    assert heard(pull, 1.5)[FADE:].all()
    assert not heard(pull, 1).any()


def test_words_and_chimes_are_made_louder_apart() -> None:
    made, pull = sounded()
    made.begin(2000, 4000)
    assert made.louder(Order.CHIMES_DOWN) == "chimes −2 dB"
    heard(pull, 0.6)
    assert heard(pull, 0.1)[-1] == pytest.approx(CHIME * 10 ** (-2 / 20), rel=1e-5)
    made.louder(Order.VOICE_UP)
    heard(pull, 0.4)
    louder = CHIME * 10 ** (-2 / 20) + WORDS * WHISPER * 10 ** (2 / 20)
    assert heard(pull, 0.1)[-1] == pytest.approx(louder, rel=1e-5)


def test_the_end_fades_and_is_over() -> None:
    made, pull = sounded()
    made.begin(2000, 4000)
    heard(pull, 0.5)
    assert not made.is_over
    made.end()
    sound = heard(pull, 1)
    assert sound[0] > 0 and not sound[player_module.LAST_FADE_FRAMES :].any()
    assert made.is_over


def test_what_goes_wrong_with_a_sound_is_told_and_so_is_what_is_new_of_its_music() -> None:
    half, gone = np.full(SECOND // 2, WORDS, np.float32), False

    def clip(words: str) -> np.ndarray:
        if gone:
            raise OSError("the disk is gone")
        return half

    news = iter(["song.wav was taken away", ""])
    sounding = ReconnectingSpeaker(Wanted("silent"))
    made = Sounded(replace(mix(), clip=clip), sounding, news=lambda: next(news))
    made.begin(2000, 4000)
    gone = True
    assert sounding.source is not None and not heard(sounding.source, 1).any()
    gone = False
    assert [made.keep() for _ in range(3)] == [
        "a sound was left out: the disk is gone",
        "song.wav was taken away",
        "",
    ]


def test_where_nothing_is_heard_loudness_is_told_to_be_of_no_use() -> None:
    assert Quiet().louder(Order.VOICE_UP) == "this rehearsal is silent"
