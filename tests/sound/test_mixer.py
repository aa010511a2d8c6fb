"""The mixer: the plan is heard where it stands, the same however it is asked for, as loud as it should be."""

import dataclasses
import math
import tracemalloc
from itertools import pairwise

import numpy as np
import pytest
import soxr
from examples import tried
from hypothesis import given
from hypothesis import strategies as st
from sound_samples import (
    KeptClips,
    MadeClips,
    cues_at,
    led_class,
    palette_of_shipped,
    ring_at,
    speech_like,
    timeline_of,
)

from guide.plan.timeline import Cue, CuePart, Dip, RingRole, Timeline
from guide.sequence.steps import CueKind
from guide.sound.k_weighting import lufs
from guide.sound.loudness_meter import Meter
from guide.sound.mixer import BLOCK_FRAMES, Mix, block, centre, prepare
from guide.sound.palette import Palette
from guide.units import RATE_HZ, frames_from_ms

CLICK = np.array([32767], np.int16)


def whole(mix: Mix) -> np.ndarray:
    return centre(mix, 0, mix.length_frames)


def metered(mix: Mix) -> Meter:
    meter = Meter(RATE_HZ)
    for first in range(0, mix.length_frames, BLOCK_FRAMES):
        meter.feed(centre(mix, first, min(BLOCK_FRAMES, mix.length_frames - first)))
    return meter


# Where things stand.


@given(starts=st.sets(st.integers(0, 59_999), min_size=1, max_size=40))
@tried(40)
def test_a_voice_of_clicks_is_heard_at_exactly_the_planned_frames(starts: set[int]) -> None:
    starts_ms, clips = sorted(starts), {"click": CLICK}
    timeline = timeline_of(cues_at(starts_ms, ["click"] * len(starts_ms), clips), (), 60_000)
    sound = whole(prepare(timeline, KeptClips(clips), palette_of_shipped()))
    assert np.flatnonzero(sound).tolist() == [frames_from_ms(ms) for ms in starts_ms]


def test_a_bell_is_heard_from_the_frame_it_is_struck(shipped_palette: Palette) -> None:
    mix = prepare(timeline_of((), (ring_at(1234, RingRole.STEP),), 5000), KeptClips({}), shipped_palette)
    heard = np.flatnonzero(whole(mix))
    assert frames_from_ms(1234) <= heard[0] < frames_from_ms(1236)
    assert heard[-1] < frames_from_ms(1234 + shipped_palette.length_ms("wood bar"))


def test_a_bell_that_is_cut_fades_and_is_over_in_its_time(shipped_palette: Palette) -> None:
    timeline = timeline_of((), (ring_at(1000, RingRole.CLASS, 2000),), 6000)
    sound = np.abs(whole(prepare(timeline, KeptClips({}), shipped_palette)))
    end = frames_from_ms(3000)
    assert not sound[end:].any()
    assert sound[end - 48 : end].max() < 0.05 * sound[end - 4800 : end - 2400].max()


def test_outside_the_class_there_is_silence(shipped_palette: Palette) -> None:
    timeline, clips = led_class(5000, 30_000)
    mix = prepare(timeline, clips, shipped_palette)
    assert not centre(mix, -5000, 5000).any()
    assert not centre(mix, mix.length_frames, 5000).any()
    assert block(mix, 0, 0).shape == (0, 2)


def test_both_channels_are_the_same(shipped_palette: Palette) -> None:
    timeline, clips = led_class(5000, 30_000)
    mix = prepare(timeline, clips, shipped_palette)
    both = block(mix, 200_000, 48_000)
    assert both.shape == (48_000, 2)
    assert both.dtype == np.float32
    assert both.any()
    assert np.array_equal(both[:, 0], both[:, 1])
    assert np.array_equal(both[:, 0], centre(mix, 200_000, 48_000))


# However it is asked for.


