"""Captions that roll: each shows again what the one before showed, and adds to it. They are made single.

Machines that caption as they listen write so: a line that grows, or moves up and stays while the next one comes.
(Source: the look of such files, reported again and again by people who convert them; there is no standard.)
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise, starmap

from guide.review.captions.base import Piece, ShownCaption, bare

#: Two captions with more quiet between them have nothing to do with each other.
NEXT_WITHIN_MS = 500

#: No words are said in so short a time: a caption as short shows what was said before.
FLASH_MS = 50

#: So many words in a row that come again are no accident, wherever the lines break.
NO_ACCIDENT = 3

#: Nobody shows more words again; keeps long captions quick.
MOST_WORDS = 120


class Rolled:
    """A caption word by word: what it shows, where its lines begin, and where the first word with its own time is."""

    def __init__(self, shown: ShownCaption) -> None:
        self.shown = shown
        self.words: list[str] = []
        self.line_starts: set[int] = set()
        self._pieces: list[int] = []
        for number, piece in enumerate(shown.pieces):
            for line_number, line in enumerate(piece.text.split("\n")):
                if line_number:
                    self.line_starts.add(len(self.words))
                found = bare(line).split()
                self.words.extend(found)
                self._pieces.extend([number] * len(found))
        self.compared = [word.casefold().strip(".,;:!?…") for word in self.words]

    @property
    def length_ms(self) -> int:
        """How long it stood on the screen."""
        return max(self.shown.end_ms - self.shown.start_ms, 0)

    @property
    def oldest(self) -> int:
        """How many words at the start may be old: the word before the first that has a time of its own is new too."""
        return next((at - 1 for at, piece in enumerate(self._pieces) if piece), len(self.words))

    def without(self, count: int) -> ShownCaption:
        """The caption without its first words; each piece keeps its time."""
        texts: list[list[str]] = [[] for _ in self.shown.pieces]
        for word, piece in zip(self.words[count:], self._pieces[count:], strict=True):
            texts[piece].append(word)
        pieces = zip(self.shown.pieces, texts, strict=True)
        return replace(self.shown, pieces=tuple(Piece(piece.start_ms, " ".join(text)) for piece, text in pieces))


def made_single(shown: Sequence[ShownCaption]) -> list[ShownCaption]:
    """The captions without what each repeats of the one before, where the file is of that kind; else as they are.

    What is truly said twice stays: only a file in which most captions begin with the end of the one before is of that
    kind.
    """
    rolled = [one for one in map(Rolled, shown) if one.words]
    carried = list(starmap(_carried, pairwise(rolled)))
    if not _rolls(rolled, carried):
        return list(shown)
    return [one.without(count) for one, count in zip(rolled, [0, *carried], strict=True)]


def _carried(before: Rolled, after: Rolled) -> int:
    """How many words at the start of `after` are those at the end of `before`, shown again.

    After some quiet the line before may be there still, above a new one; alone it was said again.
    """
    old, new = before.compared, after.compared
    most = min(len(old), after.oldest, MOST_WORDS)
    if not _at_once(before, after):
        most = min(most, len(new) - 1)
    return next((count for count in range(most, 0, -1) if old[-count:] == new[:count] and _whole(old, after, count)), 0)


def _at_once(before: Rolled, after: Rolled) -> bool:
    """Whether a caption comes when the one before goes, or sooner."""
    return 0 <= after.shown.start_ms - before.shown.start_ms <= before.length_ms + NEXT_WITHIN_MS


def _whole(old: list[str], after: Rolled, count: int) -> bool:
    """Whether the words are a whole line of the new caption, all of the old or the new one, or too many for chance."""
    return count in after.line_starts or count in (len(old), len(after.words)) or count >= NO_ACCIDENT


def _rolls(rolled: list[Rolled], carried: list[int]) -> bool:
    """Whether two captions or more tell that the file rolls, and half of all that can tell.

    Those can tell that come at once and add to what they show again, or flash it.
    """
    telling = [
        count > 0
        for (before, after), count in zip(pairwise(rolled), carried, strict=True)
        if _at_once(before, after) and (count < len(after.words) or after.length_ms <= FLASH_MS)
    ]
    return sum(telling) >= 2 and 2 * sum(telling) >= len(telling)
