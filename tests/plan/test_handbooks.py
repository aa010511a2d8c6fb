"""The shipped salutations against the handbooks: counts, breaths, poses, sides, and the time they take.

Sources: the nine counts of A with their breaths and poses after one public count sheet; K. Pattabhi Jois, Yoga Mala,
G. Maehle, Ashtanga Yoga: Practice and Philosophy (2006) and J. Scott, Ashtanga Yoga (2000) from memory, as are counts
16 and 17 of B and its sides. The twelve positions: Satyananda, Asana Pranayama Mudra Bandha, from memory; a second
public list agrees at positions 2 to 5 and 7 to 12.
"""

from pathlib import Path

import pytest
from plan_texts import planned, steps_of

from guide.sequence.steps import Breath, InBreaths, Side, Step, StepKind

IN, OUT = Breath.INHALE, Breath.EXHALE

A = [
    (IN, "ūrdhva hastāsana"),
    (OUT, "uttānāsana"),
    (IN, "ardha uttānāsana"),
    (OUT, "caturaṅga daṇḍāsana"),
    (IN, "ūrdhva mukha śvānāsana"),
    (OUT, "adho mukha śvānāsana"),
    (IN, "ardha uttānāsana"),
    (OUT, "uttānāsana"),
    (IN, "ūrdhva hastāsana"),
]

B = [
    (IN, "utkaṭāsana"),
    (OUT, "uttānāsana"),
    (IN, "ardha uttānāsana"),
    (OUT, "caturaṅga daṇḍāsana"),
    (IN, "ūrdhva mukha śvānāsana"),
    (OUT, "adho mukha śvānāsana"),
    (IN, "vīrabhadrāsana I, right"),
    (OUT, "caturaṅga daṇḍāsana"),
    (IN, "ūrdhva mukha śvānāsana"),
    (OUT, "adho mukha śvānāsana"),
    (IN, "vīrabhadrāsana I, left"),
    (OUT, "caturaṅga daṇḍāsana"),
    (IN, "ūrdhva mukha śvānāsana"),
    (OUT, "adho mukha śvānāsana"),
    (IN, "ardha uttānāsana"),
    (OUT, "uttānāsana"),
    (IN, "utkaṭāsana"),
]

CLOSING = (OUT, "samasthitiḥ")

#: English words that the twelve positions must say, and the breath of those that have one in both lists.
TWELVE = [
    (OUT, "praṇāmāsana"),
    (IN, "hasta utthānāsana"),
    (OUT, "pādahastāsana"),
    (IN, "aśva sañcālanāsana"),
    (None, "parvatāsana"),
    (None, "aṣṭāṅga namaskāra"),
    (IN, "bhujaṅgāsana"),
    (OUT, "parvatāsana"),
    (IN, "aśva sañcālanāsana"),
    (OUT, "pādahastāsana"),
    (IN, "hasta utthānāsana"),
    (OUT, "praṇāmāsana"),
]


def block(name: str, head: str = "block") -> tuple[Step, ...]:
    text = f"title: T\nbells: {{class: none}}\nclass:\n  - {head}: {name}\n"
    return steps_of(text, Path()).steps


def counts(name: str) -> list[tuple[Breath | None, str | None]]:
    return [(step.breath, step.pose) for step in block(name) if step.kind is StepKind.MOVE]


@pytest.mark.parametrize("name", ["sun salutation A", "sun salutation A once slowly"])
def test_salutation_a_has_nine_counts_and_a_closing_exhale(name: str) -> None:
    assert counts(name) == [*A, CLOSING]


def test_salutation_b_has_seventeen_counts_and_a_closing_exhale() -> None:
    assert counts("sun salutation B") == [*B, CLOSING]


@pytest.mark.parametrize(("name", "number"), [("sun salutation A", 9), ("sun salutation B", 17)])
def test_odd_counts_inhale_and_even_counts_exhale(name: str, number: int) -> None:
    breaths = [breath for breath, _ in counts(name)][:number]
    assert breaths == [OUT if count % 2 == 0 else IN for count in range(1, number + 1)]


@pytest.mark.parametrize(("name", "after"), [("sun salutation A", 6), ("sun salutation B", 14)])
def test_five_breaths_of_downward_dog_follow_the_count_that_enters_it(name: str, after: int) -> None:
    steps = block(name)
    assert [step.kind for step in steps].index(StepKind.POSE) == after
    assert steps[after].hold == InBreaths(5, 5, 5)


@pytest.mark.parametrize(
    ("name", "seconds"),
    [("sun salutation A", 80), ("sun salutation B", 112)],
)
def test_at_four_seconds_in_and_out_the_blocks_take_the_time_that_their_counts_give(name: str, seconds: int) -> None:
    """Ten half-breaths and five breaths; eighteen half-breaths and five breaths: arithmetic."""
    text = (
        f"title: T\nbells: {{class: none}}\npace: {{inhale: 4 s, exhale: 4 s}}\nlead: 0 s\nclass:\n  - block: {name}\n"
    )
    timeline, _ = planned(steps_of(text, Path()))
    assert timeline.length_ms == seconds * 1000


def test_the_twelve_position_salute_has_twelve_positions_in_order() -> None:
    steps = [step for step in block("twelve-position salute", "both sides") if step.pose]
    for half, side in ((steps[: len(steps) // 2], Side.RIGHT), (steps[len(steps) // 2 :], Side.LEFT)):
        assert [step.pose for step in half] == [pose for _, pose in TWELVE]
        assert all(wanted in (None, step.breath) for step, (wanted, _) in zip(half, TWELVE, strict=True))
        assert all(step.side is side for step in half)


def test_the_leg_that_steps_back_at_four_stays_back_at_nine_and_the_second_half_takes_the_other() -> None:
    """Satyananda, from memory: position 9 has the same leg behind as position 4, so the other foot comes forward."""
    for half, leg in zip(_halves("twelve-position salute"), Side, strict=True):
        four, nine = [step.words[0].text for step in half if step.pose == "aśva sañcālanāsana"]
        assert f"{leg.value} leg back" in four
        assert f"{leg.other.value} foot forward" in nine


def _halves(name: str) -> tuple[tuple[Step, ...], tuple[Step, ...]]:
    steps = block(name, "both sides")
    return steps[: len(steps) // 2], steps[len(steps) // 2 :]
