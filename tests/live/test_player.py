"""The player: the samples of a render when nobody interferes, and every order exact, faded and without a click."""

import dataclasses
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from live_machine import telling
from live_mixes import GRAIN, ramp, steady

from guide.live.player import AHEAD_FRAMES, FADE_FRAMES, LAST_FADE_FRAMES, MOST_GAIN, SIDES, Ears, Player
from guide.problem import MachineTrouble
from guide.sound.mixer import Mix, MixedCue, block
from guide.sound.music.laid_music import LaidMusic
from guide.units import frames_from_ms

SECOND = frames_from_ms(1000)


def left(player: Player, frames: int) -> np.ndarray:
    return player.pull(frames)[:, 0]


@given(sizes=st.lists(st.integers(1, 5000), min_size=1, max_size=30), start=st.integers(0, 30_000))
@settings(deadline=None, max_examples=50)
def test_without_orders_the_samples_are_those_of_a_render_whatever_the_device_asks_for(
    sizes: list[int], start: int
) -> None:
    mix = ramp(40_000)
    player = Player(mix, start)
    heard = np.concatenate([player.pull(size) for size in sizes])
    assert np.array_equal(heard, block(mix, start, sum(sizes)))
    assert player.position == start + sum(sizes)


def test_it_is_over_when_every_frame_has_been_handed_out_and_then_there_is_silence() -> None:
    player = Player(ramp(1000))
    left(player, 999)
    assert not player.is_over
    left(player, 1)
    assert player.is_over
    assert not left(player, 100).any()


def test_a_pause_fades_holds_its_place_and_goes_on_from_it() -> None:
    player = Player(ramp(10 * SECOND))
    left(player, SECOND)
    player.pause()
    going = left(player, 2 * FADE_FRAMES)
    assert going[0] > 0.1 and not going[FADE_FRAMES:].any()
    assert (np.diff(going) < GRAIN).all()
    assert player.position == SECOND
    assert not left(player, SECOND).any()
    player.go_on()
    coming = left(player, 2 * FADE_FRAMES)
    assert coming[0] < 0.001 and (np.diff(coming[:FADE_FRAMES]) > 0).all()
    assert np.array_equal(coming[FADE_FRAMES:], block(ramp(10 * SECOND), SECOND + FADE_FRAMES, FADE_FRAMES)[:, 0])
    assert player.position == SECOND + 2 * FADE_FRAMES


def test_a_second_pause_and_a_second_going_on_change_nothing() -> None:
    player = Player(steady(SECOND, 0.5))
    player.go_on()
    assert left(player, 10)[0] == 0.5
    player.pause()
    player.pause()
    left(player, FADE_FRAMES)
    assert player.is_paused and not left(player, 10).any()


def test_a_jump_goes_on_from_exactly_that_frame() -> None:
    mix = ramp(10 * SECOND)
    player = Player(mix)
    left(player, 100)
    player.jump(5 * SECOND)
    left(player, FADE_FRAMES)
    assert np.array_equal(left(player, 500), block(mix, 5 * SECOND + FADE_FRAMES, 500)[:, 0])


def test_a_jump_while_paused_stays_silent_and_is_heard_on_going_on() -> None:
    mix = ramp(10 * SECOND)
    player = Player(mix)
    player.pause()
    left(player, FADE_FRAMES)
    player.jump(3 * SECOND)
    assert not left(player, 1000).any()
    player.go_on()
    left(player, FADE_FRAMES)
    assert np.array_equal(left(player, 10), block(mix, 3 * SECOND + FADE_FRAMES, 10)[:, 0])


def test_a_new_plan_that_sounds_the_same_here_is_not_heard_to_come_in() -> None:
    """The fades add up to one at every frame."""
    player = Player(steady(SECOND, 0.5))
    left(player, 1000)
    player.swap(steady(2 * SECOND, 0.5), 1000)
    assert np.allclose(left(player, 2 * FADE_FRAMES), 0.5, atol=1e-6)


def test_no_change_steps_further_than_its_fade_allows() -> None:
    player = Player(steady(60 * SECOND, 0.5))
    draw = random.Random(4)
    changes = (
        player.pause,
        player.go_on,
        lambda: player.jump(draw.randrange(50 * SECOND)),
        lambda: player.set_gains(draw.uniform(0, 2), 1.0),
        lambda: player.swap(steady(60 * SECOND, -0.5), draw.randrange(50 * SECOND)),
        lambda: player.swap(steady(60 * SECOND, 0.5), draw.randrange(50 * SECOND)),
    )
    heard = []
    for _ in range(300):
        heard.append(left(player, draw.randrange(1, 3000)))
        draw.choice(changes)()
    steps = np.abs(np.diff(np.concatenate(heard)))
    # The loudest that can be heard at once is both ends of a fade at twice the gain, and clipped at 1.
    assert steps.max() <= 4 * MOST_GAIN / FADE_FRAMES


def test_gains_come_gradually_and_are_exact_when_they_are_there() -> None:
    player = Player(steady(10 * SECOND, 0.25))
    player.set_gains(voice=2.0, bells=1.0)
    coming = left(player, FADE_FRAMES)
    assert (np.diff(coming) > 0).all()
    assert (left(player, 100) == 0.5).all()


@pytest.mark.parametrize("gain", [-0.1, MOST_GAIN + 0.1])
def test_a_gain_out_of_reach_is_a_mistake_of_the_caller(gain: float) -> None:
    with pytest.raises(ValueError, match="a gain is"):
        Player(ramp(10)).set_gains(gain, 1.0)


