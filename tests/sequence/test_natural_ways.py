"""Ways to write that come naturally, each beside the longer way that says the same."""

from dataclasses import replace
from pathlib import Path

import pytest
from class_texts import expand

from guide.problem import Place
from guide.sequence.cues import CUE_KEYS
from guide.sequence.entries import ENTRY_KEYS
from guide.sequence.other_words import AT_THE_TOP, IN_A_CUE, IN_A_STEP
from guide.sequence.reader import look, read_text
from guide.sequence.settings import CLASS_KEYS
from guide.sequence.steps import InTime, Side, Step

HEAD = "title: T\nlibrary cues: no\n"


def steps(entries: str, blocks: str = "") -> list[Step]:
    """The steps that the file writes, without the halves of a breath that are given between them."""
    made = expand(read_text(f"{HEAD}{blocks}class:\n{entries}", "class.yaml", Path())).steps
    return [step for step in made if not step.given]


def unplaced(step: Step) -> Step:
    """A step without where it was written."""
    nowhere = Place("", 1, 1)
    entry, words = (tuple(replace(one, place=nowhere) for one in each) for each in (step.entry, step.words))
    return replace(step, place=nowhere, pair=step.pair and "pair", entry=entry, words=words)


def problems(entries: str) -> list[str]:
    made = look(f"{HEAD}class:\n{entries}", "class.yaml", Path())
    return [f"{problem.place.line}:{problem.place.column} {problem.what} ({problem.fix})" for problem in made.problems]


VINYASA = "blocks:\n  vinyasa:\n    - exhale: Down.\n    - inhale: Up.\n"


@pytest.mark.parametrize(
    ("short", "long"),
    [
        (
            "  - both sides: low lunge\n    hold: 5 breaths\n    say: <side> knee bent.\n    count: none\n",
            "  - both sides:\n      - pose: low lunge\n        hold: 5 breaths\n        say: <side> knee bent.\n"
            "        count: none\n",
        ),
        ("  - both sides: low lunge\n", "  - both sides:\n      - pose: low lunge\n"),
        (
            "  - both sides: low lunge\n    hold: {first side: 5 breaths, second side: 7 breaths}\n",
            "  - both sides:\n      - pose: low lunge\n        hold: {first side: 5 breaths, second side: 7 breaths}\n",
        ),
        (
            "  - pose: low lunge\n    hold: 1 min each side\n",
            "  - both sides:\n      - pose: low lunge\n        hold: 1 min\n",
        ),
        (
            "  - rest: 2 to 3 min on each side\n    pose: side-lying rest\n",
            "  - both sides:\n      - rest: 2 to 3 min\n        pose: side-lying rest\n",
        ),
        (
            "  - both sides:\n      - pose: low lunge\n        hold: 5 breaths per side\n",
            "  - both sides:\n      - pose: low lunge\n        hold: 5 breaths\n",
        ),
        (
            "  - both sides: low lunge\n    hold: 5 breaths a side\n",
            "  - both sides:\n      - pose: low lunge\n        hold: 5 breaths\n",
        ),
        (
            "  - inhale: Up.\n    times: 3\n",
            "  - rounds: 3\n    of:\n      - inhale: Up.\n      - exhale:\n",
        ),
        (
            "  - inhale: Up.\n    times: 3\n  - exhale: Down.\n  - inhale:\n",
            "  - rounds: 3\n    of:\n      - inhale: Up.\n      - exhale: Down.\n  - inhale:\n",
        ),
        (
            "  - exhale: Down.\n    times: 2\n  - inhale: Up.\n    times: 2\n",
            "  - rounds: 2\n    of:\n      - exhale: Down.\n      - inhale: Up.\n",
        ),
        (
            "  - exhale: Down.\n    times: 2\n    pace: 6 s\n  - exhale: Again.\n",
            "  - rounds: 2\n    of:\n      - exhale: Down.\n        pace: {inhale: 6 s, exhale: 6 s}\n"
            "      - inhale:\n        pace: {inhale: 6 s, exhale: 6 s}\n  - exhale: Again.\n",
        ),
        (
            "  - inhale: Up.\n    pace: 10 s\n",
            "  - inhale: Up.\n    pace: {inhale: 10 s, exhale: 10 s}\n",
        ),
        (
            "  - inhale: Up.\n    pace: 8 to 10 s\n",
            "  - inhale: Up.\n    pace: {inhale: 8 to 10 s, exhale: 8 to 10 s}\n",
        ),
        (
            "  - block: vinyasa\n    pace: 5 breaths a minute\n  - inhale: Up.\n",
            "  - exhale: Down.\n    pace: 5 breaths a minute\n  - inhale: Up.\n    pace: 5 breaths a minute\n"
            "  - inhale: Up.\n",
        ),
        (
            "  - rounds: 2\n    of: vinyasa\n    pace: 5 breaths a minute\n",
            "  - rounds: 2\n    of:\n      - exhale: Down.\n        pace: 5 breaths a minute\n      - inhale: Up.\n"
            "        pace: 5 breaths a minute\n",
        ),
        (
            "  - both sides:\n      - inhale: Up.\n      - pose: willow\n    pace: 5 breaths a minute\n",
            "  - both sides:\n      - inhale: Up.\n        pace: 5 breaths a minute\n      - pose: willow\n"
            "        pace: 5 breaths a minute\n",
        ),
        (
            "  - both sides:\n      - inhale: <side> up.\n    between: vinyasa\n    equal: no\n",
            "  - both sides:\n      - inhale: <side> up.\n      - exhale: Down.\n      - inhale: Up.\n    equal: no\n",
        ),
    ],
)
def test_the_short_way_is_the_long_one(short: str, long: str) -> None:
    made, meant = ([unplaced(step) for step in steps(entries, VINYASA)] for entries in (short, long))
    if "between" in short:
        assert [step.words[0].text for step in made] == [
            *("Inhale, right up.", "Exhale, down.", "Inhale, up."),
            "Inhale, left up.",
        ]
        assert [step.side for step in made] == [meant[0].side, None, None, meant[3].side]
    else:
        assert made == meant


