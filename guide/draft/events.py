"""What people did, from the phrases: breaths on which they moved, poses that they kept, and talk."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from functools import lru_cache

from guide.draft.phrases import NUMBERS, Phrase, cut, side_of
from guide.draft.pose_naming import Named, Naming
from guide.draft.reading.encoder import ToldPhrases
from guide.draft.reading.likeliest import Stay, likeliest
from guide.draft.reading.moved import is_move
from guide.plan.estimate import spoken_ms
from guide.review.aligning.word_likeness import sounded
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.steps import Breath, Side

#: After a breath that moves, or words that lead in, a pose is kept when nothing else comes for so long.
KEPT_MS = 11_000

#: What is said so long after a move began is no part of it.
LONGEST_MOVE_MS = 3_000

#: Where nothing tells, words lead into a pose for so much of it at least and at most; for up to half of it where it is
#: quiet after them.
LEADING, QUIET_MS = (0.2, 0.25), 4_000

#: How sure a pose is that nobody named, and how much of a name is enough to have named it.
UNNAMED = 0.6
SAID = 3.0
#: One that was named is no surer than this where it is not so likely over all readings, or kept for so short a time.
HALF_SURE, SURELY, SURELY_KEPT_MS = 0.9, 0.9, 15_000

#: Words that take so many times what a person takes to say them have a pause among them. People teach quicker than the
#: voice speaks: this is a rate at which it would say some 160 words a minute.
STRETCHED = 1.5
SPOKEN_RATE = 0.75

#: So many phrases are remembered until they are said again for the other side.
REMEMBERED = 20


class Kind(Enum):
    MOVE = "move"
    HOLD = "hold"
    TALK = "talk"


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that was done, with all that was said for it.

    - `end_ms` is when the next began; `kept_ms` is when the words that lead into a pose were over.
    - `sure` is how sure the pose is, 0 to 1; 1 where none is named.
    - `maybe` is a pose that may have been meant in talk, but was not told plainly enough.
    - `salutation` is whether people move through a salutation; `settled_ms` is when people are settled in a pose, None
      where nothing tells.
    """

    kind: Kind
    phrases: tuple[Phrase, ...]
    end_ms: int
    breath: Breath | None = None
    pose: str | None = None
    side: Side | None = None
    sure: float = 1.0
    maybe: str | None = None
    salutation: bool = False
    settled_ms: int | None = None

    @property
    def start_ms(self) -> int:
        """When its first phrase was said."""
        return self.phrases[0].start_ms

    @property
    def kept_ms(self) -> int:
        """When people were in the pose: after the phrases that lead in, or after about so much of the whole."""
        if self.settled_ms is not None and self.settled_ms < self.end_ms:
            return max(self.start_ms, self.settled_ms)
        over_ms = self.phrases[-1].end_ms
        if _stretched(self.phrases[-1]):
            over_ms = min(over_ms, self.start_ms + sum(_spoken_ms(phrase) for phrase in self.phrases))
        least, most = (0.0, 0.5) if self.end_ms - self.phrases[-1].end_ms >= QUIET_MS else LEADING
        whole_ms = self.end_ms - self.start_ms
        return round(min(max(over_ms, self.start_ms + least * whole_ms), self.start_ms + most * whole_ms))

    @property
    def leading(self) -> int:
        """How many of its phrases lead into a pose: all that begin before people are in it, and the first."""
        kept_ms = self.kept_ms
        return max(1, sum(phrase.start_ms < kept_ms for phrase in self.phrases))

    @property
    def words(self) -> tuple[str, ...]:
        """All of its words, in order."""
        return tuple(word for phrase in self.phrases for word in phrase.words)

    @property
    def sides(self) -> frozenset[Side]:
        """Every side that was named in it."""
        own = {self.side} if self.side else set()
        return frozenset(own.union(*(phrase.sides for phrase in self.phrases)))


def _stretched(phrase: Phrase) -> bool:
    """Whether a caption gives a phrase far more time than it takes to say: there is a pause in it somewhere."""
    return phrase.end_ms - phrase.start_ms > STRETCHED * _spoken_ms(phrase)


@lru_cache(maxsize=8192)
def _spoken_ms(phrase: Phrase) -> int:
    return spoken_ms(phrase.written, SPOKEN_RATE)


def events(
    phrases: Sequence[Phrase],
    end_ms: int,
    naming: Naming,
    told: ToldPhrases,
    fresh: Collection[int] = frozenset(),
    other_side: Mapping[int, frozenset[str]] | None = None,
) -> tuple[Event, ...]:
    """What was done, in order, until `end_ms`; every phrase belongs to one event.

    The phrases whose numbers are in `fresh` begin something new, whatever was said before them; `other_side` has poses
    of the other side of each.
    """
    begun: list[Event] = []
    place = 0
    for stay in likeliest(phrases, end_ms, naming, told, frozenset(fresh), other_side):
        begun.extend(_between(phrases, place, stay.start, naming, fresh))
        if stay.pose is not None:
            over = _breaths_after(phrases, stay)
            begun.extend(_stayed(phrases[stay.start : over], stay.pose, stay, naming))
            begun.extend(_between(phrases, over, stay.end, naming, fresh))
        else:
            first, *others = _between(phrases, stay.start, stay.end, naming, fresh)
            maybe = stay.maybe if first.kind is Kind.TALK else None
            begun.append(replace(first, salutation=stay.salutation, maybe=maybe or first.maybe))
            begun.extend(replace(one, salutation=stay.salutation) for one in others)
        place = stay.end
    begun.extend(_between(phrases, place, len(phrases), naming, fresh))
    return tuple(_ended(begun, end_ms))


