"""Lets `python -m guide` do what the command `guide` does."""

from guide.cli import main

if __name__ == "__main__":
    main(prog_name="guide")
