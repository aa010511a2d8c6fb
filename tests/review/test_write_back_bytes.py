"""What was done, put into the bytes of a class file: each case shows the file before and the whole file after.

What YAML allows in each shape is from YAML 1.2 (yaml.org/spec/1.2.2): flow and block mappings, anchors and aliases,
block scalars, line ends, byte order mark.
"""

from pathlib import Path

import pytest
from rows import each_row
from write_back_made import Made, changed

from guide.problem import FaultyFile, UnusableChoice
from guide.review.write_back import edited_file
from guide.review.write_back.diff import diff
from guide.review.write_back.edited_file import write_lengths
from guide.review.write_back.proof import is_proved
from guide.review.write_back.taught_hold import SidesKept, ToKeep, Why
from guide.sequence.model import SidedHold
from guide.sequence.reader import read_text
from guide.sequence.steps import InBreaths

EQUAL, AS_TAUGHT = SidesKept.EQUAL, SidesKept.AS_TAUGHT

HEAD = "title: T\npace: {inhale: 4 s, exhale: 4 s}\nclass:\n"

SIDED = f"{HEAD}  - both sides:\n      - pose: old oak\n        hold: HOLD\n        say: Breathe.\n"


def sided(first: str, second: str) -> str:
    return f"{{first side: {first}, second side: {second}}}"


def check(before: str, after: str, *breaths: float | None, sides: SidesKept = EQUAL) -> None:
    """The holds of `before`, done for so many breaths, are kept as `after` has them, byte for byte."""
    kept = Made.of(before).kept_after(*breaths, sides=sides)
    assert kept.after.decode() == after
    again = Made.of(kept.after).kept_after(*breaths, sides=sides)
    assert again.after == kept.after
    assert again.changes == ()


@each_row(
    "before, after",
    [
        ("  - pose: oak\n    hold: 5 breaths\n", "  - pose: oak\n    hold: 7 breaths\n"),
        ("  - pose: oak\n    hold: 5 breaths", "  - pose: oak\n    hold: 7 breaths"),
        ("  - pose: oak\n    hold: 5 breaths # as ever", "  - pose: oak\n    hold: 7 breaths # as ever"),
        ("  - hold:    5 breaths  \n    pose: oak\n", "  - hold:    7 breaths  \n    pose: oak\n"),
        ("  - pose: oak\n    hold: '5 breaths'\n", "  - pose: oak\n    hold: '7 breaths'\n"),
        ('  - pose: oak\n    hold: " 5 breaths "\n', '  - pose: oak\n    hold: " 7 breaths "\n'),
        ('  - pose: oak\n    hold: "5\\x20breaths"\n', '  - pose: oak\n    hold: "7 breaths"\n'),
        ("  - {pose: oak, hold: 5 breaths}\n", "  - {pose: oak, hold: 7 breaths}\n"),
        ("  - {hold: 5 breaths , pose: oak}\n", "  - {hold: 7 breaths , pose: oak}\n"),
        ('  - {"hold":5 breaths,pose: oak}\n', '  - {"hold":7 breaths,pose: oak}\n'),
        ("  - {\n    pose: oak,  # old\n    hold: 5 breaths  # long\n    }\n",) * 2,
        ("  - pose: oak\n    hold: # so\n      5 breaths\n", "  - pose: oak\n    hold: # so\n      7 breaths\n"),
        (
            "  - pose: oak\n    hold: &h # so\n\n      5 breaths\n",
            "  - pose: oak\n    hold: &h # so\n\n      7 breaths\n",
        ),
        ("  - pose: oak\n    hold:\n      5 breaths\n", "  - pose: oak\n    hold:\n      7 breaths\n"),
        ("  - pose: oak\n    hold: >-\n      5 breaths\n", "  - pose: oak\n    hold: >-\n      7 breaths\n"),
        ("  - pose: oak\n    hold: |\n      5\n\n  # end\n", None),
        ("  - pose: oak\n    hold: |-  # so\n      5 breaths\n\n  # end\n",) * 2,
        ("  - pose: oak\n    hold: 5\n      breaths\n", "  - pose: oak\n    hold: 7\n      breaths\n"),
        ("  -\n       pose: oak\n       hold: 5 breaths\n", "  -\n       pose: oak\n       hold: 7 breaths\n"),
        ("  -\tpose: oak\n\thold: 5 breaths\n", None),
        ("  - pose: oak\n    hold:\t5 breaths\t# tabs\n", "  - pose: oak\n    hold:\t7 breaths\t# tabs\n"),
        (
            "  - ? hold\n    : 5 breaths\n    ? pose\n    : oak\n",
            "  - ? hold\n    : 7 breaths\n    ? pose\n    : oak\n",
        ),
        ("  - pose: 🌳 śāla\n    hold: 5 breaths # ähnlich\n", "  - pose: 🌳 śāla\n    hold: 7 breaths # ähnlich\n"),
        ("  - rest: 5 breaths\n    pose: oak\n", "  - rest: 7 breaths\n    pose: oak\n"),
        ("  - silence: 5 breaths\n", "  - silence: 7 breaths\n"),
        ("  - breathing: even\n    lasts: 5 breaths\n", "  - breathing: even\n    lasts: 7 breaths\n"),
        ("  - breathing: even\n    lasts: 40 s\n", "  - breathing: even\n    lasts: 55 s\n"),
        ("  - pose: oak\n    hold: 4 to 5 breaths\n", "  - pose: oak\n    hold: 4 to 7 breaths\n"),
        ("  - pose: oak\n    hold: 0:40 # clock\n", "  - pose: oak\n    hold: 0:55 # clock\n"),
    ],
)
def test_one_hold_done_for_seven_breaths(before: str, after: str | None) -> None:
    if after is None:
        with pytest.raises(FaultyFile):
            Made.of(HEAD + before)
    else:
        check(HEAD + before, HEAD + after.replace("5 breaths", "7 breaths"), 7)


