"""The words of a taught class meet those of its plan: in order, the right ones, and none that were never said."""

from random import Random

import pytest
from examples import FULL, tried
from hypothesis import given, settings
from hypothesis import strategies as st
from taught import CLEAN, GARBLED, LIGHT, SHIPPED, Noise, shipped_plan, shipped_plans, taught

from guide.review.aligning.step_starts import step_starts
from guide.review.aligning.taut_string import Window, taut_string
from guide.review.aligning.time_windows import heard_cues, planned_words, timed_words
from guide.review.aligning.word_matches import Begins, PlannedWord, aligned
from guide.review.captions.transcript import Segment, Transcript, Word, folded, words


def plan_of(text: str) -> list[PlannedWord]:
    """Words half a second apart, one cue to a line."""
    made: list[PlannedWord] = []
    for cue, line in enumerate(text.splitlines()):
        for number, word in enumerate(folded(line)):
            start_ms = 500 * len(made)
            begins = Begins.NOTHING if number else Begins.STEP
            made.append(PlannedWord(Word(word, start_ms, start_ms + 400), cue, begins))
    return made


def said(text: str) -> tuple[Word, ...]:
    """Words half a second apart."""
    return tuple(Word(word, 500 * at, 500 * at + 400) for at, word in enumerate(folded(text)))


def met(plan: str, heard: str) -> list[tuple[str, str]]:
    """The pairs of words that were matched."""
    one, other = plan_of(plan), said(heard)
    return [(one[match.planned].word.text, other[match.heard].text) for match in aligned(one, other).matches]


def test_the_same_words_meet_word_for_word() -> None:
    line = "bend your knees as much as you like"
    assert met(line, line) == [(word, word) for word in line.split()]


def test_words_that_were_put_between_are_left_alone() -> None:
    found = met("lift your arms past your ears", "lift okay lovely your arms past um your ears")
    assert found == [(word, word) for word in ("lift", "your", "arms", "past", "your", "ears")]


@pytest.mark.parametrize(
    ("name", "heard"),
    [
        ("chaturanga", "chat to wrong a"),
        ("uttanasana", "utah nasana"),
        ("virabhadrasana", "vera bad rasana"),
        ("shavasana", "savasana"),
        ("two", "to"),
        ("plank", "blank"),
    ],
)
def test_a_name_is_known_when_it_was_misheard(name: str, heard: str) -> None:
    """Mishearings made up by ear."""
    found = met(f"step back and lower to {name} now", f"step back and lower to {heard} now")
    assert dict(found)[name] == heard.split()[0]


def test_a_line_said_twice_pulls_nothing_along() -> None:
    plan = "sit tall on the blanket\nturn your palms upward\nlet your shoulders melt"
    heard = said("sit tall on the blanket sit tall on the blanket turn your palms upward let your shoulders melt")
    places = [match.heard for match in aligned(plan_of(plan), heard).matches]
    assert places in ([*range(5), *range(10, 18)], [*range(5, 18)])


def test_nothing_is_found_in_words_of_something_else() -> None:
    assert met("fold over your thighs and rest your forehead", "the train leaves at noon with seven wagons") == []


@pytest.mark.parametrize(("plan", "heard"), [("", ""), ("lift your arms", ""), ("", "lift your arms")])
def test_where_one_side_is_silent_nothing_meets(plan: str, heard: str) -> None:
    assert met(plan, heard) == []


SAID = ("inhale", "exhale", "lift", "your", "left", "right", "arms", "knee", "cobra", "the", "a", "2", "two")
WORDS = st.lists(st.sampled_from(SAID), max_size=40)


@given(WORDS, WORDS)
@tried(150)
def test_matches_rise_on_both_sides_and_are_of_words_that_are_alike(plan: list[str], heard: list[str]) -> None:
    alignment = aligned(plan_of("\n".join(plan)), said(" ".join(heard)))
    for one, other in zip(alignment.matches, alignment.matches[1:], strict=False):
        assert one.planned < other.planned and one.heard < other.heard
    assert all(0 < match.alike <= 1 for match in alignment.matches)


