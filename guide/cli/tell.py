"""How a command writes to the terminal: by this, and nothing else, so that no file can send it orders."""

import click

from guide.visible import visible


def tell(text: object = "", nl: bool = True, err: bool = False) -> None:
    """Write `text`, with escapes in place of what could not be seen, and a line end unless `nl` is off."""
    click.echo(visible(str(text)), nl=nl, err=err)