@each_row(
    "before, after",
    [
        ("  - pose: oak\n", "  - pose: oak\n    hold: 7 breaths\n"),
        ("  - pose: oak", "  - pose: oak\n    hold: 7 breaths"),
        (
            "  - pose: 'oak' # old\n    say: Breathe.\n",
            "  - pose: 'oak' # old\n    hold: 7 breaths\n    say: Breathe.\n",
        ),
        ("  - say: Breathe.\n    pose: oak\n", "  - say: Breathe.\n    pose: oak\n    hold: 7 breaths\n"),
        ("  -    pose: oak\n", "  -    pose: oak\n       hold: 7 breaths\n"),
        (
            "  - pose: >-\n      oak\n\n  - inhale: Up.\n",
            "  - pose: >-\n      oak\n    hold: 7 breaths\n\n  - inhale: Up.\n",
        ),
        ("  - pose:\n      old\n      oak\n", "  - pose:\n      old\n      oak\n    hold: 7 breaths\n"),
        ("  - {pose: oak}\n", "  - {pose: oak, hold: 7 breaths}\n"),
        ("  - {pose: oak , say: Breathe.}\n", "  - {pose: oak, hold: 7 breaths , say: Breathe.}\n"),
        ('  - {"pose":"oak"}\n', '  - {"pose":"oak", hold: 7 breaths}\n'),
        ("  - pose: cobra\n", "  - pose: cobra\n    hold: 1 to 7 breaths\n"),
    ],
)
def test_a_hold_that_is_not_written_is_put_behind_the_head_of_its_entry(before: str, after: str) -> None:
    check(HEAD + before, HEAD + after, 7)


def test_a_usual_hold_that_was_kept_is_not_written() -> None:
    check(f"{HEAD}  - pose: oak\n", f"{HEAD}  - pose: oak\n", 5)


def test_where_no_hold_can_be_put_it_is_told_and_the_others_are_kept() -> None:
    before = f"{HEAD[:-1]} [pose: oak, {{pose: elm, hold: 5 breaths}}]\n"
    kept = Made.of(before).kept_after(7, 8)
    assert kept.after.decode() == before.replace("5 breaths", "8 breaths")
    assert [(left.title, left.why) for left in kept.left] == [("oak", Why.BY_HAND)]


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_and_a_byte_order_mark_stay(ending: str, mark: str) -> None:
    before = f"{mark}{HEAD}  - pose: oak\n    hold: 5 breaths # tall\n\n  - pose: elm\n".replace("\n", ending)
    after = before.replace("5 breaths", "7 breaths").replace("elm", f"elm{ending}    hold: 3 breaths")
    check(before, after, 7, 3)


