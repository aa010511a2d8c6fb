"""Where the classes and blocks that come with the program lie: beside it in a checkout, inside it once installed."""

from pathlib import Path

from guide.problem import MachineTrouble

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
