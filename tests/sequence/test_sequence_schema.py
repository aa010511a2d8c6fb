"""The shipped JSON Schema and the reader come to the same verdict; what a schema cannot see is listed, with why."""

import datetime
import json
from pathlib import Path
from typing import Any

import jsonschema
from fuzzing import fuzzed
from referencing import Registry, Resource
from rows import each_row
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from guide.sequence import reader
from guide.sequence.advice_names import ADVICE_NAMES
from guide.sequence.cues import CUE_KEYS
from guide.sequence.entries import OPTIONS
from guide.sequence.poses.pose import ALSO_CALLED, Condition
from guide.sequence.poses.pose_reader import POSE_KEYS
from guide.sequence.settings import BLOCK_FILE_KEYS, CLASS_KEYS, FOR_KEYS
from guide.sequence.shipped_folder import shipped_folder
from guide.sequence.sound_names import DEFAULT_SOUNDS, PALETTE_NAMES

HERE = Path(__file__).parent
SCHEMA_PATH = Path(reader.__file__).with_name("schema.json")
SCHEMA = json.loads(SCHEMA_PATH.read_text("utf-8"))
POSES_PATH = SCHEMA_PATH.parent / "poses" / "schema.json"
POSES = json.loads(POSES_PATH.read_text("utf-8"))
#: Both schemas at their places, so that one finds the other beside it, as an editor does.
BOTH: Registry[Any] = Registry().with_resources(
    [(path.as_uri(), Resource.from_contents(schema)) for path, schema in ((SCHEMA_PATH, SCHEMA), (POSES_PATH, POSES))]
)
VALIDATOR = jsonschema.Draft202012Validator({"$ref": SCHEMA_PATH.as_uri()}, registry=BOTH)

GONE = "YAML has taken the rest of the line away as a comment before a schema sees it"
JOINED = "to YAML the lines are one text"
QUOTES = "a schema does not see whether words stand in quotes"
YAML_ONLY = "YAML allows it, and it is resolved before a schema sees it"
LIMIT = "the size of a length written as text"
ELSEWHERE = "it takes more than one place of the file, or another file, to know"

BEYOND_A_SCHEMA = {
    "comment-after-words": GONE,
    "comment-after-list-words": GONE,
    "comment-after-title": GONE,
    "comment-after-name-of-block": GONE,
    "dash-without-space": JOINED,
    "dash-too-far-right": JOINED,
    "key-without-space-in-words": JOINED,
    "minus-first": QUOTES,
    "yes-as-words": QUOTES,
    "list-in-brackets-without-quotes": QUOTES,
    "none-as-words": QUOTES,
    "library-in-list": QUOTES,
    "library-words-of-breathing": QUOTES,
    "yaml-1-1": YAML_ONLY,
    "ampersand-first": YAML_ONLY,
    "anchor-and-alias": YAML_ONLY,
    "merge-key": YAML_ONLY,
    "unspeakable-escape": "a schema has no list of characters that cannot be said",
    "half-character-escape": "a schema has no list of characters that cannot be said",
    "hold-range-backwards": LIMIT,
    "pace-too-slow": LIMIT,
    "slot-too-long": LIMIT,
    "time-too-long": LIMIT,
    "pause-too-long": LIMIT,
    "pause-first": "a schema cannot say what must stand before an item of a list",
    "chime-every-too-short": LIMIT,
    "breathing-too-long": LIMIT,
    "breathing-share-too-large": LIMIT,
    "pace-range-backwards": LIMIT,
    "pace-range-too-long": LIMIT,
    "pace-rates-backwards": LIMIT,
    "share-too-large": LIMIT,
    "pose-new-without-base": "only the pose library knows whether a pose is new",
    "block-file-poses-faulty": ELSEWHERE,
    "poses-disagree": ELSEWHERE,
    "sound-outside-folder": ELSEWHERE,
    "sound-missing": ELSEWHERE,
    "sides-in-sides": ELSEWHERE,
    "section-without-steps": ELSEWHERE,
    "block-unknown": ELSEWHERE,
    "block-calls-itself": ELSEWHERE,
    "block-with-sides-in-sides": ELSEWHERE,
    "blocks-nested-deep": ELSEWHERE,
    "block-file-missing": ELSEWHERE,
    "block-file-outside": ELSEWHERE,
    "block-file-folder": ELSEWHERE,
    "block-file-faulty": ELSEWHERE,
    "block-file-a-class": ELSEWHERE,
    "block-files-disagree": ELSEWHERE,
    "block-file-itself": ELSEWHERE,
}