def test_mixed_line_ends_stay_each_as_it_is_and_a_new_line_ends_as_the_one_before_it() -> None:
    before = "title: T\r\npace: 6 breaths a minute\nclass:\r  - pose: oak\r\n  - pose: elm\n    say: Up.\r"
    after = (
        "title: T\r\npace: 6 breaths a minute\nclass:\r  - pose: oak\r\n    hold: 7 breaths\r\n"
        "  - pose: elm\n    hold: 3 breaths\n    say: Up.\r"
    )
    check(before, after, 7, 3)


def test_a_mark_and_the_first_line_may_hold_the_whole_class() -> None:
    before = "\ufeff{title: Ü, pace: 6 breaths a minute, class: [{pose: ö, hold: 5 breaths}, {rest: 30 s}]}"
    check(before, before.replace("5 breaths", "7 breaths").replace("30 s", "45 s"), 7, 4.5)


@each_row(
    "hold, breaths, sides, kept",
    [
        ("5 breaths", (5, 7), EQUAL, "6 breaths"),
        ("5 breaths", (5, 5.9), AS_TAUGHT, "5 breaths"),
        ("5 breaths", (5, 7), AS_TAUGHT, sided("5 breaths", "7 breaths")),
        ("5 breaths # c", (6, 4), AS_TAUGHT, "{first side: 6 breaths, second side: 4 breaths} # c"),
        ("'5 breaths'", (6, 4), AS_TAUGHT, sided("6 breaths", "4 breaths")),
        ("4 to 6 breaths", (4, 6), AS_TAUGHT, "4 to 6 breaths"),
        ("4 to 6 breaths", (3, 6), AS_TAUGHT, sided("3 to 6 breaths", "4 to 6 breaths")),
        ("40 s", (5, 6), AS_TAUGHT, sided("40 s", "50 s")),
        ("40 s", (5.5, 6.25), AS_TAUGHT, "45 s"),
        ("40 s", (5, 6), EQUAL, "45 s"),
        (sided("5 breaths", "7 breaths"), (5, 7), EQUAL, "6 breaths"),
        (sided("5 breaths", "5 breaths"), (5, 5), EQUAL, sided("5 breaths", "5 breaths")),
        ("{second side: 5 breaths, first side: 5 breaths}", (5, 9), EQUAL, "7 breaths"),
        (sided("5 breaths", "7 breaths"), (5, 8), AS_TAUGHT, sided("5 breaths", "8 breaths")),
        (
            "{second side: 7 breaths , first side: '5 breaths'}",
            (1, 7),
            AS_TAUGHT,
            "{second side: 7 breaths , first side: '1 breath'}",
        ),
        (
            "\n          first side: 5 breaths # a\n          second side: 7 breaths # b",
            (6, 3),
            AS_TAUGHT,
            "\n          first side: 6 breaths # a\n          second side: 3 breaths # b",
        ),
        (
            "\n          first side: 5 breaths # a\n          second side: 7 breaths # b",
            (5, 7),
            EQUAL,
            "\n          first side: 6 breaths # a\n          second side: 6 breaths # b",
        ),
        (sided("&a 5 breaths", "*a"), (5, 8), AS_TAUGHT, sided("&a 5 breaths", "8 breaths")),
    ],
)
def test_both_sides_are_made_equal_or_left_as_taught(
    hold: str, breaths: tuple[float, float], sides: SidesKept, kept: str
) -> None:
    check(SIDED.replace("HOLD", hold), SIDED.replace("HOLD", kept), *breaths, sides=sides)


@pytest.mark.parametrize("sides", [EQUAL, AS_TAUGHT])
@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("  - pose: old oak\n    hold: 5 breaths each side\n", "  - pose: old oak\n    hold: 6 breaths each side\n"),
        ("  - both sides: old oak\n    hold: 40 s per side\n", "  - both sides: old oak\n    hold: 50 s per side\n"),
        ("  - rest: 4 to 5 breaths a side\n    pose: oak\n", "  - rest: 4 to 6 breaths a side\n    pose: oak\n"),
    ],
)
def test_a_length_that_is_for_each_side_stays_one(before: str, after: str, sides: SidesKept) -> None:
    check(f"{HEAD}{before}", f"{HEAD}{after}", 6, 6, sides=sides)


