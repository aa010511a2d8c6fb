"""What is one change in a rehearsal: each step, but moves that go together."""

from rehearsals import TREES, class_of
from rows import each_row
from taught import SHIPPED, shipped_steps

from guide.rehearse.changes import Change, Moves, changes, within
from guide.sequence.steps import StepKind


def test_moves_go_together_until_a_round_or_a_side_is_over() -> None:
    steps, _ = class_of()
    assert changes(steps, Moves.TOGETHER) == (
        Change(0, 0),
        *(Change(1, 2), Change(3, 4)),
        *(Change(5, 5), Change(6, 6), Change(7, 7), Change(8, 8)),
        Change(9, 9),
    )


def test_moves_of_two_sides_after_each_other_are_two_changes() -> None:
    text = TREES.replace("      - pose: tree\n        hold: 3 to 6 breaths\n", "      - exhale: Down again.\n").replace(
        "        say: Press your <side> foot into the floor, and find one point to look at.\n", ""
    )
    steps, _ = class_of(text)
    assert changes(steps, Moves.TOGETHER)[3:5] == (Change(5, 6), Change(7, 8))


def test_moves_of_two_sections_are_two_changes() -> None:
    text = "title: T\nclass:\n  - inhale: Up.\n  - section: Two\n  - exhale: Down.\n"
    steps, _ = class_of(text)
    assert changes(steps, Moves.TOGETHER) == (Change(0, 0), Change(1, 1))


@each_row("name", SHIPPED)
@each_row("moves", Moves)
def test_together_they_are_all_steps_in_order(name: str, moves: Moves) -> None:
    steps = shipped_steps(name)
    made = changes(steps, moves)
    assert [number for change in made for number in within(change)] == list(range(len(steps.steps)))
    for change in made:
        # A half of a breath that is given goes with what comes after it.
        own = [step for step in (steps.steps[number] for number in within(change)) if not step.given]
        assert len(own) == 1 or (moves is Moves.TOGETHER and {step.kind for step in own} == {StepKind.MOVE})
