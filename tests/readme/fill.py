"""Puts the real output of every command that the README shows under it, and checks that it is still so.

    python tests/readme/fill.py           rewrite README.md
    python tests/readme/fill.py --check   print what has changed, and fail if anything has

A block is marked by a comment above its fence: `<!-- run: guide plan … -->`, or `<!-- run, varies: … -->` where the
output differs from machine to machine and only the exit code is checked. `<!-- help -->` is the command reference, and
`<!-- file: slips.yaml -->` a file beside this one.
"""

import difflib
import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
BLOCK = re.compile(
    r"<!-- (?P<mark>(?:run(?:, varies)?|file): (?P<line>[^\n]+?)|help) -->\n"
    r"```(?P<kind>text|yaml)\n(?P<shown>.*?)```\n",
    re.DOTALL,
)


def guide(arguments: list[str], folder: Path) -> str:
    """What the command prints on either stream, in order, run in `folder`."""
    done = subprocess.run(
        [sys.executable, "-m", "guide", *arguments],
        cwd=folder,
        env={**os.environ, "COLUMNS": "100", "NO_COLOR": "1", "PYTHONPATH": str(ROOT)},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=600,
        check=False,
    )
    if "Traceback" in done.stdout or done.returncode not in (0, 1, 2):
        raise SystemExit(f"guide {shlex.join(arguments)} failed:\n{done.stdout}")
    return done.stdout.replace(str(folder), "~/classes").replace(str(Path.home()), "~")


def reference() -> str:
    """The help of every command, one after the other."""
    from guide.cli import COMMANDS

    parts = [["--help"], *([name, "--help"] for name in COMMANDS)]
    return "\n".join(f"$ guide {shlex.join(part)}\n{guide(part, ROOT)}" for part in parts)


def filled(text: str, folder: Path, *, varying: bool) -> str:
    """The README with every block made anew; those that vary are left as they stand unless `varying`."""

    def anew(found: re.Match[str]) -> str:
        mark = found["mark"]
        if mark == "help":
            output = reference()
        elif mark.startswith("file"):
            output = (folder / found["line"]).read_text(encoding="utf-8")
        elif mark.startswith("run, varies"):
            output = guide(shlex.split(found["line"])[1:], folder)
            output = output if varying else found["shown"]
        else:
            output = guide(shlex.split(found["line"])[1:], folder)
        return f"<!-- {mark} -->\n```{found['kind']}\n{output}```\n"

    return BLOCK.sub(anew, text)


def workplace(folder: Path) -> Path:
    """A folder in which the README's commands find the shipped files, and may leave their own."""
    for name in (
        "sequences",
        "sounds",
        "tests/readme/slips.yaml",
        "tests/readme/eager.yaml",
        "tests/readme/moment.yaml",
        "tests/readme/taught.vtt",
        "tests/readme/rehearsal.jsonl",
    ):
        (folder / Path(name).name).symlink_to(ROOT / name)
    return folder


def main() -> None:
    text = README.read_text(encoding="utf-8")
    check = "--check" in sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        made = filled(text, workplace(Path(folder)), varying=not check)
    if not check:
        README.write_text(made, encoding="utf-8")
        return
    changes = list(difflib.unified_diff(text.splitlines(), made.splitlines(), "README.md", "as it is now", lineterm=""))
    print("\n".join(changes) or "README.md shows what the commands print")
    sys.exit(1 if changes else 0)


if __name__ == "__main__":
    main()