def test_a_length_for_each_side_is_not_parted() -> None:
    before = f"{HEAD}  - pose: old oak\n    hold: 5 breaths each side\n"
    check(before, before.replace("5", "6"), 5, 7, sides=AS_TAUGHT)


@pytest.mark.parametrize("hold", ["&h # so\n          5 breaths", ">- # so\n          5 breaths"])
def test_no_comment_is_lost(hold: str) -> None:
    before = SIDED.replace("HOLD", hold)
    kept = Made.of(before).kept_after(5, 7, sides=AS_TAUGHT)
    assert kept.after.decode() == before
    assert [(left.title, left.why) for left in kept.left] == [("old oak", Why.BY_HAND)]
    check(before, before.replace("5 breaths", "6 breaths"), 5, 7)


def test_where_one_side_is_not_known_both_get_the_length_of_the_other() -> None:
    made = Made.of(SIDED.replace("HOLD", "5 breaths"))
    first, second = made.held
    comparison = made.done({first: 7, second: 9}.get, lambda number: 0.5 if number == second else 1.0)
    # The end of the first is the beginning of the second, so that nothing is sure of either.
    assert made.kept(comparison, AS_TAUGHT).changes == ()
    steps = made.done({first: 7, second: 9}.get, lambda number: 0.5 if number == first else 1.0)
    kept = made.kept(steps, AS_TAUGHT)
    assert kept.after.decode() == SIDED.replace("HOLD", "9 breaths")


def test_a_usual_hold_gets_a_length_for_each_side() -> None:
    before = f"{HEAD}  - both sides: [{{pose: oak}}]\n    first: left\n"
    after = before.replace("oak}", "oak, hold: {first side: 3 breaths, second side: 5 breaths}}")
    check(before, after, 3, 5, sides=AS_TAUGHT)


@pytest.mark.parametrize("sides", SidesKept)
def test_what_is_done_on_one_pass_too_has_one_length(sides: SidesKept) -> None:
    before = f"{HEAD}  - both sides: b\n  - block: b\nblocks: {{b: [{{pose: oak, hold: 5 breaths}}]}}\n"
    check(before, before.replace("5 breaths", "7 breaths"), 6, 9, 6, sides=sides)


def test_a_breathing_pattern_has_one_length_for_both_sides() -> None:
    before = f"{HEAD}  - both sides: [{{breathing: even, lasts: 5 breaths}}]\n"
    check(before, before.replace("5 breaths", "6 breaths"), 4, 8, sides=AS_TAUGHT)


def test_rounds_and_blocks_called_twice_have_the_mean() -> None:
    before = f"{HEAD}  - rounds: 2\n    of: b\n  - block: b\nblocks: {{b: [{{pose: oak, hold: 5 breaths}}]}}\n"
    check(before, before.replace("5 breaths", "8 breaths"), 6, 9, 8.6)


CALLED = f"{HEAD}  - pose: oak\n    hold: &h 5 breaths # long\n  - {{pose: elm, hold: *h}}\n  - rest: *h\n"


@pytest.mark.parametrize(
    ("breaths", "changes"),
    [
        ((None, 7), {"elm, hold: *h": "elm, hold: 7 breaths"}),
        ((None, 7, 8), {"elm, hold: *h": "elm, hold: 7 breaths", "rest: *h": "rest: 8 breaths"}),
        ((7, 7, 7), {"&h 5 breaths": "&h 7 breaths"}),
        ((7, 8, 7), {"&h 5 breaths": "&h 7 breaths", "elm, hold: *h": "elm, hold: 8 breaths"}),
        ((7, 8, 9), {"&h 5 breaths": "&h 7 breaths", "hold: *h": "hold: 8 breaths", "rest: *h": "rest: 9 breaths"}),
    ],
)
def test_a_length_with_an_anchor_changes_only_where_it_is_meant_to(
    breaths: tuple[float | None, ...], changes: dict[str, str]
) -> None:
    after = CALLED
    for old, new in changes.items():
        assert old in after
        after = after.replace(old, new)
    check(CALLED, after, *breaths)


