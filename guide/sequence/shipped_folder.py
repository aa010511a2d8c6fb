"""Where the classes and blocks that come with the program lie: beside it in a checkout, inside it once installed."""

from collections.abc import Mapping
from difflib import SequenceMatcher
from pathlib import Path

from guide.problem import MachineTrouble, UnusableChoice
from guide.sequence import source

PACKAGE = Path(__file__).resolve().parent.parent


def shipped_folder() -> Path:
    """The folder of the shipped classes, with `blocks/` in it.

    Raises:
        MachineTrouble: the installation lacks it.
    """
    for folder in (PACKAGE / "sequences", PACKAGE.parent / "sequences"):
        if (folder / "blocks").is_dir():
            return folder
    raise MachineTrouble("the shipped classes are missing from this installation (install the program again)")


def shipped_classes() -> Mapping[str, Path]:
    """The shipped classes by their names. Raises MachineTrouble where the installation lacks them."""
    return {path.stem: path for path in sorted(shipped_folder().glob("*.yaml"))}


def style_starters() -> Mapping[str, Path]:
    """The short class that each style begins with. Raises MachineTrouble where the installation lacks them."""
    return {path.stem: path for path in sorted((shipped_folder() / "starters").glob("*.yaml"))}


def class_path(name: str) -> str:
    """The file that a name means: one of the user's own, with or without its `.yaml`, else the shipped class.

    A name that is neither comes back as it is.
    """
    own = next((path for path in (name, f"{name}.yaml") if _is_file(path)), None)
    return own or _shipped_path(name.removesuffix(".yaml")) or name


def _is_file(path: str) -> bool:
    try:
        return Path(path).is_file()
    except OSError:
        return False


def _shipped_path(name: str) -> str | None:
    """Where a shipped class lies, from the current folder where it is below that; None where there is no such class."""
    path = shipped_classes().get(name)
    if path is None:
        return None
    here = Path.cwd()
    return str(path.relative_to(here) if path.is_relative_to(here) else path)


def class_from_file(path: Path) -> bytes:
    """The bytes of a class file, as `source.from_file` reads them.

    Raises:
        UnusableChoice: what `source.from_file` raises; where a plain name is no file, it names the shipped classes.
    """
    try:
        return source.from_file(path)
    except UnusableChoice as error:
        if not isinstance(error.__cause__, FileNotFoundError) or path.name != str(path):
            raise
        what = "there is no such file, and no class of that name comes with the program"
        raise UnusableChoice(f"{path}: {what} ({those_shipped(path.stem)})") from error


def those_shipped(name: str) -> str:
    """The names of the shipped classes, those first that are most like `name`."""
    names = sorted(shipped_classes(), key=lambda known: -SequenceMatcher(None, name.casefold(), known).ratio())
    return f"those that do: {', '.join(names)}"