def _between(
    phrases: Sequence[Phrase], start: int, end: int, naming: Naming, fresh: Collection[int]
) -> Iterator[Event]:
    """The moves and the talk of what is no stay."""
    last: Event | None = None
    for number in range(start, end):
        one = _of(phrases[number], naming)
        before = last if number not in fresh else None
        if one.kind is Kind.TALK and before is not None and not _new_talk(before, phrases[number]):
            last = replace(before, phrases=(*before.phrases, phrases[number]))
            continue
        if last is not None:
            yield last
        last = one
    if last is not None:
        yield last


def _breaths_after(phrases: Sequence[Phrase], stay: Stay) -> int:
    """The phrase with which people are moved on, breath by breath, after a quiet in which the pose was kept."""
    over = stay.end
    while over > stay.start + 1 and phrases[over - 1].breath is not None:
        over -= 1
    kept = over < stay.end and phrases[over].start_ms - phrases[over - 1].end_ms >= KEPT_MS
    return over if kept and any(map(is_move, phrases[over : stay.end])) else stay.end


def _stayed(phrases: Sequence[Phrase], pose: str, stay: Stay, naming: Naming) -> Iterator[Event]:
    """A stay in a pose, with the move that leads into it before it."""
    names = [one for phrase in phrases for one in naming.named(phrase) if one.pose.name == pose]
    sure = max((one.sure for one in names), default=UNNAMED) if stay.named >= SAID else UNNAMED
    sure = sure if stay.sure >= SURELY else min(sure, HALF_SURE)
    if is_move(phrases[0]) and len(phrases) > 1:
        yield Event(Kind.MOVE, tuple(phrases[:1]), phrases[0].end_ms, phrases[0].breath, pose, None, sure)
        phrases = phrases[1:]
    side = next((side for phrase in phrases[:3] for side in phrase.sides), None) if has_sides(pose) else None
    yield Event(Kind.HOLD, tuple(phrases), phrases[-1].end_ms, None, pose, side, sure, settled_ms=stay.kept_ms)


def has_sides(name: str) -> bool:
    """Whether a pose of the library has two sides."""
    pose = shipped().find(name)
    return pose is not None and pose.sides


def parted(phrases: Iterable[Phrase], naming: Naming) -> Iterator[Phrase]:
    """Phrases, cut before every pose that is announced in them where captions have no full stops."""
    for phrase in phrases:
        names = () if phrase.pointed else naming.named(phrase)
        starts = [
            one.start
            for one in names
            if one.announced and one.start > phrase.called and _stands_out(phrase, one, names)
        ]
        yield from cut(phrase, starts)


def beginnings(phrases: Sequence[Phrase], naming: Naming) -> frozenset[int]:
    """The numbers of the phrases that call a breath or announce a pose."""
    return frozenset(
        number
        for number, phrase in enumerate(phrases)
        if phrase.breath is not None or any(one.announced for one in naming.named(phrase))
    )


def _stands_out(phrase: Phrase, one: Named, names: Sequence[Named]) -> bool:
    """Whether a name is one of several words, or has a side, a count or another name of the pose after it."""
    after = phrase.tokens[one.end : one.end + 1]
    sided = phrase.sides_in(one.end, one.end + 1)
    if one.end - one.start > 1 or sided or (after and after[0].text in NUMBERS):
        return True
    return any(other.start == one.end and other.pose == one.pose for other in names)


def _of(phrase: Phrase, naming: Naming) -> Event:
    """The move that a phrase is, or the talk."""
    names = naming.named(phrase)
    last = names[-1] if names else None
    if phrase.breath is not None:
        pose, sure = (last.pose.name, last.sure) if last else (None, 1.0)
        return Event(Kind.MOVE, (phrase,), phrase.end_ms, phrase.breath, pose, None, sure)
    maybe = () if names else naming.doubts(phrase)
    return Event(Kind.TALK, (phrase,), phrase.end_ms, maybe=maybe[0].pose.name if maybe else None)


def _new_talk(before: Event, phrase: Phrase) -> bool:
    """Whether words alone are something new: what comes after a move, and what is said again for the other side."""
    if before.kind is Kind.MOVE:
        return phrase.start_ms - before.start_ms > (LONGEST_MOVE_MS if phrase.pointed else KEPT_MS // 2)
    sides = phrase.sides
    if not sides:
        return False
    if before.kind is Kind.TALK and phrase.pointed and not before.sides:
        return True
    return any(
        said.sides[:1] and said.sides[0] is not sides[0] and same(said, phrase) for said in before.phrases[-REMEMBERED:]
    )


def same(one: Phrase, other: Phrase) -> bool:
    """Whether two phrases say the same of the two sides."""
    from rapidfuzz.fuzz import ratio

    return ratio(plain(one.words), plain(other.words)) >= 70


@lru_cache(maxsize=8192)
def plain(words: tuple[str, ...]) -> str:
    """Words by their sound, with one word for both sides."""
    return " ".join(SIDE_WORD if side_of(word) else sounded(word) for word in words)


SIDE_WORD = "side"


def _ended(begun: Sequence[Event], end_ms: int) -> Iterator[Event]:
    for number, one in enumerate(begun):
        over_ms = begun[number + 1].start_ms if number + 1 < len(begun) else max(end_ms, one.end_ms)
        momentary = one.kind is Kind.HOLD and over_ms - one.start_ms < SURELY_KEPT_MS
        yield replace(one, end_ms=over_ms, sure=min(one.sure, HALF_SURE) if momentary else one.sure)