def test_a_length_that_others_call_and_that_is_to_stay_for_them_is_left_and_told() -> None:
    kept = Made.of(CALLED).kept_after(7, None, 7)
    assert kept.after.decode() == CALLED.replace("rest: *h", "rest: 7 breaths")
    assert [(left.title, left.why) for left in kept.left] == [("oak", Why.CALLED_AGAIN)]


SIDES_CALLED = f"{HEAD}  - both sides: [{{pose: oak, hold: {sided('&a 5 breaths', '7 breaths')}}}]\n  - rest: *a\n"


def test_one_side_whose_length_others_call_keeps_both_sides_as_they_are() -> None:
    kept = Made.of(SIDES_CALLED).kept_after(5, 7, None)
    assert kept.after.decode() == SIDES_CALLED
    assert [(left.title, left.why) for left in kept.left] == [("oak", Why.CALLED_AGAIN)]


def test_sides_whose_length_others_call_are_made_equal_where_the_others_follow() -> None:
    after = SIDES_CALLED.replace("5 breaths", "6 breaths").replace("7 breaths", "6 breaths")
    check(SIDES_CALLED, after, 5, 7, 6)


def test_an_anchor_that_is_given_twice_is_called_by_what_comes_after_it() -> None:
    text = f"{HEAD}  - rest: &h 5 breaths\n  - rest: *h\n  - rest: &h 6 breaths\n  - rest: *h\n"
    check(text, text.replace("&h 5 breaths", "&h 7 breaths"), 7, 7)
    check(text, text.replace("&h 6 breaths", "&h 9 breaths"), None, None, 9, 9)


def test_a_hold_never_gets_too_short_for_a_cue_that_asks_for_its_place() -> None:
    say = "say: [{how: Breathe., at: breath 4}]"
    before = f"{HEAD}  - {{pose: oak, hold: 6 breaths, {say}}}\n  - {{pose: elm, hold: 4 breaths, {say}}}\n"
    kept = Made.of(before).kept_after(2, 2)
    assert kept.after.decode() == before.replace("6 breaths", "4 breaths")
    assert [(left.title, left.why) for left in kept.left] == [("elm", Why.CUE)]


def test_changes_tell_what_stood_there_and_what_will() -> None:
    text = f"{HEAD}  - pose: oak\n    hold: &h '5   breaths'\n  - pose: elm\n  - rest: *h\n"
    kept = Made.of(text).kept_after(7, 3, 8)
    told = [(change.line, change.title, change.before, change.after) for change in kept.changes]
    assert told == [
        (4, "oak", "5 breaths", "7 breaths"),
        (6, "elm", "", "3 breaths"),
        (7, "rest", "5 breaths", "8 breaths"),
    ]


def test_of_another_file_nothing_is_written() -> None:
    made = Made.of(f"{HEAD}  - pose: oak\n    hold: 5 breaths\n")
    other = Made.of(f"{HEAD}\n\n  - pose: oak\n    hold: 5 breaths\n", "class.yaml")
    with pytest.raises(UnusableChoice) as refused:
        Made(other.raw, made.name, made.folder, made.steps, made.timeline).kept_after(7)
    assert str(refused.value) == "class.yaml: this is not the file that was planned (plan it again)"


def test_without_a_proof_nothing_is_written(monkeypatch: pytest.MonkeyPatch) -> None:
    made = Made.of(f"{HEAD}  - pose: oak\n    hold: 5 breaths\n")
    monkeypatch.setattr(edited_file, "is_proved", lambda *given: False)
    with pytest.raises(UnusableChoice) as refused:
        made.kept_after(7)
    what = "the lengths cannot be written into it without changing more than them"
    assert str(refused.value) == f"class.yaml: {what} (change them by hand)"


def test_a_faulty_file_is_not_written() -> None:
    with pytest.raises(FaultyFile):
        write_lengths(b"title: T\n", "class.yaml", Path(), ToKeep(EQUAL, (), ()))


PROVED = f"{HEAD}  - pose: oak\n    hold: 5 breaths\n    say: Breathe.\n  - {{pose: elm, hold: 4 breaths}}\n"
MEANT = {Made.of(PROVED).steps.steps[0].place: InBreaths(7, 7, 7)}