@st.composite
def busy_classes(draw: st.DrawFn) -> tuple[Timeline, KeptClips]:
    """Words that follow close, loud enough to be limited, with rings that lie over each other and are cut."""
    clips = {name: speech_like(seed, 0.3 + 0.2 * seed) for seed, name in enumerate("abcd")}
    starts, words, at = [], [], 0
    for gap in draw(st.lists(st.integers(1, 1500), min_size=1, max_size=8)):
        word = draw(st.sampled_from("abcd"))
        starts.append(at + gap)
        words.append(word)
        at += gap + clips[word].size // 48 + 1
    rings = tuple(
        ring_at(start, role, length)
        for start, role, length in draw(
            st.lists(
                st.tuples(st.integers(0, at), st.sampled_from(RingRole), st.sampled_from([None, 30, 700])),
                max_size=8,
            )
        )
    )
    return timeline_of(cues_at(starts, words, clips), rings, at + 2000), KeptClips(clips)


@given(made=busy_classes(), cuts=st.lists(st.integers(0, 400_000), max_size=10), order=st.randoms())
@tried(40)
def test_blocks_of_any_size_in_any_order_hold_the_same_samples(
    made: tuple[Timeline, KeptClips], cuts: list[int], order: object
) -> None:
    timeline, clips = made
    mix = prepare(timeline, clips, palette_of_shipped(), -14.0)
    expected = whole(mix)
    edges = [0, *sorted(cut for cut in cuts if cut < mix.length_frames), mix.length_frames]
    spans = list(pairwise(edges))
    order.shuffle(spans)  # type: ignore[attr-defined]
    again = prepare(timeline, clips, palette_of_shipped(), -14.0)
    for first, last in spans:
        assert np.array_equal(centre(again, first, last - first), expected[first:last])


def test_single_frames_hold_the_same_samples(shipped_palette: Palette) -> None:
    timeline, clips = led_class(5000, 30_000)
    mix = prepare(timeline, clips, shipped_palette)
    first = frames_from_ms(4000) - 30
    singles = np.concatenate([centre(mix, first + i, 1) for i in range(60)])
    assert np.array_equal(singles, centre(mix, first, 60))
    assert singles.any()


def test_a_clip_is_fetched_when_it_begins_and_let_go(shipped_palette: Palette) -> None:
    timeline, clips = led_class(5000, 60_000)
    mix = prepare(timeline, clips, shipped_palette)
    assert clips.asked == {}
    centre(mix, 0, frames_from_ms(4000))
    assert clips.asked == {}
    centre(mix, frames_from_ms(4000), 1)
    assert clips.asked == {"words 0": 1}


def made_class(minutes: int) -> Timeline:
    starts = range(3000, minutes * 60_000 - 5000, 4000)
    cues = tuple(Cue(ms, 3000, str(i), CueKind.HOW, CuePart.HOLD, PLACE_OF_CUE, 0) for i, ms in enumerate(starts))
    rings = tuple(ring_at(ms, RingRole.INHALE) for ms in range(0, minutes * 60_000 - 5000, 8000))
    return timeline_of(cues, rings, minutes * 60_000)


PLACE_OF_CUE = ring_at.__globals__["PLACE"]


def test_a_longer_class_takes_no_more_memory_to_mix(shipped_palette: Palette) -> None:
    peaks = []
    for minutes in (3, 12):
        mix = prepare(made_class(minutes), MadeClips(3000), shipped_palette)
        tracemalloc.start()
        for first in range(0, mix.length_frames, BLOCK_FRAMES):
            centre(mix, first, BLOCK_FRAMES)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < 1.1 * peaks[0]
    assert peaks[1] < 10e6


# How loud it is.


