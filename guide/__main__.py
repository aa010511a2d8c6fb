"""What the command `guide` and `python -m guide` begin with.

Processes that speak read the file again that the program was started with: what it needs is brought in only here.
"""


def main() -> None:
    """Do what the command line asks for."""
    from guide.cli import main as command

    command(prog_name="guide")


if __name__ == "__main__":
    main()
