"""What the words of a class say of sides: limbs that have one, words that turn to the other, where passes may begin."""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import log

import numpy as np

from guide.draft.phrases import HESITATIONS, Phrase, Token, side_of, these
from guide.sequence.steps import Side

#: A pass says within so many words what it begins with.
OPENING = 14

#: What is said in the second half of those words counts so much.
LATER = 0.6

#: Captions without full stops have a new clause after so long a quiet.
QUIET_MS = 600

#: How surely words turn to the second side: `other leg`, `the other hand`, `change legs`, `change`, `same thing`; and
#: as a share of that where they do not begin a clause.
LEGS, ARMS, CHANGED, CHANGES, SAME = 3.5, 2.0, 2.5, 0.6, 0.8
PASSING = 0.3

_OTHER = these("other second")
_TURNED = {
    **dict.fromkeys(these("side leg diagonal foot knee ankle"), LEGS),
    **dict.fromkeys(these("one way direction arm hand hip ear shoulder elbow"), ARMS),
}
_CHANGING = these("change switch swap")
#: `We do not change sides yet`, `before we change`.
_NOT_YET = these("not dont never before without")
_CHANGED = these("side sides leg legs arm arms hand hands foot feet over it them")
_AGAIN = these("thing again story sequence stations as on here before")
#: `One heel and then the other`, `next to the other one`: said of one side.
_WITHIN = these("one each both either next like than beside from every bit little")
_LIMBS = these(
    "leg foot knee arm hand elbow shoulder hip ear heel toe toes thigh shin ankle wrist palm fingertips fingers cheek "
    "forearm side ribs buttock calf nostril"
)
#: The left foot that goes back, and the one that people stand on, leave the right one to be worked with.
_LEGS = these("leg foot knee heel toe toes")
_FAR = these("back behind weight stand stands standing long")
#: `To the right`, `exhale, left`.
_TO = these("to the your over exhale inhale turn")
_TOWARDS = "to"
_FIRST = {("one", limb) for limb in ("side", "leg", "arm", "knee", "foot")} | {
    (first, limb) for first in ("first", "this", "whichever") for limb in ("side", "leg", "arm", "one")
}
_ENDS = these("centre center middle release unwind undo both done shake")
_NEXT = these("okay ok good now alright right lovely so next anyway cool nice great wonderful well")
_BEFORE = these("and now then so okay ok the on to over inhale exhale in out anyway right your with same thing")
_PLAIN = these(
    "a an and the to of in on at as your you my our is are be it that this with for from into over if so let keep then "
    "now not no inhale exhale breathe breath right left side one two three four five we i like just can there here or "
    "up down out back more its dont thats what all do have get go come"
)
_FILLING = _PLAIN | _NEXT | HESITATIONS


@dataclass(frozen=True, slots=True)
class NamedSide:
    """A side that is named, with the limb that has it, at the token of this number."""

    place: int
    side: Side
    limb: str