@pytest.mark.parametrize("target", [-23.0, -18.0, -16.0, -14.0])
@pytest.mark.parametrize("gap_ms", [3200, 9000, 25_000], ids=["many words", "some words", "few words"])
def test_the_class_measures_what_was_asked(shipped_palette: Palette, gap_ms: int, target: float) -> None:
    """Programme loudness as BS.1770-5 measures it; the tolerance is our own promise."""
    timeline, clips = led_class(gap_ms, 120_000)
    mix = prepare(timeline, clips, shipped_palette, target)
    assert metered(mix).integrated == pytest.approx(target, abs=0.5)
    assert mix.predicted.loudness_lufs == pytest.approx(metered(mix).integrated, abs=0.15)


@pytest.mark.parametrize("target", [-18.0, -14.0])
def test_no_true_peak_passes_one_below_full(shipped_palette: Palette, target: float) -> None:
    """Looked at eight times between the samples by another resampler than ours (EBU Tech 3343: -1 dBTP)."""
    timeline, clips = led_class(3200, 60_000, chime_every_ms=700)
    sound = whole(prepare(timeline, clips, shipped_palette, target))
    fine = soxr.resample(sound, RATE_HZ, 8 * RATE_HZ, quality="VHQ")
    assert np.abs(fine).max() <= 10 ** (-1 / 20)


def test_a_soft_voice_is_left_as_it_was_spoken(shipped_palette: Palette) -> None:
    timeline, clips = led_class(5000, 60_000)
    mix = prepare(timeline, clips, shipped_palette, -26.0)
    cue = timeline.cues[3]
    ratio = mix.clip(cue.words) / np.maximum(1, np.abs(clips[cue.words])) * 32768
    assert np.unique(np.round(np.abs(ratio[clips[cue.words] != 0]), 4)).size == 1


def test_few_words_among_many_chimes_are_not_shouted(shipped_palette: Palette) -> None:
    timeline, clips = led_class(40_000, 240_000, chime_every_ms=2000)
    mix = prepare(timeline, clips, shipped_palette)
    assert metered(dataclasses.replace(mix, rings=())).integrated < -18 + 1.5
    assert metered(mix).integrated == pytest.approx(-18.0, abs=0.5)


def test_a_class_without_words_has_bells_as_loud_as_in_one_with(shipped_palette: Palette) -> None:
    rings = (ring_at(0, RingRole.CLASS), ring_at(20_000, RingRole.CLASS))
    mix = prepare(timeline_of((), rings, 30_000), KeptClips({}), shipped_palette)
    assert mix.predicted.bells == pytest.approx(10 ** (2 / 20))
    assert metered(mix).integrated == pytest.approx(mix.predicted.loudness_lufs, abs=0.1)


def test_an_empty_class_is_silent_and_breaks_nothing(shipped_palette: Palette) -> None:
    mix = prepare(timeline_of((), (), 1000), KeptClips({}), shipped_palette)
    assert not whole(mix).any()
    assert mix.predicted.loudness_lufs == -math.inf


def test_silent_words_break_nothing(shipped_palette: Palette) -> None:
    clips = {"hush": np.zeros(4800, np.int16), "nothing": np.zeros(0, np.int16)}
    cues = cues_at([100, 500], ["hush", "nothing"], clips)
    assert not whole(prepare(timeline_of(cues, (), 1000), KeptClips(clips), shipped_palette)).any()


def test_a_clip_longer_than_its_time_is_a_mistake_of_the_program(shipped_palette: Palette) -> None:
    clips = {"a": speech_like(1, 1.0)}
    cue = dataclasses.replace(cues_at([100], ["a"], clips)[0], length_ms=500)
    with pytest.raises(ValueError, match="'a' is longer than the 500 ms"):
        prepare(timeline_of((cue,), (), 3000), KeptClips(clips), shipped_palette)


# Turned down under the voice.


def parts(timeline: Timeline, clips: KeptClips, palette: Palette) -> tuple[np.ndarray, np.ndarray]:
    """The voice alone and the bells alone of one mix."""
    mix = prepare(timeline, clips, palette)
    silent = dataclasses.replace(mix, rings=())
    return whole(silent), whole(dataclasses.replace(mix, cues=()))


