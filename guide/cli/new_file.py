"""Files that a command leaves for a person, and never over another one."""

from pathlib import Path

from guide.problem import UnusableChoice


def write_new(path: Path, text: str) -> None:
    """Write a text file that is not there yet.

    Raises:
        UnusableChoice, MachineTrouble: there is one of that name, or no such folder, or it cannot be written.
    """
    try:
        with path.open("x", encoding="utf-8", newline="\n") as target:
            target.write(text)
    except FileExistsError as error:
        raise UnusableChoice(f"{path}: there is a file of that name already (name another, or move it away)") from error
    except OSError as error:
        from guide.export.atomic_write import trouble_writing

        raise trouble_writing(path, error) from error
