"""Class files in any formatting that YAML allows, with a place for the length of each hold, for property tests.

The same formatting is filled twice: with the lengths as they stand, and with those that should be there afterwards. So
what is expected owes nothing to the code that writes.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random

from guide.review.write_back.taught_hold import SidesKept

#: Stands where the length of a hold goes, with its number.
MARK = "\0{}\0"

NAMES = ("oak", "old willow", "ṣāla", "weiße Birke", "木", "'elm'", '"ash tree"', "pose oak")


@dataclass(frozen=True, slots=True)
class Hold:
    """A length in the file, and for how many breaths it was done on the first pass and the second (None for one pass).

    `most` is the same as `least` for a single length; `quote` stands on both sides of it.
    """

    least: int
    most: int
    quote: str
    gap: str
    first: int
    second: int | None

    def before(self) -> str:
        return f"{self.quote}{self._length(self.least, self.most)}{self.quote}"

    def after(self, sides: SidesKept) -> str:
        """What should stand there, by hand: the mean, or a length for each side; a range gives at the nearer end."""
        if self.second is not None and sides is SidesKept.AS_TAUGHT and self.first != self.second:
            first, second = self._done(self.first), self._done(self.second)
            if first != second:
                lengths = [" ".join(self._length(*one).split()) for one in (first, second)]
                return f"{{first side: {lengths[0]}, second side: {lengths[1]}}}"
        both = self.first if self.second is None else self.second
        least, most = self._done((self.first + both + 1) // 2)
        return f"{self.quote}{self._length(least, most)}{self.quote}"

    def _done(self, breaths: int) -> tuple[int, int]:
        if self.least == self.most:
            return breaths, breaths
        return min(self.least, breaths), max(self.most, breaths)

    def _length(self, least: int, most: int) -> str:
        noun = "breath" if most == 1 else "breaths"
        return f"{least}{self.gap}{noun}" if least == most else f"{least} to{self.gap}{most} {noun}"


@dataclass(frozen=True, slots=True)
class Format:
    """A formatted class with its holds; `text` has a mark for each."""

    text: str
    holds: tuple[Hold, ...]

    def before(self) -> bytes:
        return self._filled([hold.before() for hold in self.holds])

    def after(self, sides: SidesKept) -> bytes:
        return self._filled([hold.after(sides) for hold in self.holds])

    def with_one(self, number: int, breaths: int) -> bytes:
        """The class with one hold done for so many breaths every time, and the others as they stand."""
        lengths = [hold.before() for hold in self.holds]
        second = None if self.holds[number].second is None else breaths
        lengths[number] = replace(self.holds[number], first=breaths, second=second).after(SidesKept.EQUAL)
        return self._filled(lengths)

    def _filled(self, lengths: list[str]) -> bytes:
        text = self.text
        for number, length in enumerate(lengths):
            text = text.replace(MARK.format(number), length)
        return text.encode()


class _Formatting:
    """One class in the making."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.holds: list[Hold] = []

    def one_of(self, *choices: str) -> str:
        return self.random.choice(choices)

    def hold(self, in_sides: bool, column: int) -> str:
        """A mark for a new length, which may go on in another line at a column."""
        least = self.random.randrange(1, 9)
        most = least if self.random.random() < 0.6 else least + self.random.randrange(1, 4)
        gap = self.one_of(" ", " ", " ", "  ", f"\n{' ' * column}")
        second = self.random.randrange(1, 12) if in_sides else None
        self.holds.append(Hold(least, most, self.one_of("", "", "'", '"'), gap, self.random.randrange(1, 12), second))
        return MARK.format(len(self.holds) - 1)

    def entries(self, column: int, in_sides: bool, depth: int) -> Iterator[str]:
        """Lines of a list whose dashes stand at a column."""
        for _ in range(self.random.randrange(1, 4)):
            if self.random.random() < 0.2:
                yield " " * self.random.randrange(9) + "# hold: 5 breaths"
            if self.random.random() < 0.15:
                yield " " * self.random.randrange(9)
            kind = self.random.choice(("block", "block", "flow", "rest", "breathing", "group" if depth else "rest"))
            yield from getattr(self, kind)(column, in_sides, depth)

    def block(self, column: int, in_sides: bool, depth: int) -> Iterator[str]:
        gap = self.random.randrange(1, 4)
        inner = " " * (column + 1 + gap)
        keys = [
            f"pose:{self.one_of(' ', '   ')}{self.one_of(*NAMES)}",
            f"hold:{self.one_of(' ', '    ')}{self.hold(in_sides, column + 6 + gap)}{self.comment()}",
            *(["count: none" + self.comment()] if self.random.random() < 0.4 else []),
        ]
        self.random.shuffle(keys)
        yield f"{' ' * column}-{' ' * gap}{keys[0]}"
        for key in keys[1:]:
            if self.random.random() < 0.2:
                yield f"{inner}# between"
            yield f"{inner}{key}"

    def flow(self, column: int, in_sides: bool, depth: int) -> Iterator[str]:
        keys = [f"pose: {self.one_of(*NAMES)}", f"hold: {self.hold(in_sides, column + 4)}"]
        self.random.shuffle(keys)
        after = f"\n{' ' * (column + 4)}"
        comma = self.one_of(", ", " , ", f",{after}", f", # {{hold: 5 breaths}}{after}")
        inside = f"{self.one_of('', ' ')}{comma.join(keys)}{self.one_of('', ' ', ', ', after)}"
        yield f"{' ' * column}- {{{inside}}}{self.comment()}"

    def rest(self, column: int, in_sides: bool, depth: int) -> Iterator[str]:
        yield f"{' ' * column}- rest: {self.hold(in_sides, column + 6)}{self.comment()}"

    def breathing(self, column: int, in_sides: bool, depth: int) -> Iterator[str]:
        yield f"{' ' * column}- breathing: 4-4"
        # A pattern may not have a length for each side, so it is done alike.
        mark = self.hold(False, column + 4)
        yield f"{' ' * column}  lasts: {mark}{self.comment()}"

    def group(self, column: int, in_sides: bool, depth: int) -> Iterator[str]:
        further = column + self.random.randrange(2, 7)
        if in_sides or self.random.random() < 0.3:
            yield f"{' ' * column}- rounds: {self.random.randrange(1, 3)}"
            yield f"{' ' * column}  of:"
            yield from self.entries(further, in_sides, depth - 1)
        else:
            yield f"{' ' * column}- both sides:{self.comment()}"
            yield from self.entries(further, True, depth - 1)

    def comment(self) -> str:
        return self.one_of("", "", "  # 5 breaths", " # hold: {first side: 5 breaths}", " #", "   ")


def formatted(seed: int) -> Format:
    """A class of some entries, groups inside each other, in a formatting of its own."""
    random = Random(seed)
    made = _Formatting(random)
    lines = [
        "title: T",
        "pace: {inhale: 4 s, exhale: 4 s}",
        "say names: no",
        "class:",
        *made.entries(random.randrange(5), False, 2),
        random.choice(("", "# the end", "   ")),
    ]
    text = "\n".join(lines) if random.random() < 0.3 else "\n".join([*lines, ""])
    ending = random.choice(("\n", "\n", "\r\n", "\r"))
    text = text.replace("\n", ending) if random.random() < 0.8 else _mixed(text, random)
    return Format(f"\ufeff{text}" if random.random() < 0.2 else text, tuple(made.holds))


def _mixed(text: str, random: Random) -> str:
    return "".join(random.choice(("\n", "\r\n", "\r")) if letter == "\n" else letter for letter in text)
