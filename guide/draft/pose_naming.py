"""Names of poses in what was said: as the library spells them, in English or Sanskrit, misspelt or misheard."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from guide.draft.heard_names import HeardName, plain_words, sounding
from guide.draft.phrases import HESITATIONS, NUMBERS, Phrase, Token, side_of, these
from guide.draft.pose_spelling import spelt
from guide.draft.short_names import HALF_SAID, half_said
from guide.sequence.poses.pose import Pose

MOST_WORDS = 6

#: So many words of no weight may come before a name that begins a thought.
MOST_BEFORE = 4

#: A name heard where names are said, and one in the middle of other words, is so much alike; and has so many sounds.
AT_ITS_PLACE = 0.8
ANYWHERE = 0.92
LEAST_SOUNDS = 6
LEAST_ANYWHERE = 8
#: A long name may be so much less alike.
LONG = 9
LONGER = 0.03
#: What is less alike is not heard wherever it is.
LEAST_HEARD = 0.67
#: A short name needs to be heard alone, and nearly as it is.
SHORT = 0.78
LEAST_SHORT = 4

#: Words that are often said as they are: a name in them has to be so much more alike.
PLAINLY = 0.07
#: An English name that is not the pose's own has to be so much more alike, and to stand alone.
OTHER = 0.13
#: So has one that a side follows, of a pose that has none.
SIDELESS = 0.13
#: So has a name of one word that was heard as several, or one of several that was heard as more.
APART = 0.08
#: A name that was heard as it is elsewhere in the class, or beside, may be so much less alike.
KNOWN = 0.06
BESIDE = 0.1
AGAIN = 0.8

#: Of two names that are about as alike, none was heard.
MARGIN = 0.04

#: Where so many names are spelt, and so few beside them are misheard, one has to be so much more alike.
ENOUGH_SPELT = 12
FEW = 0.12
STRICTER = 0.1

#: What is less alike by no more than this is told as a doubt.
DOUBT = 0.1

#: Words that no misheard name begins or ends with.
_LINKS = these(
    "the a an and or to of in on at as your you my our is are be it that it's this with for from into over if "
    "so let keep then now not no inhale exhale breathe breath right left side"
)
_NO_BEGINNINGS = _LINKS | HESITATIONS
#: Before these words a name says where people come from, or is a thing in the room.
_NOT_HERE = these(
    "from a an the your my of on like as whole two under over other his her no not both each every before after "
    "than against between at behind beside leaving or"
)
#: So near before a short name, that of something else.
_NOT_OURS = these("from like my his her their as leave no not neighbours when if")
#: Before a name these say nothing: the small words of English.
_SMALL = HESITATIONS | these("so and now then you we us let let's lets go to the for your into this is here")
#: Words more than a name has tell what to do where these are among them: `twist your eyes` is no `twisted roots`.
_TOLD = these("your the my our")
_BODY = these("arm arms hand hands palm palms leg legs knee knees foot feet head")
_LEADING = these("to into onto in")
#: After a name these do not go on with a thought.
_SET_OFF = these("on right left with from")
_ARRIVING = these("to into onto in is for hold find take our again and back now then come this stay")


@dataclass(frozen=True, slots=True)
class Named:
    """A pose that is named in a phrase, by the tokens from `start` to before `end`.

    `announced` is whether the name stands for itself (`Warrior two, right side.`) and is not part of a longer thought;
    `arrived` is whether the words before it lead there (`come to plank`), or it is all that was said;
    `sure` is 1 where it is spelt as in the library, else how alike it sounds.
    """

    pose: Pose
    start: int
    end: int
    announced: bool
    arrived: bool
    sure: float


@dataclass(frozen=True, slots=True, eq=False)
class Naming:
    """How names are found in one class.

    `known` are the poses whose names were heard as they are; `lent` says which pose the words from a token on name,
    because the other side said so, and how sure that is; `stricter` is how much more alike a misheard name has to be.
    """

    known: frozenset[str] = frozenset()
    stricter: float = 0.0
    lent: Mapping[Token, tuple[Pose, float]] = field(default_factory=dict)

    def named(self, phrase: Phrase) -> tuple[Named, ...]:
        """The poses that a phrase names, in order; those that are only spoken of (`from plank`) are left out."""
        return tuple(one for one in self.mentions(phrase) if _meant(phrase, one))

    def mentions(self, phrase: Phrase) -> Iterator[Named]:
        """The poses that a phrase names, in order, each by its longest name."""
        lent = not self.lent.keys().isdisjoint(phrase.tokens) if self.lent else False
        return iter(_mentions(self if lent else self._without_lent(), phrase))

    def _without_lent(self) -> "Naming":
        return _plainly(self.known, self.stricter)

    def at_each_place(self, phrase: Phrase) -> Iterator[Named]:
        """The poses that a phrase names, looked for anew."""
        place = phrase.called
        before: Named | None = None
        while place < len(phrase.tokens):
            found = self._at(phrase, place, before)
            if found is None:
                place += 1
                continue
            yield found
            before, place = found, found.end

    def _at(self, phrase: Phrase, place: int, before: Named | None) -> Named | None:
        """The name that begins at `place`: spelt, heard, or lent by the other side."""
        words = phrase.words_in(place, place + MOST_WORDS)
        if words[0] == "side" and place and side_of(phrase.tokens[place - 1].text):
            return None
        for length in range(len(words), 0, -1):
            pose = spelt(words[:length])
            if pose is not None:
                return _made(phrase, pose, place, place + length + (words[length : length + 1] == ("pose",)), 1.0)
            short = half_said(words[:length])
            if short is not None:
                return _made(phrase, short, place, place + length, HALF_SAID)
        beside = before.pose if before is not None and before.end == place else None
        heard = (
            []
            if words[0] in _NO_BEGINNINGS
            else [
                one
                for one in sounding(words)
                if one.alike >= LEAST_HEARD + self.stricter
                and self._plain_enough(phrase, place, one, beside, 0.0)
                and not _spelt_within(words[: one.length])
            ]
        )
        best = self._likest(heard, beside)
        if best is not None:
            return _made(phrase, best.pose, place, place + best.length, min(best.alike, 0.99))
        if phrase.tokens[place] in self.lent:
            pose, sure = self.lent[phrase.tokens[place]]
            return replace(_made(phrase, pose, place, place + 1, sure), announced=True)
        return None

    def _likest(self, heard: Sequence[HeardName], beside: Pose | None) -> HeardName | None:
        """The name that was heard, where no other is as likely; one that is known or said twice counts more."""

        def likely(one: HeardName) -> float:
            return one.alike + (BESIDE if one.pose is beside else KNOWN if one.pose.name in self.known else 0)

        ranked = sorted(heard, key=likely, reverse=True)
        others = [one for one in ranked if one.pose is not ranked[0].pose]
        if not ranked or (others and likely(ranked[0]) - likely(others[0]) < MARGIN):
            return None
        return ranked[0]

    def doubts(self, phrase: Phrase) -> tuple[HeardName, ...]:
        """Names that may have been said where a thought begins, but were not heard plainly enough."""
        place = _opening(phrase)
        heard = sounding(phrase.words_in(place, place + MOST_WORDS))
        return tuple(one for one in heard if self._plain_enough(phrase, place, one, None, DOUBT))[:1]

    def _plain_enough(self, phrase: Phrase, place: int, one: HeardName, beside: Pose | None, less: float) -> bool:
        """Whether a name was heard plainly enough for where it is; `less` takes as much off what is needed."""
        end = place + one.length
        words = phrase.words_in(place, end)
        sided = _sided(phrase, end)
        if words[0] in _NO_BEGINNINGS or (words[-1] in _LINKS and one.alike < (0.9 if sided else 0.95)):
            return False
        twice = beside is one.pose or (not one.sanskrit and _again(phrase, end, one.pose))
        known = one.pose.name in self.known
        need = _needed(phrase, place, one, twice, known)
        if not sided and not set(one.words) <= set(words) and plain_words(set(words) - set(one.words)):
            need += PLAINLY
        need += 0 if one.own else OTHER
        need += SIDELESS if sided and not one.pose.sides else 0
        more = one.length - len(one.words)
        told = more > 0 and not one.sanskrit and not _TOLD.isdisjoint(words)
        need += APART if (told or more > (len(one.words) > 1)) and not twice else 0
        need -= BESIDE if twice else KNOWN if known else 0
        return one.alike >= need + self.stricter - less


@lru_cache(maxsize=16)
def _plainly(known: frozenset[str], stricter: float) -> Naming:
    """The one naming without anything lent, so that what it found is known again."""
    return Naming(known, stricter)


@lru_cache(maxsize=16384)
def _mentions(naming: Naming, phrase: Phrase) -> tuple[Named, ...]:
    """Each phrase is looked at several times, on the way to the sides and after."""
    return tuple(naming.at_each_place(phrase))


def _needed(phrase: Phrase, place: int, one: HeardName, beside: bool, known: bool) -> float:
    """How alike a name has to be where it is."""
    end = place + one.length
    before, after = phrase.words_in(place - 1, place), phrase.words_in(end, end + 1)
    sided = _sided(phrase, end)
    alone = not after or sided or after[0] in HESITATIONS or after[0] in NUMBERS
    begins = place <= _opening(phrase) or (phrase.pointed and phrase.tokens[place - 1].ends)
    led = bool(before) and before[0] in _LEADING
    if not (one.own or alone or one.sounds >= LONG):
        return 2.0
    if one.sounds >= LONG and (begins or sided or led or (alone and known)):
        return AT_ITS_PLACE - LONGER
    if one.sounds >= LEAST_SOUNDS and (begins or sided or led):
        return AT_ITS_PLACE
    if one.sounds >= LEAST_SHORT and (beside or (begins and alone)):
        return SHORT
    return ANYWHERE if one.sounds >= LEAST_ANYWHERE else 2.0


def naming_of(phrases: Sequence[Phrase]) -> Naming:
    """How names are found in these phrases: where nearly all are spelt, hardly any was misheard."""
    naming = Naming(known_poses(phrases))
    names = [one for phrase in phrases for one in naming.mentions(phrase)]
    spelt_well = sum(one.sure == 1 for one in names)
    if spelt_well >= ENOUGH_SPELT and sum(one.sure < 1 and one.sure != HALF_SAID for one in names) <= FEW * spelt_well:
        return replace(naming, stricter=STRICTER)
    return naming


def known_poses(phrases: Sequence[Phrase]) -> frozenset[str]:
    """The poses whose names are spelt somewhere in what was said."""
    runs = (
        words[start:end]
        for words in (phrase.words for phrase in phrases)
        for start in range(len(words))
        for end in range(start + 1, min(start + MOST_WORDS, len(words)) + 1)
    )
    return frozenset(pose.name for pose in map(spelt, runs) if pose is not None)


def _opening(phrase: Phrase) -> int:
    """Where the words of weight of a phrase begin."""
    place = phrase.called
    while place - phrase.called < MOST_BEFORE and place < len(phrase.tokens) and phrase.tokens[place].text in _SMALL:
        place += 1
    return place


def _spelt_within(words: tuple[str, ...]) -> bool:
    """Whether words after the first are a name as they are: `hang here, uttanasana` is no other name."""
    return any(spelt(words[start:]) is not None for start in range(1, len(words)))


def _sided(phrase: Phrase, end: int) -> bool:
    """Whether a side is named right after a name."""
    return bool(phrase.sides_in(end, end + 1))


def _made(phrase: Phrase, pose: Pose, start: int, end: int, sure: float) -> Named:
    return Named(pose, start, end, _announced(phrase, pose, start, end), _arrived(phrase, start, end), sure)


def _meant(phrase: Phrase, one: Named) -> bool:
    """Whether the name says what is done now; `arms up` is a name only where it stands for itself."""
    if one.end - one.start == 2 and phrase.tokens[one.start].text in _BODY and not (phrase.pointed and one.announced):
        return False
    before = phrase.tokens[one.start - 1] if one.start else None
    if one.sure == HALF_SAID:
        return _NOT_OURS.isdisjoint(phrase.words_in(max(one.start - 2, 0), one.start))
    if before is not None and before.text in _NOT_HERE and not before.ends:
        return False
    if phrase.words_in(max(one.start - 2, 0), one.start) in (("as", "in"), ("like", "in"), ("as", "for")):
        return False
    if one.end - one.start > 1 or one.sure < 1 or one.announced or phrase.tokens[one.start].text.endswith("asana"):
        return True
    return before is not None and before.text in _ARRIVING and not before.ends


def _arrived(phrase: Phrase, start: int, end: int) -> bool:
    before = phrase.tokens[start - 1] if start else None
    return (before is None and end == len(phrase.tokens)) or (before is not None and before.text in _ARRIVING)


def _announced(phrase: Phrase, pose: Pose, start: int, end: int) -> bool:
    """Whether the name begins a thought and is set off from what follows, where captions show it."""
    before = phrase.tokens[start - 1] if start else None
    if _sided(phrase, end):
        return before is None or before.text not in _NOT_HERE
    if not phrase.pointed:
        return before is None or before.text not in _NOT_HERE | _ARRIVING
    if before is not None and not before.ends:
        return False
    following = phrase.words_in(end, end + 1)
    if phrase.tokens[end - 1].ends or not following or following[0] in _SET_OFF or following[0] in NUMBERS:
        return True
    return _again(phrase, end, pose)


def _again(phrase: Phrase, place: int, pose: Pose) -> bool:
    """Whether the Sanskrit name of a pose follows at once: `tree, vrksasana`."""
    return any(
        other.pose is pose and other.sanskrit and other.alike >= AGAIN
        for other in sounding(phrase.words_in(place, place + MOST_WORDS))
    )
