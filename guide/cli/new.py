"""`guide new`: a class file to start from, short and ready to be changed, or a copy of a shipped class."""

import re
from pathlib import Path

import click

from guide.cli.new_file import write_new
from guide.cli.tell import tell
from guide.problem import UnusableChoice
from guide.sequence.shipped_folder import PACKAGE, shipped_classes, style_starters, those_shipped
from guide.sequence.styles import STYLES

#: What editors complete and check a class with; a class may lie anywhere, so it is named in full.
SCHEMA = PACKAGE / "sequence" / "schema.json"

#: The class that is begun where none is named.
STARTER = "starter"


@click.command(name="new")
@click.argument("file", type=click.Path(), metavar="[FILE]", required=False)
@click.option("--title", metavar="TEXT", help="The title of the class; the file's name is used where none is given.")
@click.option(
    "--style",
    metavar="NAME",
    type=click.Choice(list(STYLES)),
    help=f"Begin a class of this style: {', '.join(STYLES)}.",
)
@click.option("--from", "origin", metavar="NAME", help="Begin with a copy of this class, which keeps its title.")
def command(file: str | None, title: str | None, style: str | None, origin: str | None) -> None:
    """Start a class file that is ready to be changed.

    Writes FILE with a short class and a comment beside each thing you can say; with --style it is one of that
    style, such as yin, which says how long poses are usually kept and what counts the breath. With --from it is a
    copy of a class that comes with the program, such as `lakeside-morning`, and FILE may be left out: the copy then
    has that name. A file that is already there is left alone.
    """
    if file is None and origin is None:
        raise click.UsageError("name the file to write (such as `guide new evening.yaml`)")
    if style and origin:
        raise click.UsageError("--style and --from name two beginnings; leave one of them out")
    path = Path(file or f"{origin}.yaml")
    if path.suffix not in (".yaml", ".yml"):
        path = path.with_name(f"{path.name}.yaml")
    write_new(path, _copied(origin, title) if origin else _titled(_begun(style), title or _title(path)))
    tell(f"Wrote {path}. Look at it with: guide plan {path}")


def _begun(style: str | None) -> str:
    """The text of the class that is begun: that of a style, or the one that has none."""
    return _with_schema(style_starters()[style]) if style else _shipped(STARTER)


def _shipped(name: str) -> str:
    """The text of a shipped class, with the schema named in full. Raises UnusableChoice where there is none."""
    path = shipped_classes().get(name)
    if path is None:
        raise UnusableChoice(f"{name}: no class of that name comes with the program ({those_shipped(name)})")
    return _with_schema(path)


def _with_schema(path: Path) -> str:
    return _changed(path.read_text(encoding="utf-8"), "# yaml-language-server: $schema=", SCHEMA.as_uri())


def _copied(origin: str, title: str | None) -> str:
    """A copy that says where it comes from; shipped blocks that it names are found wherever it lies."""
    schema, _, rest = _shipped(origin).partition("\n")
    text = f"{schema}\n# A copy of `{origin}`, which comes with the program.\n{rest}"
    return _titled(text, title) if title else text


def _titled(text: str, title: str) -> str:
    return _changed(text, "title: ", _quoted(title))


def _changed(text: str, start: str, rest: str) -> str:
    """The text with what follows `start` on its line exchanged."""
    return re.sub(f"^({re.escape(start)}).*$", lambda found: found[1] + rest, text, count=1, flags=re.MULTILINE)


def _title(path: Path) -> str:
    words = re.sub(r"[-_\s]+", " ", path.stem).strip()
    return words[:1].upper() + words[1:]


def _quoted(text: str) -> str:
    escaped = re.sub(r"\s+", " ", text).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
