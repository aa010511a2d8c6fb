"""Which part of the program may import which: the table of DEVELOPERS.md, held by walking the syntax trees."""

import ast
from collections import Counter
from collections.abc import Iterator
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest
from rows import each_row

GUIDE = Path(__file__).parent.parent / "guide"

#: What each part may import of ours. A part may always import itself.
MAY_IMPORT = {
    "units": set(),
    "visible": set(),
    "pauses": set(),
    "problem": {"visible"},
    "figures": {"units", "problem"},
    "sequence": {"figures", "units", "problem", "visible", "pauses", "numerals"},
    "drawing": {"units", "problem", "visible"},
    "plan": {"sequence", "units", "problem", "visible", "pauses", "numerals"},
    "priority": set(),
    "numerals": set(),
    "whole_file": set(),
    "read_onward": set(),
    "voice": {"priority", "units", "problem", "visible", "pauses", "numerals"},
    "ready": {"voice", "sound", "plan", "sequence", "priority", "units", "problem", "visible"},
    "sound": {"plan.timeline", "sequence.sound_names", "sequence.steps", "read_onward", "units", "problem", "visible"},
    "export": {
        *("ready", "plan", "sound", "voice.class_clips", "sequence.poses", "sequence.steps", "sequence.caution"),
        "sequence.model",
        *("review", "drawing", "figures", "priority", "units", "problem", "visible", "pauses"),
    },
    "live": {"plan", "sound", "sequence.steps", "priority", "whole_file", "units", "problem", "visible"},
    "review": {
        *("drawing", "plan", "sequence", "live.orders", "live.record", "units", "problem", "visible", "numerals"),
        *("whole_file", "read_onward"),
    },
    "draft": {
        "plan",
        "sequence",
        "review.captions",
        "review.aligning",
        "units",
        "problem",
        "visible",
        "numerals",
    },
    "rehearse": {"review", "live", "sound", "plan", "sequence", "units", "problem", "visible", "pauses"},
    "record": {
        *("live", "voice", "plan", "sequence", "ready", "sound", "units", "problem", "visible"),
        *("drawing", "review.hearing", "review.captions", "review.aligning"),
    },
    "cli": {
        *("record", "live", "rehearse", "review", "draft", "sequence", "plan", "voice", "sound", "export", "ready"),
        *("drawing", "figures", "priority", "units", "problem", "visible"),
    },
}

#: Libraries too heavy for the parts that stay pure.
HEAVY = {"numpy", "scipy", "soundfile", "soxr", "lameenc", "pydub", "av", "hibari_tts", "pyttsx3", "jinja2"}


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imports(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            assert node.module is not None
            yield node.module


def part_of(path: Path) -> str:
    return path.relative_to(GUIDE).with_suffix("").parts[0]


FILES = sorted(path for path in GUIDE.rglob("*.py") if path.parent != GUIDE or path.stem in MAY_IMPORT)


@each_row("path", FILES)
def test_a_part_imports_only_what_the_layout_allows(path: Path) -> None:
    part = part_of(path)
    allowed = {f"guide.{name}" for name in MAY_IMPORT[part] | {part}}
    for name in imports(tree_of(path)):
        if name == "guide" or not name.startswith("guide."):
            continue
        assert any(name == one or name.startswith(f"{one}.") for one in allowed), f"{path} imports {name}"


@pytest.mark.parametrize("part", ["units", "problem", "figures", "sequence", "plan", "cli"])
def test_parts_that_stay_light_import_nothing_heavy_at_their_top(part: str) -> None:
    for path in (path for path in FILES if part_of(path) == part):
        tree = tree_of(path)
        for node in tree.body:
            for name in imports(node) if isinstance(node, ast.Import | ast.ImportFrom) else ():
                assert name.split(".")[0] not in HEAVY, f"{path} imports {name} at its top"


def test_the_checker_shares_no_code_with_the_scheduler() -> None:
    names = (
        "scheduler",
        "step_shape",
        "word_placing",
        "breath_counting",
        "grid",
        "slot_limits",
        "fixed_lengths",
        "class_length",
        "step_lengths",
        "fitting",
    )
    makers = tuple(f"guide.plan.{name}" for name in names)
    checkers = [path for path in FILES if part_of(path) == "plan" and "check" in str(path.relative_to(GUIDE))]
    assert checkers
    for path in checkers:
        found = imports(tree_of(path))
        assert not [name for name in found if f"{name}.".startswith(tuple(f"{maker}." for maker in makers))], path


def test_a_class_is_fitted_in_one_direction() -> None:
    """Each stage reads what the ones before it made, and only the first reads words."""
    stages = (
        "springs",
        "apportion",
        "led_steps",
        "hold_words",
        "leeway",
        "chain",
        "level",
        "remainder",
        "notes",
        "fit",
    )
    texts = {path.stem: path.read_text(encoding="utf-8") for path in (GUIDE / "plan" / "fitting").glob("*.py")}
    assert set(texts) == {"__init__", *stages}
    for number, stage in enumerate(stages):
        found = {name.removeprefix("guide.plan.fitting.") for name in imports(ast.parse(texts[stage]))}
        assert not found & set(stages[number:]), f"{stage} reads what comes after it"
        assert stage in ("led_steps", "leeway", "fit") or "word_ms" not in texts[stage]


def module_of(path: Path) -> str:
    return ".".join(("guide", *path.relative_to(GUIDE).with_suffix("").parts)).removesuffix(".__init__")


def modules_imported(tree: ast.AST, modules: set[str]) -> Iterator[str]:
    """Every module of ours that is imported anywhere in a file: at its top, in a function, or for types alone."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in modules)
        elif isinstance(node, ast.ImportFrom) and node.module is not None:
            names = (f"{node.module}.{alias.name}" for alias in node.names)
            yield from (name if name in modules else node.module for name in names)


def test_no_module_and_no_part_imports_itself_in_a_circle() -> None:
    trees = {module_of(path): tree_of(path) for path in sorted(GUIDE.rglob("*.py"))}
    modules = {name: {*modules_imported(tree, set(trees))} & set(trees) - {name} for name, tree in trees.items()}
    parts: dict[str, set[str]] = {}
    for name, imported in modules.items():
        of = [each.split(".")[1] if "." in each else "" for each in (name, *imported)]
        parts.setdefault(of[0], set()).update(part for part in of[1:] if part not in (of[0], ""))
    # Raises CycleError, which names the circle.
    TopologicalSorter(modules).prepare()
    TopologicalSorter(parts).prepare()


def test_only_the_screen_draws_on_a_terminal() -> None:
    """Scenes, and what makes them, know nothing of it; commands alone start the process that shows them."""
    screen = GUIDE / "live" / "screen"
    for path in (path for path in FILES if screen not in path.parents):
        found = {*imports(tree_of(path))}
        assert not {name.split(".")[0] for name in found} & {"rich", "textual"}, path
        shown = {name for name in found if name.startswith("guide.live.screen")}
        assert shown <= ({"guide.live.screen.process"} if part_of(path) == "cli" else set()), path


def test_every_name_of_a_class_has_one_meaning() -> None:
    defined = Counter(
        node.name
        for path in GUIDE.rglob("*.py")
        for node in tree_of(path).body
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
    )
    assert [name for name, times in defined.items() if times > 1] == []


def test_every_file_stays_short_enough_to_be_read_at_once() -> None:
    for path in FILES:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 400, path