def test_an_end_before_its_time_fades_and_is_over() -> None:
    player = Player(steady(60 * SECOND, 0.5))
    left(player, 1000)
    player.end()
    going = left(player, LAST_FADE_FRAMES + 10)
    assert 0.49 < going[0] <= 0.5 and not going[-10:].any()
    assert np.abs(np.diff(going)).max() < 0.001
    assert player.is_over


def test_what_goes_wrong_in_a_pull_is_kept_and_gives_silence() -> None:
    mix = ramp(1000)

    def broken(words: str) -> np.ndarray:
        raise OSError("the disk is gone")

    player = Player(dataclasses.replace(mix, clip=broken))
    assert not left(player, 10).any()
    assert str(player.trouble) == "the disk is gone"


class GoneDisk:
    """Music of 0.25 at every frame, which a disk has up to the tenth second and then no more."""

    def sound(self, first: int, count: int) -> np.ndarray:
        if first + count > 10 * SECOND:
            raise MachineTrouble("song.wav: the disk is gone")
        return np.full(count, 0.25, np.float32)


def with_music(mix: Mix) -> Mix:
    music = LaidMusic(0, mix.length_frames, 0, GoneDisk(), 1.0, 0.0, 0, 0)
    return dataclasses.replace(mix, music=(music,), predicted=dataclasses.replace(mix.predicted, music=1.0))


def test_music_that_cannot_be_read_on_fades_before_it_is_due_and_all_else_goes_on_without_it() -> None:
    words = ramp(20 * SECOND)
    player, news = Player(with_music(words)), list[str]()
    heard = []
    for _ in range(200):
        player.fetch_ahead()
        news += filter(None, [player.news()])
        heard.append(left(player, SECOND // 10))
    assert news == ["a sound was left out: song.wav: the disk is gone"]
    music = np.concatenate(heard) - block(words, 0, 20 * SECOND)[:, 0]
    assert np.allclose(music[: 5 * SECOND], 0.25, atol=1e-6)
    assert not music[7 * SECOND :].any()
    assert np.abs(np.diff(music)).max() < 1.1 * 0.25 / FADE_FRAMES
    # Louder music, and a jump to where there would be some, bring none back and break nothing.
    player.set_gains(1.0, 1.0, 2.0)
    player.jump(15 * SECOND)
    left(player, FADE_FRAMES)
    assert np.array_equal(left(player, SECOND), block(words, 15 * SECOND + FADE_FRAMES, SECOND)[:, 0])
    assert player.news() == ""


def test_where_nobody_reads_ahead_music_that_is_gone_is_quiet_and_words_are_whole() -> None:
    words = ramp(20 * SECOND)
    player = Player(with_music(words), 9 * SECOND)
    heard = np.concatenate([left(player, SECOND) for _ in range(3)])
    music = heard - block(words, 9 * SECOND, 3 * SECOND)[:, 0]
    assert np.allclose(music[:SECOND], 0.25, atol=1e-6)
    assert not music[SECOND:].any()


def test_words_are_loaded_before_they_are_due() -> None:
    asked: list[str] = []

    def clip(words: str) -> np.ndarray:
        asked.append(words)
        return np.zeros(10, np.float32)

    starts = (0, AHEAD_FRAMES - 1, AHEAD_FRAMES, 3 * AHEAD_FRAMES)
    cues = tuple(MixedCue(start, 10, str(start)) for start in starts)
    mix = dataclasses.replace(ramp(4 * AHEAD_FRAMES), cues=cues, clip=clip, longest_cue=10)
    Player(mix).fetch_ahead()
    assert asked == ["0", str(AHEAD_FRAMES - 1)]


def test_two_thousand_orders_lose_no_frame_and_double_none() -> None:
    """A plain model keeps the place: whatever is heard at full level is the frame that the model expects."""
    mix = ramp(30 * SECOND)
    player, draw = Player(mix), random.Random(20)
    place, paused, clean = 0, False, 0
    for _ in range(2000):
        count = draw.randrange(1, 4000)
        sound = left(player, count)
        if paused:
            assert not sound[clean:].any()
        else:
            expected = block(mix, place, count)[:, 0]
            assert np.array_equal(sound[clean:], expected[clean:])
            place += count
        clean = max(0, clean - count)
        assert player.position == place
        match draw.choice(["pause", "go on", "jump", "swap", "none", "none"]):
            case "pause" if not paused:
                player.pause()
                paused, clean = True, FADE_FRAMES
            case "go on" if paused:
                player.go_on()
                paused, clean = False, FADE_FRAMES
            case "jump":
                place = draw.randrange(20 * SECOND)
                player.jump(place)
                clean = FADE_FRAMES
            case "swap":
                place = draw.randrange(20 * SECOND)
                player.swap(mix, place)
                clean = FADE_FRAMES


@pytest.mark.parametrize(("words", "chimes"), [("left", "right"), ("right", "left"), ("left", "both")])
def test_words_go_to_one_ear_and_chimes_to_the_other(words: str, chimes: str) -> None:
    mix = telling(10 * SECOND, 1)
    sides = Player(mix, ears=Ears(SIDES[words], SIDES[chimes])), Player(mix), Player(mix)
    sides[1].set_gains(1.0, 0.0)
    sides[2].set_gains(0.0, 1.0)
    for player in sides:
        player.pull(FADE_FRAMES)
    parted, only_words, only_chimes = (player.pull(SECOND) for player in sides)
    assert only_words.any() and only_chimes.any()
    assert np.array_equal(parted, only_words * np.float32(SIDES[words]) + only_chimes * np.float32(SIDES[chimes]))
    sides[0].pause()
    assert sides[0].pull(FADE_FRAMES).shape == (FADE_FRAMES, 2)
    assert not sides[0].pull(SECOND).any()
