"""Where signs stand in what was said: a few words near each other, in whatever order."""

from collections.abc import Iterator, Mapping, Sequence

#: What a word may have after it and still be the same.
_ENDINGS = ("", "s", "es", "ed", "ing", "'s", "d", "ly")


def forms(word: str) -> frozenset[str]:
    """A word in its other forms: `fold` as `folds`, `folded` and `folding`, `drape` as `draping`."""
    stems = (word, word[:-1]) if word.endswith("e") else (word, word + word[-1])
    return frozenset(stem + ending for stem in stems for ending in _ENDINGS)


class Signs:
    """The signs of some things, each written as words, `/` between those of which one is enough."""

    def __init__(self, table: Mapping[str, str]) -> None:
        self._groups: list[tuple[str, int]] = []
        self._by_word: dict[str, list[tuple[int, int]]] = {}
        for thing, signs in table.items():
            for sign in (" ".join(sign.split()) for sign in signs.split(",")):
                self._add(thing, sign.split(" "))

    def _add(self, thing: str, words: Sequence[str]) -> None:
        number = len(self._groups)
        self._groups.append((thing, len(words)))
        for place, group in enumerate(words):
            for form in {form for word in group.split("/") for form in forms(word)}:
                self._by_word.setdefault(form, []).append((number, place))

    def found(self, words: Sequence[str], near: int) -> Iterator[tuple[int, str, int]]:
        """Every sign in some words: the number of its first word, what it is a sign of, and how many words it has."""
        last: dict[int, dict[int, int]] = {}
        for at, word in enumerate(words):
            for number, place in self._by_word.get(word, ()):
                seen = last.setdefault(number, {})
                seen[place] = at
                thing, count = self._groups[number]
                if len(seen) == count and len(set(seen.values())) == count and at - min(seen.values()) < near:
                    yield min(seen.values()), thing, count
                    seen.clear()
