"""The colours of the page and its picture, on light and on dark paper.

Words stand on nothing that has less than 4.5 : 1 to them, and lines that tell something have 3 : 1 to the paper.
Source: W3C WCAG 2.2, 1.4.3 "Contrast (Minimum)" and 1.4.11 "Non-text Contrast". Over and under are amber and blue,
which those who see red and green alike tell apart.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Colours:
    """`quiet` is for lesser words, `faint` for lines between things, `edge` for lines around them, `mark` for the slot.

    The rest are what blocks are filled with: something held, a move of one breath, what ran over, what was shorter.
    """

    paper: str
    card: str
    ink: str
    quiet: str
    faint: str
    edge: str
    mark: str
    held: str
    move: str
    over: str
    under: str


LIGHT = Colours(
    paper="#fbfaf6",
    card="#f3f2ec",
    ink="#1f2d36",
    quiet="#4d5b64",
    faint="#d9dedd",
    edge="#5f7078",
    mark="#a33b20",
    held="#d0dfdd",
    move="#e8f0ee",
    over="#f2c57c",
    under="#8fb6f0",
)

DARK = Colours(
    paper="#11181c",
    card="#182127",
    ink="#e8eef0",
    quiet="#aebbc1",
    faint="#2f3c43",
    edge="#7f9099",
    mark="#ff9b7a",
    held="#2a4c55",
    move="#1e343b",
    over="#7d5210",
    under="#2c5590",
)
