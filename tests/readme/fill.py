"""Puts the real output of every command that a page shows under it, and checks that it is still so.

    python tests/readme/fill.py           rewrite every page
    python tests/readme/fill.py --check   print what has changed, and fail if anything has

A block is marked by a comment above its fence: `<!-- run: guide plan … -->` for words of kept lengths (see
`kept_speech`), `<!-- run, as kept: … -->` where another voice's milliseconds would show as whole seconds,
`<!-- run, own voice: … -->` where the sound itself is told of, and `<!-- run, varies: … -->` where the output differs
from machine to machine; `<!-- run, at the end: … -->` shows the last of its lines alone. `<!-- made:
mine.vtt 48-71 -->` are those lines of a file that such a command has written. `<!-- help -->` is the command
reference. `<!-- file: slips.yaml -->` is a file beside this one, which the commands below it find.
"""

import difflib
import os
import re
import shlex
import sys
import tempfile
from collections.abc import Collection
from contextlib import chdir
from pathlib import Path
from unittest.mock import patch

from click.testing import CliRunner

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from kept_speech import fill  # noqa: E402 (of the folder above)

HERE = Path(__file__).parent

#: The folders with pages, beside the topmost.
FOLDERS = ("guide", "sequences", "sounds", "tests")

BLOCK = re.compile(
    r"<!-- (?P<mark>(?P<kind>run|run, as kept|run, at the end|run, own voice|run, varies|file|made|help)"
    r"(?:: (?P<line>[^\n]+?))?) -->\n"
    r"```(?P<fence>text|yaml)\n(?P<shown>.*?)```\n",
    re.DOTALL,
)

#: Kinds of blocks that are the same on every machine, and those that rest on its own voice or devices.
SAME = frozenset({"run", "run, as kept", "run, at the end", "file", "made", "help"})
OWN = frozenset({"run, own voice", "run, varies"})

#: How wide help is on a terminal of 80 columns and more, as click has it; in its tests it would take two more.
HELP_COLUMNS = 78

#: A number as outputs have it: `-18.0`, `6:00`, `1:02:03`.
NUMBER = re.compile(r"-?\d+(?::\d+)*(?:\.\d+)?")


def pages() -> list[Path]:
    """Every page of the project."""
    below = (path for folder in FOLDERS for path in (ROOT / folder).rglob("*.md") if "node_modules" not in path.parts)
    return sorted([*ROOT.glob("*.md"), *below])


def guide(arguments: list[str], folder: Path) -> str:
    """What the command prints on either stream, in order, run in `folder` on a terminal of 100 columns."""
    from guide.cli import main as program

    runner = CliRunner(env={"COLUMNS": "100", "NO_COLOR": "1"})
    with chdir(folder):
        done = runner.invoke(program, arguments, prog_name="guide", terminal_width=HELP_COLUMNS)
    if done.exit_code not in (0, 1, 2) or (done.exception and not isinstance(done.exception, SystemExit)):
        raise SystemExit(f"guide {shlex.join(arguments)} failed:\n{done.output}{done.exception!r}")
    return done.output.replace(str(folder), "~/classes").replace(str(Path.home()), "~")


def reference() -> str:
    """The help of every command, one after the other."""
    from guide.cli import COMMANDS

    parts = [["--help"], *([name, "--help"] for name in COMMANDS)]
    return "\n".join(f"$ guide {shlex.join(part)}\n{guide(part, ROOT)}" for part in parts)


def filled(text: str, folder: Path, kinds: Collection[str]) -> str:
    """The page with every block of these kinds made anew, its commands run in `folder`."""

    def anew(found: re.Match[str]) -> str:
        line, output = found["line"], found["shown"]
        if found["kind"] == "help" and "help" in kinds:
            output = reference()
        elif found["kind"] == "file":
            output = (HERE / line).read_text(encoding="utf-8")
            (folder / line).write_text(output, encoding="utf-8")
        elif found["kind"] == "made" and "made" in kinds:
            name, first, last = re.fullmatch(r"(.+) (\d+)-(\d+)", line).groups()
            lines = (folder / name).read_text(encoding="utf-8").splitlines(keepends=True)
            output = "".join(lines[int(first) - 1 : int(last)])
        elif found["kind"] in kinds:
            output = guide(shlex.split(line)[1:], folder)
            if found["kind"] == "run, at the end":
                output = output.rstrip("\n").rpartition("\n")[2] + "\n"
        return f"<!-- {found['mark']} -->\n```{found['fence']}\n{output}```\n"

    return BLOCK.sub(anew, text)


def alike(shown: str, made: str) -> bool:
    """Whether two pages differ in nothing but numbers, and in those by no more than another voice's sums would do it.

    A clip is at most a few milliseconds longer or shorter on another processor. A clock is then a second off at most,
    two where one is told beside another, and a share or a level by its last figure.
    """
    if NUMBER.sub("#", shown) != NUMBER.sub("#", made):
        return False
    pairs = zip(NUMBER.findall(shown), NUMBER.findall(made), strict=True)
    return all(abs(worth(one) - worth(other)) <= (2 if ":" in one else 0.11) for one, other in pairs)


def worth(number: str) -> float:
    """A number as a number; a clock in seconds."""
    parts = number.lstrip("-").split(":")
    size = sum(float(part) * 60**place for place, part in enumerate(reversed(parts)))
    return -size if number.startswith("-") else size


def workplace(folder: Path) -> Path:
    """A folder in which a page's commands find the shipped files and recordings, and may leave their own."""
    recordings = (path for path in HERE.iterdir() if path.suffix in (".jsonl", ".vtt"))
    for path in (ROOT / "sequences", ROOT / "sounds", *recordings):
        (folder / path.name).symlink_to(path)
    return folder


def made_anew(text: str, kinds: Collection[str]) -> str:
    """The page with its blocks of these kinds made anew in a workplace of their own."""
    with tempfile.TemporaryDirectory() as folder:
        return filled(text, workplace(Path(folder)), kinds)


def main() -> None:
    with tempfile.TemporaryDirectory() as cache, patch.dict(os.environ, {"GUIDE_CACHE": cache}):
        fill(Path(cache))
        made = {page: made_anew(page.read_text(encoding="utf-8"), SAME) for page in pages()}
    if "--check" not in sys.argv[1:]:
        for page, text in made.items():
            page.write_text(made_anew(text, OWN), encoding="utf-8")
        return
    for page, text in made.items():
        name = page.relative_to(ROOT).as_posix()
        shown = page.read_text(encoding="utf-8")
        print(*difflib.unified_diff(shown.splitlines(), text.splitlines(), name, "as it is now", lineterm=""), sep="\n")
    sys.exit(any(page.read_text(encoding="utf-8") != text for page, text in made.items()))


if __name__ == "__main__":
    main()