def test_a_vinyasa_comes_with_the_program() -> None:
    made = steps("  - both sides:\n      - pose: low lunge\n        hold: 3 breaths\n    between: vinyasa\n")
    assert [(step.title, step.side) for step in made] == [
        ("low lunge", Side.RIGHT),
        *((name, None) for name in ("exhale", "inhale", "exhale")),
        ("low lunge", Side.LEFT),
    ]


def test_a_pace_of_a_group_ends_with_the_group_and_gives_way_to_one_inside() -> None:
    inside = "      - pose: willow\n        pace: 4 breaths a minute\n      - pose: willow\n"
    made = steps(f"  - rounds: 1\n    of:\n{inside}    pace: 5 breaths a minute\n  - pose: willow\n")
    assert [step.pace.period_ms for step in made] == [15_000, 12_000, 8_000]


def test_a_name_is_that_of_a_block_first() -> None:
    blocks = "blocks:\n  tree:\n    - inhale: <side> branch up.\n"
    assert [step.words[0].text for step in steps("  - both sides: tree\n", blocks)] == [
        "Inhale, right branch up.",
        "Inhale, left branch up.",
    ]


def test_each_side_of_a_hold_keeps_its_range() -> None:
    assert [step.hold for step in steps("  - pose: willow\n    hold: 1 to 2 min each side\n")] == [
        InTime(60_000, 90_000, 120_000)
    ] * 2


