"""Scenes as data for views that run elsewhere, and what reads and draws each kind."""

import json
from typing import get_args

from hypothesis import given
from live_scenes import READIES, READINGS, SCENES, scene

from guide.live.scene import Showable
from guide.live.scene_data import READERS, data_of, scene_from
from guide.live.screen.drawing import DRAWN_BY


@given(SCENES | READIES | READINGS)
def test_any_scene_can_be_sent_as_json_and_is_the_same_again(made: Showable) -> None:
    assert scene_from(json.loads(json.dumps(data_of(made)))) == made


def test_the_data_of_a_scene_begins_with_its_kind_and_has_words_for_what_is_one_of_few() -> None:
    data = data_of(scene("louder", tells=2))
    told = {"title": "warrior two", "phase": "in", "fullness": 0.6, "next_pose": "triangle", "begins_ms": 0}
    assert data.pop("moment").items() >= told.items()
    assert data == {
        "kind": "class",
        "title": "Lakeside morning",
        "told": "louder",
        "tells": 2,
        "is_paused": False,
        "sound_lost": False,
        "is_over": False,
    }


def test_every_kind_of_scene_is_read_from_data_and_drawn() -> None:
    kinds = get_args(Showable)
    assert set(DRAWN_BY) == set(kinds)
    assert list(READERS) == [kind.kind for kind in kinds]