@pytest.mark.parametrize(("noise", "least", "most_wrong"), [(CLEAN, 1.0, 0), (LIGHT, 0.85, 0.01), (GARBLED, 0.7, 0.01)])
def test_nearly_every_word_of_a_taught_class_meets_the_cue_that_it_was_said_for(
    noise: Noise, least: float, most_wrong: float
) -> None:
    right = wrong = whole = 0
    for name in SHIPPED:
        _, timeline = shipped_plan(name)
        class_ = taught(timeline, noise, 5000, 7)
        planned_of = planned_words(timeline)
        owner = [one.cue for one in class_.said for _ in folded(one.text)]
        for match in aligned(planned_of, words(class_.transcript)).matches:
            hit = owner[match.heard] == planned_of[match.planned].cue
            right, wrong = right + hit, wrong + (not hit)
        whole += len(planned_of)
    print(f"{noise.name}: {right / whole:.1%} of the plan's words met, {wrong / whole:.2%} wrongly")
    assert right >= least * whole
    assert wrong <= most_wrong * whole


@pytest.mark.parametrize(
    ("noise", "block_ms", "least"),
    [
        # The bounds of light noise are those that were asked for; the others hold what was measured.
        (CLEAN, 5000, 0.98),
        (CLEAN, 40_000, 0.9),
        (LIGHT, 5000, 0.95),
        (LIGHT, 40_000, 0.8),
        (GARBLED, 5000, 0.92),
        (GARBLED, 40_000, 0.72),
    ],
    ids=lambda value: value.name if isinstance(value, Noise) else str(value),
)
def test_steps_are_found_to_begin_within_two_seconds_of_the_truth(noise: Noise, block_ms: int, least: float) -> None:
    near = whole = 0
    for _, timeline in shipped_plans():
        for seed in range(2 if noise is LIGHT and FULL else 1):
            class_ = taught(timeline, noise, block_ms, seed)
            starts_ms = step_starts(timeline, heard_cues(timeline, timed_words(class_.transcript))).starts_ms
            near += sum(abs(one - true) <= 2000 for one, true in zip(starts_ms, class_.starts_ms, strict=True))
            whole += len(starts_ms)
    print(f"{noise.name}, captions of {block_ms / 1000:g} s: {near / whole:.1%} of {whole} starts within 2 s")
    assert near >= least * whole


@pytest.mark.parametrize("block_ms", [5000, 40_000])
def test_a_heard_cue_could_have_begun_when_it_did(block_ms: int) -> None:
    for _, timeline in shipped_plans():
        class_ = taught(timeline, CLEAN, block_ms, 4)
        true_ms = {one.cue: one.start_ms for one in class_.said}
        for one in heard_cues(timeline, timed_words(class_.transcript)):
            assert one.low_ms <= true_ms[one.cue] <= one.high_ms


def test_steps_begin_in_order_whatever_was_heard() -> None:
    _, timeline = shipped_plan("desk-break")
    blocks = list(taught(timeline, LIGHT, 5000, 1).transcript.blocks)
    texts = [block.text for block in blocks]
    Random(3).shuffle(texts)
    mixed = Transcript("mixed", tuple(Segment(b.start_ms, b.end_ms, t) for b, t in zip(blocks, texts, strict=True)))
    placing = step_starts(timeline, heard_cues(timeline, timed_words(mixed)))
    assert list(placing.starts_ms) == sorted(placing.starts_ms)
    assert placing.end_ms >= placing.starts_ms[-1]


DOORS = st.lists(
    st.tuples(st.floats(0.1, 9), st.floats(-50, 50), st.floats(0, 20), st.booleans()), min_size=1, max_size=12
)


@given(DOORS, st.randoms(use_true_random=False))
@settings(deadline=None)
def test_a_string_drawn_tight_goes_through_every_door_and_no_way_beside_it_is_straighter(
    made: list[tuple[float, float, float, bool]], random: Random
) -> None:
    windows, at = [], 0.0
    for gap, low, size, is_open in made:
        at += gap
        windows.append(Window(at, float("-inf"), float("inf")) if is_open else Window(at, low, low + size))
    heights = taut_string(windows)

    def bent(way: list[float]) -> float:
        steps = zip(windows, windows[1:], way, way[1:], strict=False)
        return sum((after - before) ** 2 / (other.at - one.at) for one, other, before, after in steps)

    slack = 1e-6
    assert all(
        window.low - slack <= height <= window.high + slack for window, height in zip(windows, heights, strict=True)
    )
    for number, window in enumerate(windows):
        other = list(heights)
        other[number] = min(max(heights[number] + random.uniform(-1, 1), window.low), window.high)
        assert bent(other) >= bent(heights) - slack * (1 + bent(heights))
