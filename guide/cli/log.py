"""`guide log`: what really happened in a class that was led."""

from pathlib import Path

import click

from guide.cli.tell import tell
from guide.problem import UnusableChoice

#: How the record of a class is named: by the moment at which it began, which also sorts it.
NAME = "%Y-%m-%d %H-%M-%S"


@click.command(name="log")
@click.argument("path", metavar="[LOG]", type=click.Path(path_type=Path), required=False)
@click.option("--list", "is_listed", is_flag=True, help="Name the logs that there are, the newest last.")
def command(path: Path | None, is_listed: bool) -> None:
    """Print what really happened in a class that was led: when each step began, and what was asked for.

    Behind each step stands how much later (+) or sooner (-) it began than it was planned. Without LOG, the last class
    that was led here.
    """
    kept = logs()
    if is_listed:
        for each in kept:
            tell(each)
        return
    if path is None and not kept:
        raise UnusableChoice("no class has been led here yet (lead one with `guide play`)")
    from guide.live.record import read, text

    tell(text(read(kept[-1] if path is None else path)), nl=False)


def log_folder() -> Path:
    """Where what happened in classes is written down."""
    from platformdirs import user_state_path

    return user_state_path("practice-guide") / "classes"


def logs() -> list[Path]:
    """Every record that is kept, the newest last."""
    return sorted(log_folder().glob("*.jsonl"))