KINDER_THAN_YAML = {"odd-spaces": "spaces that look like spaces are spaces to the reader; to YAML they are letters"}


def name(path: Path) -> str:
    return path.stem


def as_json(value: Any) -> Any:
    """What JSON would hold: a date is a text, as in YAML 1.2 itself."""
    match value:
        case dict():
            return {key: as_json(each) for key, each in value.items()}
        case list():
            return [as_json(each) for each in value]
        case datetime.date():
            return value.isoformat()
    return value


def accepted(raw: bytes) -> bool:
    """Whether an editor with the schema is content: the text is YAML, and the schema finds nothing."""
    try:
        value = YAML(typ="safe", pure=True).load(raw.decode("utf-8"))
    except (YAMLError, UnicodeDecodeError, ValueError, TypeError):
        return False
    return VALIDATOR.is_valid(as_json(value))


@each_row("path", sorted((HERE / "valid").glob("*.yaml")))
def test_the_schema_takes_what_the_reader_takes(path: Path) -> None:
    assert accepted(path.read_bytes()) == (path.stem not in KINDER_THAN_YAML)


@each_row("path", sorted(shipped_folder().rglob("*.yaml")))
def test_the_schema_takes_every_shipped_file(path: Path) -> None:
    assert accepted(path.read_bytes())


@each_row("path", sorted((HERE / "invalid").glob("*.yaml")))
def test_the_schema_refuses_what_the_reader_refuses_save_what_it_cannot_see(path: Path) -> None:
    assert accepted(path.read_bytes()) == (path.stem in BEYOND_A_SCHEMA)


def test_the_list_of_what_a_schema_cannot_see_names_only_files_that_are_there() -> None:
    assert {path.stem for path in (HERE / "invalid").glob("*.yaml")} >= set(BEYOND_A_SCHEMA)


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_the_schema_and_the_reader_know_the_same_keys() -> None:
    steps = SCHEMA["$defs"]
    defined = {"both sides": "both-sides", "say": "talk"}
    options = {head: set(steps[defined.get(head, head)]["properties"]) - {head} for head in OPTIONS}
    assert set(SCHEMA["properties"]) == set(CLASS_KEYS)
    assert options == {head: set(names) for head, names in OPTIONS.items()}
    assert set(steps["cue"]["anyOf"][1]["properties"]) == set(CUE_KEYS)


def test_the_schema_and_the_reader_know_the_same_rules_of_advice_and_conditions() -> None:
    steps = SCHEMA["$defs"]
    assert steps["advice"]["enum"] == list(ADVICE_NAMES)
    assert steps["condition"]["enum"] == [*(each.value for each in Condition), *ALSO_CALLED]
    assert set(SCHEMA["properties"]["for"]["properties"]) == set(FOR_KEYS)
    assert set(SCHEMA["anyOf"][1]["propertyNames"]["enum"]) == set(BLOCK_FILE_KEYS)


def test_the_schema_has_the_poses_of_a_class_from_the_schema_of_the_library() -> None:
    assert SCHEMA["properties"]["poses"]["$ref"] == "poses/schema.json#/$defs/poses"
    assert set(POSES["$defs"]["pose"]["properties"]) == set(POSE_KEYS)


def test_the_schema_and_the_program_know_the_same_sounds() -> None:
    sounds = SCHEMA["properties"]["sounds"]["properties"]
    assert set(sounds) == set(DEFAULT_SOUNDS)
    assert all(set(role["anyOf"][0]["enum"]) == PALETTE_NAMES for role in sounds.values())


def test_every_key_of_a_class_is_described_for_editors() -> None:
    def described(schema: dict[str, Any]) -> bool:
        if schema.get("description"):
            return True
        return bool(SCHEMA["$defs"][schema["$ref"].removeprefix("#/$defs/")].get("description"))

    assert [key for key, schema in SCHEMA["properties"].items() if not described(schema)] == []


def test_the_schema_takes_every_broken_file_that_turned_out_good() -> None:
    odd = set("\t\r\0\x85\xa0\u2028\u200b\ufeff\ufffd")
    texts = [text for text in map(fuzzed, range(900)) if isinstance(text, str) and not odd & set(text)]
    good = [text for text in texts if not reader.look(text, "class.yaml", HERE).problems]
    assert len(good) > 5
    assert [text for text in good if not accepted(text.encode("utf-8", "replace"))] == []