def test_the_proof_takes_what_was_meant_wherever_it_then_stands() -> None:
    before = read_text(PROVED, "class.yaml", Path())
    after = PROVED.replace("5 breaths", "7 breaths")
    assert is_proved(before, after.encode(), "class.yaml", Path(), MEANT)
    assert is_proved(before, after.replace("class:", "# new\nclass:").encode(), "class.yaml", Path(), MEANT)


@each_row(
    "old, new",
    [
        ("7 breaths", "8 breaths"),
        ("7 breaths", "7 to 8 breaths"),
        ("7 breaths", "56 s"),
        ("7 breaths", "{first side: 7 breaths, second side: 7 breaths}"),
        ("4 breaths", "5 breaths"),
        ("oak", "oaks"),
        ("Breathe.", "Breathe!"),
        ("say:", "enter:"),
        ("title: T", "title: U"),
        ("4 s", "5 s"),
        ("    say: Breathe.\n", ""),
        (", hold: 4 breaths", ""),
        ("elm,", "elm, bell: end,"),
        ("7 breaths", "seven breaths"),
        ("title: T\n", ""),
        ("class:", "slot: 3 min\nclass:"),
        ("title: T", "title: T\ntitle: T"),
    ],
)
def test_the_proof_refuses_every_other_change(old: str, new: str) -> None:
    before = read_text(PROVED, "class.yaml", Path())
    after = PROVED.replace("5 breaths", "7 breaths")
    assert old in after
    assert not is_proved(before, after.replace(old, new).encode(), "class.yaml", Path(), MEANT)


def test_the_proof_refuses_a_hold_that_is_too_short_for_its_cues() -> None:
    text = PROVED.replace("Breathe.", "[{how: Breathe., at: breath 4}]")
    before = read_text(text, "class.yaml", Path())
    (place,) = MEANT
    for breaths, proved in ((4, True), (3, False)):
        after = text.replace("5 breaths", f"{breaths} breaths").encode()
        meant = {place: InBreaths(breaths, breaths, breaths)}
        assert is_proved(before, after, "class.yaml", Path(), meant) is proved


def test_the_proof_tells_the_sides_of_a_hold_apart() -> None:
    text = SIDED.replace("HOLD", "5 breaths")
    before, place = read_text(text, "class.yaml", Path()), Made.of(text).steps.steps[0].place
    sided = {place: SidedHold(InBreaths(5, 5, 5), InBreaths(7, 7, 7), place)}
    right = SIDED.replace("HOLD", "{first side: 5 breaths, second side: 7 breaths}")
    wrong = SIDED.replace("HOLD", "{first side: 7 breaths, second side: 5 breaths}")
    assert is_proved(before, right.encode(), "class.yaml", Path(), sided)
    assert not is_proved(before, wrong.encode(), "class.yaml", Path(), sided)


def test_a_diff_shows_the_lines_that_change() -> None:
    before = "\ufefftitle: T\r\nclass:\r\n  - pose: oak\r\n    hold: 5 breaths\r\n  - rest: 30 s".encode()
    after = before.replace(b"5 b", b"7 b").replace(b"30", b"35")
    assert diff(before, after, "class.yaml") == (
        "--- class.yaml\n+++ class.yaml (new)\n@@ -3,3 +3,3 @@\n   - pose: oak\n-    hold: 5 breaths\n-  - rest: 30 s\n"
        "+    hold: 7 breaths\n+  - rest: 35 s\n"
    )
    assert diff(before, before, "class.yaml") == ""


def test_a_diff_does_not_show_a_byte_order_mark() -> None:
    assert diff("\ufeffa".encode(), "\ufeffb".encode(), "c") == "--- c\n+++ c (new)\n@@ -1 +1 @@\n-a\n+b\n"


def test_the_stretch_that_differs_is_the_number_alone() -> None:
    kept = Made.of(f"{HEAD}  - pose: oak\n    hold: 5 breaths # 5\n").kept_after(7)
    assert changed(f"{HEAD}  - pose: oak\n    hold: 5 breaths # 5\n".encode(), kept.after) == (b"5", b"7")