@pytest.mark.parametrize(
    ("entries", "problem"),
    [
        ("  - both sides: lowe lunge\n", "4:17 there is no block or pose `lowe lunge` (did you mean `low lunge`?)"),
        (
            "  - both sides:\n      - pose: tree\n    hold: 5 breaths\n",
            "6:5 `hold` stands beside a list of steps, and belongs to one of them "
            "(move it to the step in the list, such as `- pose: …` with `hold`)",
        ),
        (
            "  - pose: tree\n    hold: 1 min each side\n    side: left\n",
            "6:5 `hold` is for each side, and `side` is one of them (leave one of them out)",
        ),
        (
            "  - inhale: Up.\n    pace: 40 s\n",
            "5:11 a move lasts 1 s to 30 s (write a time between them, or a pose with `hold`)",
        ),
        (
            "  - inhale: Up.\n    times: 200\n",
            "5:12 `times` cannot be `200` (write a whole number from 1 to 108)",
        ),
        (
            "  - pose: tree\n    pace: 10 s\n",
            "5:11 `10 s` is not a pace (write `6 breaths a minute`, or a mapping such as `{inhale: 4 s, exhale: 6 s}`)",
        ),
        (
            "  - both sides: tree\n    between: sheltering\n",
            "5:14 there is no block `sheltering` (define it under `blocks:`, or name its file in `blocks from:`)",
        ),
    ],
)
def test_what_cannot_be_meant_is_told_at_its_place(entries: str, problem: str) -> None:
    assert problems(entries) == [problem]


MUSIC = "write `music: …` at the top of the file, or beside `section: …`"


@pytest.mark.parametrize(
    ("entries", "problem"),
    [
        (
            "  - pose: tree\n    repeat: left\n",
            "5:5 `pose` has no `repeat` (for the other side write `both sides:` around the steps, for more times "
            "`rounds: 3` with `of:`)",
        ),
        (
            "  - repeat: left\n",
            "4:5 `repeat` does not say what kind of step this is (for the other side write `both sides:` around the "
            "steps, for more times `rounds: 3` with `of:`)",
        ),
        (
            "  - quote: Be still.\n",
            "4:5 `quote` does not say what kind of step this is (write `say: …`, or `about: …` at the top of the file "
            "where it is to be read and not said)",
        ),
        (
            "  - pose: tree\n    say:\n      - at: 30 s\n        say: Look up.\n",
            "7:9 a cue has no `say` (write `how: …` for the words)",
        ),
        (
            "  - pose: tree\n    say:\n      - say: Look up.\n",
            "6:9 a cue has no `say` (write `how: …` for the words)",
        ),
        ("  - pose: tree\n    music: soft\n", f"5:5 `pose` has no `music` ({MUSIC})"),
        (
            "  - pose: tree\n    duration: 1 min\n",
            "5:5 `pose` has no `duration` (write `hold: …`, such as `hold: 5 breaths` or `hold: 30 s`)",
        ),
        (
            "  - say: Look up.\n    at: 30 s\n",
            "5:5 `say` has no `at` (words at a moment stand in the `say:` of a hold: `- how: …` with `at: …` below it)",
        ),
        ("  - pose: tree\nteacher: Ann\n", "5:1 a class has no `teacher` (write `by: …`)"),
        (
            "  - pose: tree\ntheme: Rain\n",
            "5:1 a class has no `theme` (write `about: …`, and what is to be said as a step: `- say: …`)",
        ),
        ("  - pose: tree\nquote: Rain\n", "5:1 a class has no `quote` (write it as a step under `class:`: `- say: …`)"),
        ("  - pose: tree\nplaylist: soft\n", "5:1 a class has no `playlist` (write `music: …`)"),
        (
            "  - pose: tree\navoid: [pregnancy]\n",
            "5:1 a class has no `avoid` (write `for: {avoid: [pregnancy]}`)",
        ),
        (
            "  - pose: tree\n    bell: every minute\n",
            "5:11 `bell` cannot be `every minute` (for one at an interval write `chime every: 1 min`)",
        ),
    ],
)
def test_where_another_word_is_written_the_message_says_which_to_write(entries: str, problem: str) -> None:
    assert problems(entries) == [problem]


def test_every_word_that_is_told_is_one_that_the_language_does_not_know() -> None:
    assert not set(AT_THE_TOP) & set(CLASS_KEYS)
    assert not set(IN_A_STEP) & (ENTRY_KEYS - {"at"})
    assert not set(IN_A_CUE) & set(CUE_KEYS)
