"""The page of the language shows all that a class file may hold, and every example on it is a class that runs."""

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from textwrap import indent
from typing import Any

import pytest
from class_texts import expand
from click.testing import CliRunner
from fill import HERE, ROOT
from ruamel.yaml import YAML

from guide.cli import main
from guide.plan.checker import prove
from guide.plan.estimate import EstimatedLengths
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.sequence.cues import CUE_KEYS, KINDS
from guide.sequence.entries import OPTIONS
from guide.sequence.reader import read_text
from guide.sequence.settings import CLASS_KEYS
from guide.sequence.sound_names import PALETTE_NAMES

PAGE = (ROOT / "sequences" / "README.md").read_text(encoding="utf-8")

EXAMPLES = re.findall(r"^```yaml\n(.*?)^```", PAGE, re.DOTALL | re.MULTILINE)

SCHEMAS = [
    json.loads((ROOT / "guide" / "sequence" / path).read_text("utf-8")) for path in ("schema.json", "poses/schema.json")
]

#: Every bell and chime rings for as long.
SOUND_MS = dict.fromkeys([*PALETTE_NAMES, "my-gong.wav"], 2000)


def whole(example: str) -> str:
    """An example as a class file: steps go below `class:`, and what has no title and no steps gets them."""
    if example.startswith("- "):
        example = f"class:\n{indent(example, '  ')}"
    head = "" if re.search(r"^(title|blocks):", example, re.MULTILINE) and "class:" not in example else "title: Shown\n"
    example = example if re.search("^title:", example, re.MULTILINE) else head + example
    if re.search(r"^(class|blocks):", example, re.MULTILINE):
        return example
    return f"{example}\nclass:\n  - pose: mountain\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a class that has a gong and a file of blocks of its own."""
    shutil.copy(ROOT / "sounds" / "small-bowl.wav", tmp_path / "my-gong.wav")
    shutil.copy(HERE / "waves.yaml", tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.splitlines()[0])
def test_every_example_passes_the_check_and_has_a_proven_plan(example: str, folder: Path) -> None:
    text = whole(example)
    (folder / "shown.yaml").write_text(text, encoding="utf-8")
    checked = CliRunner().invoke(main, ["check", "shown.yaml"])
    assert checked.exit_code == 0, checked.stderr
    if "class:" in text:
        word_ms = EstimatedLengths(0.75)
        fitted = fit(expand(read_text(text, "shown.yaml", folder)), word_ms, SOUND_MS)
        prove(fitted.steps, plan(fitted.steps, word_ms, SOUND_MS), word_ms)


def test_every_key_stands_in_an_example() -> None:
    known = {key for schema in SCHEMAS for key in keys_of(schema)}
    conditions = set(SCHEMAS[0]["$defs"]["condition"]["enum"])
    shown = {key for example in EXAMPLES for key in keys_in(YAML(typ="safe").load(whole(example)))}
    assert known - shown == (conditions & known) - shown


def keys_of(schema: Any) -> Iterator[str]:
    """Every key that a schema knows."""
    if isinstance(schema, dict):
        yield from schema.get("properties", {})
        for part in schema.values():
            yield from keys_of(part)
    elif isinstance(schema, list):
        for part in schema:
            yield from keys_of(part)


def keys_in(tree: Any) -> Iterator[str]:
    """Every key of a file."""
    if isinstance(tree, dict):
        yield from tree
    for part in tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else ():
        yield from keys_in(part)


def test_every_value_that_can_be_chosen_is_named() -> None:
    chosen = {value for schema in SCHEMAS for value in choices_of(schema)} - {True, False, "true", "false"}
    unnamed = {value for value in chosen if not re.search(rf"[`:\[,] ?{value}[`\],\n}}]", PAGE)}
    assert unnamed == set()


def choices_of(schema: Any) -> Iterator[Any]:
    """Every value that a schema lets one choose."""
    if isinstance(schema, dict):
        yield from schema.get("enum", ())
    for part in schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ():
        yield from choices_of(part)


def test_the_table_of_all_words_has_what_the_reader_takes() -> None:
    table = PAGE.partition("## All words of the language")[2]
    rows = {left: re.findall("`(.+?)`", right) for left, right in re.findall(r"^\| (.+?) \| (.+?) \|$", table, re.M)}
    assert rows["at the top"] and set(rows["at the top"]) == set(CLASS_KEYS)
    assert set(rows["a cue"]) == {*CUE_KEYS, *KINDS}
    heads = {
        head: tuple(found) for left, found in rows.items() for head in re.findall("`(.+?)`", left) if head in OPTIONS
    }
    assert heads == OPTIONS


def test_the_classes_that_come_with_the_program_are_named() -> None:
    assert all(f"`{path.stem}`" in PAGE for path in (ROOT / "sequences").glob("*.yaml"))
    assert all(f"](blocks/{path.name})" in PAGE for path in (ROOT / "sequences" / "blocks").glob("*.yaml"))