@dataclass(frozen=True, slots=True)
class SideWords:
    """The words of a class with what they say of sides, by the numbers of their tokens.

    - `phrases` and `clauses` are where those begin, and `fresh` the phrases that say something new;
    - `turns` are the words that turn to the second side, with how surely;
    - `names` are poses that are named, and `telling` the words that are not among the plainest;
    - `rare` is how much each of those counts, 0 to 1.
    """

    tokens: tuple[Token, ...]
    phrases: tuple[int, ...]
    clauses: tuple[int, ...]
    fresh: frozenset[int]
    mentions: tuple[NamedSide, ...]
    turns: Mapping[int, float]
    names: Mapping[int, str]
    telling: Mapping[int, str]
    rare: Mapping[str, float]

    def at_ms(self, place: int) -> int:
        """When a token is said; after the last, when that was over."""
        return self.tokens[place].start_ms if place < len(self.tokens) else self.tokens[-1].end_ms

    def clause_of(self, place: int) -> int:
        """Where the clause begins that a token is in."""
        return self.clauses[bisect_right(self.clauses, place) - 1]

    def mentioned(self, start: int, end: int) -> int:
        """How often a side is named."""
        return len(self.mentions_in(start, end))

    def mentions_in(self, start: int, end: int) -> tuple[NamedSide, ...]:
        """The sides that are named, in order."""
        first, last = (bisect_left(self.mentions, place, key=_place) for place in (start, end))
        return self.mentions[first:last]

    def turning(self, starts: Sequence[int], ends: Sequence[int]) -> np.ndarray:
        """How much turns to a second side between places."""
        places = [place for place, cue in self.turns.items() if cue > SAME]
        until = np.cumsum([0.0, *(self.turns[place] for place in places)])
        found: np.ndarray = until[np.searchsorted(places, ends)] - until[np.searchsorted(places, starts)]
        return found

    def begins(self, place: int) -> float:
        """How soon a side is named, or `one leg` and the like: 1 within a few words, less within some more."""
        opening = [token.text for token in self.tokens[place : place + OPENING]]
        if self.mentioned(place, place + OPENING // 2) or not _FIRST.isdisjoint(pairwise(opening[: OPENING // 2])):
            return 1.0
        return LATER if self.mentioned(place, place + OPENING) or not _FIRST.isdisjoint(pairwise(opening)) else 0.0

    def ends(self, place: int) -> bool:
        """Whether something was over before, or something new comes."""
        before = (token.text for token in self.tokens[max(place - 8, 0) : place])
        after = (token.text for token in self.tokens[place : place + 1])
        return place in self.fresh or not _ENDS.isdisjoint(before) or not _NEXT.isdisjoint(after)

    def alike(self, start: int, turn: int) -> float:
        """How much the beginnings of two passes have in common."""
        one, other = (
            {self.telling[near] for near in range(place, place + OPENING) if near in self.telling}
            for place in (start, turn)
        )
        return sum(0.4 + self.rare[word] for word in one & other)


def _place(named: NamedSide) -> int:
    return named.place


def side_words(phrases: Sequence[Phrase], new: Collection[int], names: Mapping[int, str]) -> SideWords:
    """What is said of sides; the phrases whose numbers are in `new` say something new, `names` name poses."""
    tokens = tuple(token for phrase in phrases for token in phrase.tokens)
    begun = tuple(accumulate((len(phrase.tokens) for phrase in phrases[:-1]), initial=0)) if phrases else ()
    apart = {0, *(place + 1 for place, each in enumerate(pairwise(tokens)) if _parts(*each))}
    mentions = tuple(_mentions(tokens))
    turns = {place: cue for place, cue in _turns(tokens, begun, apart) if cue}
    named = {place: name.rpartition(" ")[0] for place, name in names.items() if name.endswith(" 0")}
    openings = {*turns, *(each.place for each in mentions)}
    clauses = {*begun, *named, *(apart if phrases and phrases[0].pointed else _quiet(tokens))}
    if phrases and not phrases[0].pointed:
        clauses |= {_opened(tokens, place) for place in openings}
    telling = {place: token.text for place, token in enumerate(tokens) if token.text not in _FILLING}
    counts, whole = Counter(telling.values()), log(max(len(tokens), 8))
    rare = {word: max(0.0, 1 - 2 * log(count) / whole) for word, count in counts.items()}
    fresh = frozenset(place for number, place in enumerate(begun) if number in new)
    return SideWords(tokens, begun, tuple(sorted(clauses)), fresh, mentions, turns, named, telling, rare)


def _parts(one: Token, other: Token) -> bool:
    return bool(other.written) and (one.ends or other.start_ms - one.end_ms > QUIET_MS)


def _quiet(tokens: Sequence[Token]) -> Iterator[int]:
    for place, (one, other) in enumerate(pairwise(tokens), start=1):
        if other.written and other.start_ms - one.end_ms > QUIET_MS:
            yield place


def _opened(tokens: Sequence[Token], place: int) -> int:
    """Where a clause begins of which only small words come before."""
    while place and tokens[place - 1].text in _BEFORE:
        place -= 1
    return place


def _turns(tokens: Sequence[Token], phrases: Sequence[int], apart: Collection[int]) -> Iterator[tuple[int, float]]:
    """The words that turn to the second side, and how surely."""
    for place, token in enumerate(tokens):
        after = [each.text for each in tokens[place + 1 : place + 4]]
        if token.text in _OTHER:
            begun = phrases[bisect_right(phrases, place) - 1]
            before = [each.text for each in tokens[max(place - 12, begun) : place]]
            cue = _other(before, after, place + 1 in apart)
            yield place, cue if _opened(tokens, place) in apart else cue * PASSING
        elif token.text in _CHANGING and _NOT_YET.isdisjoint(each.text for each in tokens[max(place - 3, 0) : place]):
            yield place, CHANGES if _CHANGED.isdisjoint(after) else CHANGED
        elif token.text == "same" and not _AGAIN.isdisjoint(after[:1]):
            yield place, SAME


def _other(before: Sequence[str], after: Sequence[str], over: bool) -> float:
    """How surely `other` turns between these words; `over` is whether it ends its clause."""
    if not _WITHIN.isdisjoint(before[-6:]) or not after:
        return 0.0
    if after[0] in _TURNED:
        return 0.0 if ("one", after[0]) in pairwise(before) else _TURNED[after[0]]
    return ARMS if over and before[-1:] == ["the"] else 0.0


def _mentions(tokens: Sequence[Token]) -> Iterator[NamedSide]:
    """The sides that are named of a limb, and the ways to go."""
    words, limb = [token.text for token in tokens], ""
    for place, word in enumerate(words):
        side = side_of(word)
        if side is None:
            continue
        after = "".join(words[place + 1 : place + 2])
        bare = after if after in _LIMBS else after.removesuffix("s")
        if bare in _LIMBS:
            limb = bare
            yield NamedSide(place, side.other if limb in _LEGS and _is_far(tokens, place) else side, limb)
        elif after in ("one", "ones") and limb:
            yield NamedSide(place, side, limb)
        elif words[place - 1 : place] and words[place - 1] in _TO:
            yield NamedSide(place, side, _TOWARDS)


def _is_far(tokens: Sequence[Token], place: int) -> bool:
    """Whether a leg is the one that is not worked with, by the words around it up to the next side or point."""
    near: list[str] = []
    for token in reversed(tokens[max(place - 4, 0) : place]):
        if token.ends or side_of(token.text):
            break
        near.append(token.text)
    for one, token in pairwise(tokens[place : place + 9]):
        if one.ends or side_of(token.text):
            break
        near.append(token.text)
    return not _FAR.isdisjoint(near)
