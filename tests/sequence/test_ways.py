"""Ways into poses and out of them: whose words lead, how the second side is entered, and that the side is heard.

The poses are the test's own, so that nothing here hangs on those that come with the program.
"""

from pathlib import Path

import pytest
from class_texts import expand

from guide.sequence.reader import read_text
from guide.sequence.steps import Step, Steps

POSES = """\
poses:
  reed:
    base: standing
    also: swaying reed
    sides: yes
    enter: ["Stand by the water.", "Step your <other side> foot back.", "Lean over it."]
    say: Soften your jaw.
    leave: Step forward again.
    hold: 4 breaths
  lily:
    base: seated
    enter: Sit down.
    say: Open your hands.
    leave: Stand up.
    hold: 4 breaths
"""


def expanded(entries: str, head: str = "") -> Steps:
    return expand(read_text(f"title: T\n{head}{POSES}class:\n{entries}", "class.yaml", Path()))


def spoken(entries: str, head: str = "") -> list[list[str]]:
    """What is said before each step, and in it."""
    return [words_of(step) for step in expanded(entries, head).steps if not step.given]


def words_of(step: Step) -> list[str]:
    return [one.text for one in (*step.entry, *step.words)]


def told(entries: str, head: str = "") -> list[str]:
    return list(dict.fromkeys(what for step in expanded(entries, head).steps for what in step.told))


def test_a_pose_with_words_of_its_own_is_led_into_and_out_of_by_the_library() -> None:
    entries = "  - pose: lily\n    say: Look at the water.\n"
    assert spoken(entries) == [["Lily.", "Sit down.", "Look at the water."], ["Stand up."]]
    assert told(entries) == ["“lily” gets its way in and its way out from the library"]


@pytest.mark.parametrize(
    ("given", "said", "note"),
    [
        ("enter: Down you go.", [["Lily.", "Down you go.", "Look."], ["Stand up."]], ["its way out"]),
        ("leave: Up you get.", [["Lily.", "Sit down.", "Look."], ["Up you get."]], ["its way in"]),
        ("enter: none", [["Lily.", "Look."], ["Stand up."]], ["its way out"]),
        ("leave: none", [["Lily.", "Sit down.", "Look."]], ["its way in"]),
        ("enter: none\n    leave: none", [["Lily.", "Look."]], []),
        ("enter: library", [["Lily.", "Sit down.", "Look."], ["Stand up."]], ["its way out"]),
    ],
)
def test_what_the_file_says_of_a_way_goes_before_the_library(
    given: str, said: list[list[str]], note: list[str]
) -> None:
    entries = f"  - pose: lily\n    {given}\n    say: Look.\n"
    assert spoken(entries) == said
    assert told(entries) == [f"“lily” gets {what} from the library" for what in note]


def test_a_class_without_the_librarys_cues_gets_none_of_its_ways() -> None:
    assert spoken("  - pose: lily\n    say: Look.\n", "library cues: no\n") == [["Lily.", "Look."]]


def test_a_bare_pose_and_what_the_file_says_itself_are_not_noted() -> None:
    assert told("  - pose: lily\n  - pose: lily\n    enter: Down.\n    say: Look.\n    leave: Up.\n") == []


@pytest.mark.parametrize(
    "move",
    [
        "exhale: Down.\n    pose: lily",
        "exhale: Lily.",
        "exhale: Sink down, lily",
        "exhale: Come down into a lily!",
        "exhale: Down.\n    pose: lily\n  - inhale: Lift your chin.",
    ],
)
def test_a_move_that_names_a_pose_leads_into_it(move: str) -> None:
    assert spoken(f"  - {move}\n  - pose: lily\n    name: none\n    say: Look.\n")[-2:] == [["Look."], ["Stand up."]]


@pytest.mark.parametrize(
    "before",
    [
        "exhale: Down.",
        "exhale: Come out of the lily.",
        "exhale: Look at the lily.",
        "exhale: To the lily pond.",
        "exhale: Lily.\n    pose: reed",
        "exhale: Down.\n    pose: lily\n  - inhale: Up.\n    pose: reed",
        "exhale: Lily.\n  - say: Wait a little.",
        "say: Lily.",
    ],
)
def test_what_a_move_may_mean_is_not_guessed(before: str) -> None:
    assert spoken(f"  - {before}\n  - pose: lily\n    say: Look.\n")[-2][:2] == ["Lily.", "Sit down."]


def test_words_that_lead_in_are_noted_and_a_pose_that_a_move_names_is_the_files_own_word() -> None:
    note = "the words before it lead into “lily”, so it gets no way in from the library"
    assert told("  - exhale: Lily.\n  - pose: lily\n    leave: none\n    say: Look.\n") == [note]
    assert told("  - exhale: Down.\n    pose: lily\n  - pose: lily\n    leave: none\n    say: Look.\n") == []


