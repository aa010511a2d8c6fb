"""Expansion: repeats unrolled, sides named, blocks put in, and what only shows once that is done."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from class_texts import expand
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.problem import FaultyFile
from guide.sequence.expand import MOST_STEPS, unroll
from guide.sequence.model import Entry, MoveEntry, RoundsEntry, SidesEntry, WrittenCue
from guide.sequence.reader import look, read_text
from guide.sequence.steps import (
    BY_CHIMES,
    UNCOUNTED,
    AtBreath,
    AtTime,
    Breath,
    Counting,
    CueKind,
    InBreaths,
    InTime,
    Numbers,
    Side,
    Step,
    StepKind,
    Words,
)


def steps(entries: str, head: str = "") -> tuple[Step, ...]:
    return expand(read_text(f"title: T\n{head}class:\n{entries}", "class.yaml", Path())).steps


def test_a_single_text_in_brackets_needs_no_quotes() -> None:
    bare, quoted = (
        steps(f"  - pose: mountain\n    hold: 3 breaths\n    say: [{text}]\n")
        for text in ("Stand tall.", '"Stand tall."')
    )
    assert bare == quoted
    assert "Stand tall." in str(bare)


def faults(entries: str, head: str = "") -> list[str]:
    made = look(f"title: T\n{head}class:\n{entries}", "class.yaml", Path())
    assert made.problems == ()
    assert made.class_file is not None
    return [str(problem) for problem in unroll(made.class_file).problems]


def said(words: tuple[Words, ...]) -> list[str]:
    return [one.text for one in words]


def test_an_unknown_pose_is_named_entered_held_for_five_breaths_and_counted_by_chimes() -> None:
    (step,) = steps("  - pose: old willow\n    enter: Stand tall.\n    say: Breathe.\n")
    assert (step.kind, step.hold, step.count) == (StepKind.POSE, InBreaths(5, 5, 5), BY_CHIMES)
    assert said(step.entry) == ["Old willow.", "Stand tall."]
    assert [one.kind for one in step.entry] == [CueKind.NAME, CueKind.HOW]
    assert said(step.words) == ["Breathe."]


def test_a_group_is_done_right_then_left_and_its_words_are_given_their_side() -> None:
    first, second = steps(
        "  - both sides:\n      - pose: willow\n        say: <Side> foot up, <other side> foot down.\n"
    )
    assert (first.side, second.side) == (Side.RIGHT, Side.LEFT)
    assert said(first.entry + first.words) == ["Willow, right side.", "Right foot up, left foot down."]
    assert said(second.entry + second.words) == ["Willow, left side.", "Left foot up, right foot down."]
    assert first.pair == second.pair is not None


def test_the_left_can_be_first_and_sides_that_may_differ_are_no_twins() -> None:
    made = steps("  - both sides:\n      - say: Up.\n    first: left\n    equal: no\n")
    assert [step.side for step in made] == [Side.LEFT, Side.RIGHT]
    assert [step.pair for step in made] == [None, None]


def test_a_side_that_opens_a_sentence_has_a_capital_letter() -> None:
    first, *_ = steps("  - both sides:\n      - inhale: Up. <side> arm.\n", "say breaths: no\n")
    assert said(first.words) == ["Up. Right arm."]


def test_a_pose_of_one_side_needs_no_second() -> None:
    (step,) = steps("  - pose: <side> hand to knee\n    side: left\n")
    assert step.pose == "Left hand to knee"
    assert said(step.entry) == ["Left hand to knee."]


def test_a_cue_for_one_pass_is_said_on_that_pass_only() -> None:
    entries = (
        "  - both sides:\n      - pose: willow\n        say:\n          - how: First.\n            on: first side\n"
        "          - how: Second.\n            on: second side\n          - Both.\n"
    )
    assert [said(step.words) for step in steps(entries)] == [["First.", "Both."], ["Second.", "Both."]]


@pytest.mark.parametrize(
    ("written", "spoken"),
    [
        ("Lift your arms.", "Inhale, lift your arms."),
        ("I lift my arms.", "Inhale, I lift my arms."),
        ("TV arms.", "Inhale, TV arms."),
        ("Inhale and rise.", "Inhale and rise."),
        ("Breathe in, rise.", "Breathe in, rise."),
    ],
)
def test_a_move_says_the_breath_that_carries_it(written: str, spoken: str) -> None:
    (step,) = steps(f"  - inhale: {written}\n")
    assert said(step.words) == [spoken]
    assert step.words[0].kind is CueKind.BREATH


def test_a_move_without_words_says_its_breath_alone() -> None:
    (step,) = steps("  - exhale:\n")
    assert said(step.words) == ["Exhale."]


def test_names_and_breaths_are_left_out_where_the_class_says_so() -> None:
    pose, move = steps("  - pose: tree\n  - inhale: Up.\n", "say names: no\nsay breaths: no\n")
    assert pose.entry == ()
    assert said(move.words) == ["Up."]


def test_a_hold_by_the_clock_and_a_rest_are_counted_only_when_they_ask_for_it() -> None:
    pose, rest, asked = steps("  - pose: tree\n    hold: 45 s\n  - rest: 3 breaths\n  - rest: 20 s\n    count: chime\n")
    assert [step.count for step in (pose, rest, asked)] == [UNCOUNTED, UNCOUNTED, BY_CHIMES]
    assert pose.hold == InTime(45_000, 45_000, 45_000)


def test_a_class_counted_in_seconds_or_down_counts_its_holds_by_the_clock() -> None:
    pose, rest = steps("  - pose: tree\n    hold: 45 s\n  - rest: 20 s\n", "count: [chime, down from 3]\n")
    assert (pose.count, rest.count) == (Counting(numbers=Numbers.DOWN, down_from=3), UNCOUNTED)


def test_words_before_the_end_come_last_however_they_are_written() -> None:
    [pose] = steps(
        "  - pose: tree\n    hold: 1 min\n    say:\n      - how: A.\n        at: 5 s before end\n"
        "      - how: B.\n        at: 20 s before end\n      - C.\n"
    )
    assert said(pose.words) == ["C.", "B.", "A."]


def test_a_rest_is_named_only_where_it_has_a_pose() -> None:
    plain, named = steps("  - rest: 20 s\n  - rest: 20 s\n    pose: boathouse rest\n")
    assert (said(plain.entry), said(named.entry)) == ([], ["Boathouse rest."])


def test_a_section_changes_pace_and_count_until_the_next() -> None:
    made = steps(
        "  - section: A\n    pace: {inhale: 3 s, exhale: 5 s}\n    count: voice\n  - inhale:\n"
        "  - section: B\n  - inhale:\n"
    )
    assert [(step.pace.inhale_ms, step.count, step.section) for step in made] == [
        (3000, Counting(numbers=Numbers.BREATHS), 0),
        (4000, BY_CHIMES, 1),
    ]


@pytest.mark.parametrize(
    ("pattern", "parts"),
    [
        ("4-7-8", (4000, 7000, 8000, 0)),
        ("box", (4000, 4000, 4000, 4000)),
        ("1:2", (4000, 0, 8000, 0)),
        ("1:4:2", (4000, 16_000, 8000, 0)),
        ("5.5-5.5", (5500, 0, 5500, 0)),
    ],
)
def test_a_breathing_pattern_has_the_parts_that_its_name_says(pattern: str, parts: tuple[int, ...]) -> None:
    """At four seconds an inhale. The sums are arithmetic: 19 s, 16 s, 12 s, 28 s and 11 s a breath."""
    (step,) = steps(f"  - breathing: {pattern}\n    lasts: 2 breaths\n")
    assert (step.pace.inhale_ms, step.pace.full_ms, step.pace.exhale_ms, step.pace.empty_ms) == parts


def test_a_pattern_kept_for_a_time_is_kept_for_whole_breaths() -> None:
    (step,) = steps("  - breathing: 4-7-8\n    lasts: 1 min\n")
    assert step.hold == InBreaths(3, 3, 3)


def test_a_cue_keeps_the_place_it_asks_for() -> None:
    (step,) = steps(
        "  - pose: old willow\n    say:\n      - how: A.\n        at: breath 2\n      - how: B.\n        at: inhale 3\n"
        "      - how: C.\n        at: 0:30\n      - how: D.\n        at: last breath\n"
    )
    assert [one.at for one in step.words] == [
        AtBreath(2, Breath.EXHALE),
        AtBreath(3, Breath.INHALE),
        AtTime(30_000),
        AtBreath(None, Breath.EXHALE),
    ]


@pytest.mark.parametrize(
    ("entries", "fault"),
    [
        (
            "  - pose: tree\n    say: Lift the <side> foot.\n",
            "class.yaml:4:10: <side> is used where nothing says which side (put the step under `both sides:`)",
        ),
        (
            "  - pose: tree\n    hold: 2 breaths\n    say:\n      - how: A.\n        at: breath 3\n",
            "class.yaml:6:14: this cue is placed at breath 3 of a hold of 2 (an earlier breath, or a longer hold)",
        ),
        (
            "  - pose: tree\n    hold: 20 s\n    say:\n      - how: A.\n        at: 30 s before end\n",
            "class.yaml:6:14: this cue is placed 30 s before the end of a hold of 20 s "
            "(a place nearer to the end, or a longer hold)",
        ),
        (
            "  - pose: tree\n    hold: 5 breaths\n    count: down from 10\n",
            "class.yaml:3:5: `count: down from 10` counts more breaths than the 5 of this hold "
            "(write `count: down`, or a number up to 5)",
        ),
        (
            "  - pose: tree\n    hold: 8 s\n    count: down from 10\n",
            "class.yaml:3:5: `count: down from 10` counts more seconds than the 8 of this hold "
            "(write `count: down`, or a number up to 8)",
        ),
        (
            "  - rest: 1 min\n    chime every: 1 min\n",
            "class.yaml:3:5: a chime every 1 min is never heard in a hold of 1 min "
            "(write a shorter time, or `bell: end` for a bell when it is over)",
        ),
        (
            "  - pose: tree\n    hold: 10 s\n    say:\n      - how: A.\n        at: 12 s\n",
            "class.yaml:6:14: this cue is placed 12 s into a hold of 10 s (an earlier place, or a longer hold)",
        ),
        (
            "  - pose: tree\n    say:\n      - how: A.\n        on: first side\n",
            "class.yaml:5:14: `on: first side` is used where there is one pass only "
            "(put the step under `both sides:`, or leave `on` out)",
        ),
    ],
)
def test_what_only_shows_in_the_unrolled_class_is_shown_at_its_place(entries: str, fault: str) -> None:
    assert faults(entries) == [fault]


def test_a_class_without_end_is_refused_at_once() -> None:
    """A hundred and eight rounds (a full mala) of themselves, four deep: 136 million steps."""
    nested = "  - rounds: 108\n    of:\n"
    for depth in range(1, 4):
        nested += f"{'  ' * (2 * depth + 1)}- rounds: 108\n{'  ' * (2 * depth + 2)}of:\n"
    nested += f"{'  ' * 9}- inhale: Up.\n"
    found = faults(nested)
    assert len(found) == 1
    assert f"more than {MOST_STEPS:,} steps" in found[0]
    with pytest.raises(FaultyFile):
        steps(nested)


MOVE = st.builds(
    lambda text: MoveEntry(Breath.INHALE, PLACE, WrittenCue(text, CueKind.BREATH, PLACE)),
    st.sampled_from(["Up.", "<side> up.", "<other side> down."]),
)
PLACE = read_text("title: T\nclass:\n  - inhale:\n", "class.yaml", Path()).place


def groups(deeper: st.SearchStrategy[Entry]) -> st.SearchStrategy[Entry]:
    return st.builds(
        lambda times, entries: RoundsEntry(times, tuple(entries), PLACE),
        st.integers(1, 4),
        st.lists(deeper, min_size=1, max_size=3),
    )


TREE = st.recursive(MOVE, groups, max_leaves=8)


def leaves(entry: Entry) -> int:
    if isinstance(entry, RoundsEntry):
        assert isinstance(entry.of, tuple)
        return entry.times * sum(leaves(one) for one in entry.of)
    return 1


@settings(deadline=None, max_examples=60)
@given(st.lists(TREE, min_size=1, max_size=4))
def test_both_sides_double_every_step_and_each_has_one_twin_on_the_other_side(entries: list[Entry]) -> None:
    class_file = read_text("title: T\nclass:\n  - inhale:\n", "class.yaml", Path())
    sides = SidesEntry(tuple(entries), PLACE)
    # A half of a breath that is missing on one side alone is given there alone.
    made = [step for step in expand(replace(class_file, entries=(sides,))).steps if not step.given]
    number = sum(leaves(entry) for entry in entries)
    right, left = made[:number], made[number:]
    assert len(made) == 2 * number
    assert {step.side for step in right} == {Side.RIGHT}
    assert {step.side for step in left} == {Side.LEFT}
    assert [step.pair for step in right] == [step.pair for step in left]
    assert set(Counter(step.pair for step in made).values()) == {2}
    assert not any("<" in text for step in made for text in said(step.words))
    swapped = {"right": "left", "left": "right"}
    for one, other in zip(right, left, strict=True):
        turned = " ".join(swapped.get(word, word) for word in one.words[0].text.split())
        assert turned == other.words[0].text


def test_a_pose_that_the_library_knows_to_have_no_sides_is_named_without_one() -> None:
    inside = "".join(f"      - pose: {name}\n        say: none\n" for name in ("tree", "downward dog", "old willow"))
    named = [said(step.entry) for step in steps(f"  - both sides:\n{inside}")]
    assert named[:3] == [["Tree, right side."], ["Downward dog."], ["Old willow, right side."]]


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("Reach your arms up.", "Inhale, reach your arms up.", "Reach your arms up, inhale."),
        ("Arms up", "Inhale, arms up", "Arms up, inhale."),
        ("Arms up! Look ahead.", "Inhale, arms up! Look ahead.", "Inhale, arms up! Look ahead."),
        ("Where is your weight?", "Inhale, where is your weight?", "Inhale, where is your weight?"),
        ("Inhale, rise.", "Inhale, rise.", "Inhale, rise."),
        ("Rise and breathe in.", "Inhale, rise and breathe in.", "Rise and breathe in."),
    ],
)
def test_the_word_for_a_breath_stands_before_its_words_or_behind_one_plain_sentence(
    text: str, first: str, last: str
) -> None:
    entry = f'  - inhale: "{text}"\n'
    assert [said(step.words) for step in steps(entry)] == [[first]]
    assert [said(step.words) for step in steps(entry, "breath word: last\n")] == [[last]]
    section = f"  - section: A\n    breath word: last\n{entry}  - section: B\n  - exhale:\n{entry}"
    assert [said(step.words) for step in steps(section)] == [[last], ["Exhale."], [first]]
    assert [said(step.words) for step in steps(f"{entry}    breath word: first\n", "breath word: last\n")] == [[first]]


def test_a_lead_is_that_of_the_move_or_else_of_the_section_or_else_of_the_class() -> None:
    moves = "  - inhale:\n  - exhale:\n    lead: 0 s\n"
    text = f"{moves}  - section: A\n    lead: 0.5 s\n{moves}  - section: B\n{moves}"
    assert [step.lead_ms for step in steps(text)] == [1000, 0, 500, 0, 1000, 0]
    assert [step.lead_ms for step in steps(text, "lead: 2 s\n")] == [2000, 0, 500, 0, 2000, 0]
