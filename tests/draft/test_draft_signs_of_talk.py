"""What is done and what is only spoken of, in the ways in which people talk a class."""

from guide.draft.events import Event, Kind
from guide.draft.from_captions import understood
from guide.draft.grouping import Again, Node, events_of
from guide.draft.known_blocks import Called
from guide.review.captions.transcript import read_raw
from guide.sequence.steps import Breath


def nodes_of(text: str) -> tuple[Node, ...]:
    return understood(read_raw(text.encode(), "talk"))[0]


def done_in(text: str) -> list[Event]:
    return [event for node in nodes_of(text) for event in events_of(node)]


def held_in(text: str) -> list[str | None]:
    return [event.pose for event in done_in(text) if event.kind is Kind.HOLD]


def test_in_and_out_alone_are_breaths_where_they_are_set_off() -> None:
    moves = [one.breath for one in done_in("0:01 In, reach up high.\n0:05 Out, float down.\n0:09 In.\n0:13 Out.\n")]
    assert moves == [Breath.INHALE, Breath.EXHALE, Breath.INHALE, Breath.EXHALE]


def test_in_and_out_within_other_words_are_none() -> None:
    moves = done_in("0:01 Come in, and look out for the cat.\n0:09 Out of the rain, in we go.\n")
    assert [one.breath for one in moves if one.breath] == []


def test_a_pose_that_is_shown_is_not_done_until_it_is_their_turn() -> None:
    text = (
        "0:01 Watch me for this one.\n0:05 I step back into a high lunge, and I lean on my front leg.\n"
        "0:15 So. Your turn.\n0:20 Tree, right side. Find a spot to look at.\n0:55 And let it go.\n"
    )
    assert held_in(text) == ["tree"]


def test_a_dog_is_the_downward_one_and_is_marked() -> None:
    dogs = [one for one in done_in("0:01 And back to your dog.\n0:05 Stay for five breaths.\n0:45 Good.\n") if one.pose]
    assert [(one.pose, one.sure < 1) for one in dogs] == [("downward dog", True)]


def test_a_dog_of_somebody_is_none() -> None:
    assert held_in("0:01 My dog ate the other mat.\n0:20 He is sorry.\n") == []


ROUND = ("In, arms up.", "Out, fold.", "In, look up.", "Out, step back and lower.", "In, chest up.", "Out, dog.")
REST = ("In, walk forward.", "Out, fold.", "In, come up.", "Out, hands down.")


def test_a_salutation_that_is_named_and_called_ever_shorter_is_a_block_in_rounds() -> None:
    lines, at_s = ["0:01 Two rounds of sun salutations, you know them."], 10
    for words in (*ROUND, *REST, *(f"{one.partition(',')[0]}." for one in (*ROUND, *REST))):
        lines.append(f"{at_s // 60}:{at_s % 60:02} {words}")
        at_s += 20 if "dog" in words else 4
    again = [node for node in nodes_of("\n".join(lines)) if isinstance(node, Again)]
    assert [[part.name for each in one.passes for part in each if isinstance(part, Called)] for one in again] == [
        ["sun salutation A"] * 2
    ]


def test_in_and_out_by_turns_are_breaths_where_captions_have_no_points() -> None:
    text = "0:01 in arms go up out and fold in look ahead out we step back\n0:30 and that is where we wait a bit\n"
    moves = [one.breath for one in done_in(text) if one.breath]
    assert moves == [Breath.INHALE, Breath.EXHALE, Breath.INHALE, Breath.EXHALE]
