"""`guide new`: a class file to start from, short and ready to be changed."""

import re
from pathlib import Path

import click

from guide.cli.new_file import write_new
from guide.sequence.shipped_folder import PACKAGE, shipped_folder

#: What editors complete and check a class with; a class may lie anywhere, so it is named in full.
SCHEMA = PACKAGE / "sequence" / "schema.json"


@click.command(name="new")
@click.argument("file", type=click.Path(), metavar="FILE")
@click.option("--title", metavar="TEXT", help="The title of the class; the file's name is used where none is given.")
def command(file: str, title: str | None) -> None:
    """Start a class file that is ready to be changed.

    Writes FILE with a short class and a comment beside each thing you can say. A file that is already there is left
    alone.
    """
    path = Path(file)
    if path.suffix not in (".yaml", ".yml"):
        path = path.with_name(f"{path.name}.yaml")
    starter = (shipped_folder() / "starter.yaml").read_text(encoding="utf-8")
    text = _changed(starter, "title: ", _quoted(title or _title(path)))
    text = _changed(text, "# yaml-language-server: $schema=", SCHEMA.as_uri())
    write_new(path, text)
    click.echo(f"Wrote {path}. Look at it with: guide plan {path}")


def _changed(text: str, start: str, rest: str) -> str:
    """The text with what follows `start` on its line exchanged."""
    return re.sub(f"^({re.escape(start)}).*$", lambda found: found[1] + rest, text, count=1, flags=re.MULTILINE)


def _title(path: Path) -> str:
    words = re.sub(r"[-_\s]+", " ", path.stem).strip()
    return words[:1].upper() + words[1:]


def _quoted(text: str) -> str:
    escaped = re.sub(r"\s+", " ", text).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