def test_a_move_on_the_other_side_leads_nowhere_on_this_one() -> None:
    sides = "  - both sides:\n      - pose: reed\n        say: Look.\n        leave: none\n      - exhale: Reed.\n"
    assert [words[0] for words in spoken(sides)] == ["Reed, right side.", "Exhale, reed.", "Reed.", "Exhale, reed."]


@pytest.mark.parametrize(
    ("after", "leaves"),
    [
        ("exhale: Up.", False),
        ("say: Stand up again.", False),
        ("section: Next\n  - exhale: Up.", False),
        ("rounds: 2\n    of:\n      - exhale: Up.", False),
        ("block: wave", False),
        ("pose: reed\n    enter: Step back.", False),
        ("pose: reed", True),
        ("silence: 10 s", True),
        ("section: Next\n  - pose: reed", True),
    ],
)
def test_what_comes_next_leads_out_of_a_pose_with_words_of_its_own(after: str, *, leaves: bool) -> None:
    blocks = "blocks:\n  wave:\n    - exhale: Up.\n"
    entries = f"  - pose: lily\n    enter: Down.\n    say: Look.\n  - {after}\n"
    assert (["Stand up."] in spoken(entries, blocks)) is leaves


def test_a_side_is_left_before_the_other_is_entered() -> None:
    sides = "  - both sides:\n      - pose: reed\n        enter: <Side> foot back.\n        say: Look.\n"
    assert [words[0] for words in spoken(sides)] == [
        "Reed, right side.",
        "Step forward again.",
        "Reed, left side.",
        "Step forward again.",
    ]


def test_the_library_enters_the_second_side_in_short_with_what_names_the_sides() -> None:
    made = spoken("  - both sides:\n      - pose: reed\n        say: Look.\n        leave: none\n")
    whole = ["Stand by the water.", "Step your left foot back.", "Lean over it."]
    assert made[0] == ["Reed, right side.", *whole, "Look."]
    assert made[1] == ["Reed.", "The same on the left: step your right foot back.", "Look."]


def test_the_second_side_is_entered_in_full_where_the_file_asks_for_it() -> None:
    made = spoken("  - both sides:\n      - pose: reed\n    second side: in full\n")
    assert made[2][:4] == ["Reed, left side.", "Stand by the water.", "Step your right foot back.", "Lean over it."]


def test_words_of_the_file_are_short_on_the_second_side_where_it_asks_for_that() -> None:
    enter = 'enter: ["Come to the edge.", "<Side> foot in the water.", "Wait."]'
    sides = f"  - both sides:\n      - pose: willow\n        {enter}\n"
    whole = ["Come to the edge.", "Left foot in the water.", "Wait."]
    assert spoken(sides)[1] == ["Willow, left side.", *whole]
    assert spoken(f"{sides}    second side: short\n")[1] == [
        "Willow, left side.",
        "The same on the left: left foot in the water.",
    ]


def test_a_file_with_words_for_the_second_side_alone_has_shortened_it_itself() -> None:
    enter = "enter:\n          - how: Now the <side>.\n            on: second side\n          - Lean over.\n"
    sides = f"  - both sides:\n      - pose: willow\n        {enter}    second side: short\n"
    assert spoken(sides)[1] == ["Willow, left side.", "Now the left.", "Lean over."]


def test_a_pose_that_has_no_sides_is_entered_in_full_both_times() -> None:
    made = spoken("  - both sides:\n      - pose: lily\n      - exhale: <Side> hand up.\n")
    assert [words for words in made if "Lily." in words] == [["Lily.", "Sit down.", "Open your hands."]] * 2


@pytest.mark.parametrize("written", ["name: Tall reed.", "name: none", "name: none\n        enter: Step back."])
def test_the_side_is_heard_whatever_the_pose_is_called(written: str) -> None:
    first, second = spoken(f"  - both sides:\n      - pose: old reed\n        {written}\n")
    assert [words.index(f"{side} side.") < 2 for words, side in ((first, "Right"), (second, "Left"))] == [True, True]


@pytest.mark.parametrize(
    "entries",
    [
        "      - inhale: Lift your <side> arm.\n      - pose: old reed\n        name: none\n",
        "      - pose: old reed\n        name: Old reed, to the <side>.\n",
        "      - pose: old reed\n        name: none\n        enter: <Side> foot back.\n",
    ],
)
def test_a_side_that_the_file_names_is_not_named_again(entries: str) -> None:
    assert not {"Right side.", "Left side."} & {
        text for words in spoken(f"  - both sides:\n{entries}") for text in words
    }


def test_a_right_angle_names_no_side() -> None:
    (words, _) = spoken(
        "  - both sides:\n      - pose: old reed\n        name: none\n        enter: Bend to a right angle.\n"
    )
    assert words == ["Right side.", "Bend to a right angle."]


def test_a_pose_on_one_side_alone_says_which() -> None:
    assert spoken("  - pose: old reed\n    side: left\n    name: Old reed.\n") == [["Old reed.", "Left side."]]
