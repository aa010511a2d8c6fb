"""The two passes of what was done on both sides, word by word: each lends the other the names that were heard in it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from guide.draft.phonetic_keys import alike
from guide.draft.phrases import Phrase, Token, cut
from guide.draft.pose_naming import Naming
from guide.draft.repeated_sides import RepeatedSides
from guide.sequence.poses.pose import Pose

#: How sure a name is that only the other side said.
LENT = 0.85


def at_edges(phrases: Sequence[Phrase], both: Sequence[RepeatedSides]) -> tuple[tuple[Phrase, ...], frozenset[int]]:
    """The phrases cut where a pass begins or ends, and the numbers of those that do."""
    edges = {edge for one in both for edge in (one.start, one.turn, one.end)}
    found: list[Phrase] = []
    fresh, place = set(), 0
    for phrase in phrases:
        for part in cut(phrase, [edge - place for edge in edges if place < edge < place + len(phrase.tokens)]):
            if place in edges:
                fresh.add(len(found))
            found.append(part)
            place += len(part.tokens)
    return tuple(found), frozenset(fresh)


def names_of(naming: Naming, phrases: Sequence[Phrase]) -> dict[int, str]:
    """What the tokens that name a pose are compared by, by number: a pose is the same however its name was heard."""
    found: dict[int, str] = {}
    place = 0
    for phrase in phrases:
        for one in naming.named(phrase):
            found |= {place + number: f"{one.pose.name} {number - one.start}" for number in range(one.start, one.end)}
        place += len(phrase.tokens)
    return found


def lent(naming: Naming, phrases: Sequence[Phrase], both: Sequence[RepeatedSides]) -> Naming:
    """The naming with what each side says of the other: what one pass names is meant in the same place of both."""
    tokens = [token for phrase in phrases for token in phrase.tokens]
    named = dict(_by_token(naming, phrases))
    found: dict[Token, tuple[Pose, float]] = {}
    for repeated in both:
        one, other = range(repeated.start, repeated.turn), range(repeated.turn, repeated.end)
        for from_pass, to_pass in ((one, other), (other, one)):
            there = {named[place][0].name for place in to_pass if place in named}
            missed = [place for place in from_pass if place in named and named[place][0].name not in there]
            place_of = _places(tokens, from_pass, to_pass) if missed else {}
            for place in missed:
                if place in place_of:
                    found[tokens[place_of[place]]] = named[place]
    return replace(naming, lent=found)


def _by_token(naming: Naming, phrases: Sequence[Phrase]) -> Iterator[tuple[int, tuple[Pose, float]]]:
    """What is announced, by the number of the token where its name begins."""
    place = 0
    for phrase in phrases:
        for one in naming.named(phrase):
            if one.announced and one.pose.sides:
                yield place + one.start, (one.pose, min(one.sure, LENT))
        place += len(phrase.tokens)


def _places(tokens: Sequence[Token], one: range, other: range) -> dict[int, int]:
    """Where the tokens of one pass are in the other: those that have the like, and those before one that has."""
    texts, others = [tokens[place].text for place in one], [tokens[place].text for place in other]
    best = [[0.0] * (len(others) + 1) for _ in range(len(texts) + 1)]
    for number in range(len(texts) - 1, -1, -1):
        for place in range(len(others) - 1, -1, -1):
            gain = alike(texts[number], others[place]) - 0.5
            best[number][place] = max(
                best[number + 1][place], best[number][place + 1], best[number + 1][place + 1] + gain
            )
    found: dict[int, int] = {}
    number, place = 0, 0
    while number < len(texts) and place < len(others):
        gain = alike(texts[number], others[place]) - 0.5
        if best[number][place] == best[number + 1][place + 1] + gain and gain > 0:
            found[one[number]] = other[place]
            number, place = number + 1, place + 1
        elif best[number][place] == best[number + 1][place]:
            found[one[number]] = other[place]
            number += 1
        else:
            place += 1
    return found
