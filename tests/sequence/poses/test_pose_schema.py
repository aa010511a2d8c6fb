"""The schema of the library's files: it takes every file, refuses what the reader refuses, and knows the same keys."""

import json
from enum import Enum
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from pose_samples import THREE
from ruamel.yaml import YAML

from guide.sequence.poses import pose_reader
from guide.sequence.poses.library_source import DATA
from guide.sequence.poses.pose import Base, Condition, Does, Strength

SCHEMA = json.loads(Path(pose_reader.__file__).with_name("schema.json").read_text("utf-8"))
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)
POSE = SCHEMA["$defs"]["pose"]["properties"]


def load(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(text)


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("path", sorted(DATA.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_schema_takes_every_file_of_the_library(path: Path) -> None:
    text = path.read_text("utf-8")
    assert [error.message for error in VALIDATOR.iter_errors(load(text))] == []
    assert text.startswith("# yaml-language-server: $schema=../schema.json\n")


def test_the_schema_takes_all_that_a_pose_may_have() -> None:
    assert VALIDATOR.is_valid(load(THREE))


@pytest.mark.parametrize(
    "text",
    [
        "poses: {}",
        "pose: {}",
        "poses: {tree: {}}",
        "poses: {tree: {sides: yes}}",
        "poses: {tree: {base: floating}}",
        "poses: {tree: {base: standing, colour: green}}",
        "poses: {tree: {base: standing, does: [flying]}}",
        "poses: {tree: {base: standing, hold: 45 s}}",
        "poses: {tree: {base: standing, hold: 5}}",
        "poses: {tree: {base: standing, usual: 3 to 5 breaths}}",
        "poses: {tree: {base: standing, strength: fierce}}",
        "poses: {tree: {base: standing, easier: {pose: mountain}}}",
        "poses: {tree: {base: standing, cautions: {liver: Take care.}}}",
        "poses: {tree: {base: standing, say: []}}",
        "poses: {tree: {base: standing, say: [{how: Stand.}]}}",
        "poses: {tree: {base: standing, say: Lift the <foot>.}}",
        "poses: {tree: {base: standing, sides: perhaps}}",
    ],
)
def test_the_schema_refuses_what_is_no_library(text: str) -> None:
    assert not VALIDATOR.is_valid(load(text))


def test_the_schema_and_the_reader_know_the_same_keys_and_values() -> None:
    def values(enum: type[Enum]) -> list[str]:
        return [each.value for each in enum]

    assert list(POSE) == list(pose_reader.POSE_KEYS)
    assert list(SCHEMA["$defs"]["way"]["anyOf"][1]["properties"]) == list(pose_reader.WAY_KEYS)
    assert POSE["base"]["enum"] == values(Base)
    assert POSE["strength"]["enum"] == values(Strength)
    assert SCHEMA["$defs"]["does"]["enum"] == values(Does)
    assert list(POSE["cautions"]["properties"]) == values(Condition)


def test_every_key_is_described_for_editors() -> None:
    assert [key for key, schema in POSE.items() if not schema.get("description")] == []