def loudness_of(sound: np.ndarray) -> float:
    return lufs(2 * float(np.mean(np.square(sound, dtype=np.float64))))


def test_under_words_everything_else_is_twenty_decibels_down(shipped_palette: Palette) -> None:
    """WCAG 2.2, SC 1.4.7 (20 dB), with every kind of bell struck as the words begin: the worst a plan could do."""
    clips = {f"w{seed}": speech_like(seed, 0.5 + seed) for seed in range(4)}
    cues = cues_at([3000, 15_000, 30_000, 45_000], list(clips), clips)
    rings = tuple(ring_at(cue.start_ms, role) for cue in cues for role in RingRole)
    voice, bells = parts(timeline_of(cues, rings, 60_000), KeptClips(clips), shipped_palette)
    for cue in cues:
        during = slice(frames_from_ms(cue.start_ms), frames_from_ms(cue.end_ms))
        assert bells[during].any()
        assert loudness_of(voice[during]) - loudness_of(bells[during]) >= 20


def test_bells_go_down_before_the_words_and_come_up_after(shipped_palette: Palette) -> None:
    clips = {"w": speech_like(1, 2.0)}
    cues = cues_at([4000], ["w"], clips)
    rings = (ring_at(0, RingRole.CLASS),)
    _, bells = parts(timeline_of(cues, rings, 12_000), KeptClips(clips), shipped_palette)
    _, free = parts(dataclasses.replace(timeline_of(cues, rings, 12_000), dips=()), KeptClips(clips), shipped_palette)
    # The levels of the two mixes differ by the least bit, since the second has louder bells: compare in shape.
    gain = bells / np.where(np.abs(free) > 1e-5, free, np.nan)
    gain /= np.nanmedian(gain[: frames_from_ms(3000)])
    assert gain[: frames_from_ms(3800)][5000::997] == pytest.approx(1.0, abs=0.01, nan_ok=True)
    during = gain[frames_from_ms(4000) : frames_from_ms(cues[0].end_ms)]
    assert np.nanmax(during) == pytest.approx(10 ** (-24 / 20), rel=0.01)
    after = gain[frames_from_ms(cues[0].end_ms + 340) :]
    assert np.nanmedian(after) == pytest.approx(1.0, abs=0.01)


def test_the_way_down_and_up_has_no_steps(shipped_palette: Palette) -> None:
    """From frame to frame the gain moves by less than 0.02 dB."""
    from guide.sound.dips import BELL_DB, from_plan

    dips = from_plan([Dip(1000, 2000), Dip(2500, 3000)])
    ones = np.ones(frames_from_ms(5000), np.float32)
    dips.turn_down(ones, 0, BELL_DB)
    steps_db = np.abs(np.diff(20 * np.log10(ones)))
    assert steps_db.max() < 0.02
    assert ones[frames_from_ms(1000) : frames_from_ms(2000)].max() == pytest.approx(10 ** (-24 / 20))
    assert ones[frames_from_ms(2320)] == 1.0


@given(
    spans=st.lists(st.tuples(st.integers(0, 9000), st.integers(1, 3000)), max_size=6),
    first=st.integers(0, 400_000),
    count=st.integers(1, 30_000),
)
@tried(60)
def test_the_gain_of_a_dip_is_the_same_looked_up_or_applied(
    spans: list[tuple[int, int]], first: int, count: int
) -> None:
    from guide.sound.dips import BELL_DB, from_plan

    dips = from_plan(Dip(start, start + length) for start, length in spans)
    applied = np.ones(count, np.float32)
    dips.turn_down(applied, first, BELL_DB)
    np.testing.assert_allclose(
        dips.gains(first + np.arange(count), BELL_DB), applied.astype(float), rtol=1e-6, atol=1e-12
    )
    for start, length in spans:
        inside = np.array([frames_from_ms(start), frames_from_ms(start + length) - 1])
        assert (dips.gains(inside, BELL_DB) < 0.07).all()
