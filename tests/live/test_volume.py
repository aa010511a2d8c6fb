"""Words and chimes made louder and softer while a class is led: never clipped, and told as a level."""

import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

sys.path.append(str(Path(__file__).parents[1] / "sound"))

from examples import tried
from sound_samples import led_class, palette_of_shipped

from guide.live.orders import Order
from guide.live.player import CEILING, FADE_FRAMES, MOST_GAIN, Player
from guide.live.volume import USUAL
from guide.sound.mixer import Mix, prepare
from guide.units import RATE_HZ

SECONDS = 40


@cache
def led_mix() -> Mix:
    """Words and chimes as loud as they are led; twice as loud, the peaks of the words would be far over full scale."""
    timeline, clips = led_class(5000, SECONDS * 1000, chime_every_ms=2000)
    return prepare(timeline, clips, palette_of_shipped())


def pulled(player: Player, frames: int) -> np.ndarray:
    return np.asarray(player.pull(frames)[:, 0])


def longest_flat(sound: np.ndarray) -> int:
    """How many samples in a row lie at the height of the highest, as clipped ones do."""
    at_top = np.abs(sound) >= 0.999 * np.abs(sound).max()
    edges = np.flatnonzero(np.diff(np.concatenate([[0], at_top.astype(int), [0]])))
    return int((edges[1::2] - edges[::2]).max())


@pytest.mark.parametrize(("voice", "bells"), [(MOST_GAIN, 1.0), (MOST_GAIN, MOST_GAIN)])
def test_at_the_most_nothing_is_clipped_and_what_is_soft_is_as_loud_as_was_asked(voice: float, bells: float) -> None:
    mix = led_mix()
    usual, louder = Player(mix), Player(mix)
    louder.set_gains(voice, bells)
    before = pulled(usual, SECONDS * RATE_HZ)
    assert MOST_GAIN * np.abs(before).max() > 1.25
    sound = np.concatenate([pulled(louder, RATE_HZ // 20) for _ in range(20 * SECONDS)])
    assert np.abs(sound).max() <= CEILING + 1e-6
    assert longest_flat(sound) <= 3
    asked = before[FADE_FRAMES:], sound[FADE_FRAMES:]
    assert np.sqrt(np.mean(asked[1] ** 2) / np.mean(asked[0] ** 2)) > 1.4
    if voice == bells:
        soft = np.abs(asked[0]).reshape(-1, RATE_HZ // 100).max(axis=1) < 0.1
        held = asked[1].reshape(-1, RATE_HZ // 100)[soft] - MOST_GAIN * asked[0].reshape(-1, RATE_HZ // 100)[soft]
        assert np.median(np.abs(held).max(axis=1)) < 1e-6


@given(st.lists(st.integers(1, 9_000), min_size=1, max_size=6))
@tried(20)
def test_what_is_louder_is_the_same_however_it_is_asked_for(pieces: list[int]) -> None:
    mix = led_mix()
    players = [Player(mix, 4 * RATE_HZ) for _ in range(2)]
    for player in players:
        player.set_gains(MOST_GAIN, MOST_GAIN)
        pulled(player, FADE_FRAMES)
    whole = pulled(players[0], sum(pieces))
    assert np.array_equal(np.concatenate([pulled(players[1], piece) for piece in pieces]), whole)


def test_turning_up_and_down_in_quick_succession_never_jumps() -> None:
    player = Player(led_mix(), 4 * RATE_HZ)
    heard = []
    for number in range(60):
        player.set_gains(MOST_GAIN if number % 2 else 0.5, 1.0)
        heard.append(pulled(player, 300 + 37 * number))
    usual = pulled(Player(led_mix(), 4 * RATE_HZ), sum(map(len, heard)))
    steepest = np.abs(np.diff(usual)).max()
    assert np.abs(np.diff(np.concatenate(heard))).max() <= MOST_GAIN * steepest + 2 * MOST_GAIN / FADE_FRAMES


def test_what_is_told_is_the_level_and_its_limit() -> None:
    volume, told = USUAL, []
    for order in (*[Order.VOICE_UP] * 4, Order.VOICE_DOWN, *[Order.CHIMES_DOWN] * 2, *[Order.CHIMES_UP] * 2):
        volume = volume.turned(order)
        told.append(volume.told(order))
    assert told == [
        "voice +2 dB",
        "voice +4 dB",
        "voice +6 dB, as loud as it goes",
        "voice +6 dB, as loud as it goes",
        "voice +4 dB",
        "chimes −2 dB",
        "chimes −4 dB",
        "chimes −2 dB",
        "chimes as usual",
    ]
