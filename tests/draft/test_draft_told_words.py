"""What words are told in which pose, as it was learned, and as the program has it."""

import json

import pytest
from learn_told import as_text

from guide.draft.reading.done import all_poses, number_of
from guide.draft.reading.told_words import COUNTED, learned, telling

#: Common practice, no source: nobody of these is in `told.txt` as it stands here.
TOLD = {
    "tree": "Bring the sole of your foot to the inside of the standing leg and find your balance",
    "child's pose": "Sink your hips back onto your heels and rest your forehead on the mat",
    "bridge": "Press into your feet and peel your hips off the floor, one vertebra after another",
    "lying twist": "Drop both knees over to one side and turn your head away from them",
    "final rest": "Palms up, eyes closed, legs long, there is nothing more to do",
}


@pytest.mark.parametrize("pose", TOLD)
def test_a_pose_is_the_likeliest_where_people_are_told_to_do_it(pose: str) -> None:
    said = learned(tuple(number_of())).speak_for(TOLD[pose].lower().replace(",", "").split())
    assert all_poses()[int(said.argmax())].name == pose


def test_words_near_each_other_are_pairs_in_any_order() -> None:
    assert telling(["feet", "together"]) == telling(["together", "feet"])
    assert "feet together" in telling(["feet", "together"])


@pytest.mark.slow
def test_what_the_program_has_is_what_is_counted() -> None:
    assert json.loads(COUNTED.read_text(encoding="utf-8")) == json.loads(as_text())
