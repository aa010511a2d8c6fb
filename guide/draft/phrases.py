"""What was said, cut into phrases: at full stops, at pauses, and where a breath is called."""

import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from guide.draft.phonetic_keys import breath_word, breathing_word, half_breath
from guide.numerals import TO_TEN
from guide.review.aligning.word_likeness import sounded
from guide.review.captions.transcript import Transcript, folded
from guide.review.captions.word_times import word_times
from guide.sequence.steps import Breath, Side

#: A pause that parts two thoughts even where no full stop does.
PAUSE_MS = 1_500
#: One that is only guessed, in the midst of long captions without full stops: a pause anywhere is spread over them.
#: Where there are full stops, these tell.
GUESSED_MS = 500

#: Longer than a phrase that anybody says in one go; more is cut.
MOST_WORDS = 40


def these(words: str) -> frozenset[str]:
    """Words written with spaces between them, as a set."""
    return frozenset(words.split())


#: Before these, `inhale` is a thing that is spoken of, not called.
_SPOKEN_OF = these(
    "the a an each every your this that next with one first last on of for long slow deep his her its my our"
)
#: A new thought begins so where captions have no full stops: the hesitations of spoken English.
HESITATIONS = these("um uh er erm hm mm ah oh okay ok alright yeah yes well")
#: So does a long phrase go on, after so many words.
_GOES_ON = these("and now then so but if when")
FEWEST_WORDS = 8
_STOP = re.compile(r"[.?!…;]['\"”’)\]]*$")
#: So many phrases after a breath was called it is no longer the turn of the other.
NEAR = 6
#: `Breathe in and out`, `breathe in for four`: no call.
_NOT_CALLED = these("and long twice for")
_IN_OUT = {"in": Breath.INHALE, "out": Breath.EXHALE}
#: So soon after `in` comes `out`, where they call breaths.
ALONE_MS = 9_000
#: By so few words apart, and so many times.
WORDS_BETWEEN, BY_TURNS = 7, 4
_SIDES = {sounded(side.value): side for side in Side}
#: One letter from `left`, and words of their own.
_NO_SIDES = these("let lets lift loft")


#: The numbers by which breaths are counted in Sanskrit, as teachers say them.
SANSKRIT_NUMBERS = {
    word: number
    for number, words in enumerate(
        (
            "ekam eka", "dve dvi", "trini treeni tri", "chatvari catvari", "pancha panca", "shat shad", "sapta",
            "ashtau astau ashta", "nava", "dasha dasa", "ekadasha", "dvadasha", "trayodasha", "chaturdasha",
            "panchadasha", "shodasha", "saptadasha",
        ),
        start=1,
    )
    for word in words.split()
}  # fmt: skip
NUMBERS = {text: number for number, word in enumerate(TO_TEN, start=1) for text in (word, str(number))} | {
    word: number for word, number in SANSKRIT_NUMBERS.items() if number <= len(TO_TEN)
}


@dataclass(frozen=True, slots=True)
class Token:
    """A word as written, and as `folded` leaves it; `ends` is whether a comma or a full stop follows it, and its start
    may be off by about `loose_ms`."""

    written: str
    text: str
    start_ms: int
    end_ms: int
    ends: bool
    loose_ms: float = 0.0


@dataclass(frozen=True, slots=True)
class Phrase:
    """Words said in one go; `breath` is set where they begin by calling an inhale or an exhale.

    `called` is how many of its tokens call the breath; `pointed` is whether the captions have full stops at all.
    """

    tokens: tuple[Token, ...]
    breath: Breath | None = None
    called: int = 0
    pointed: bool = True

    @property
    def start_ms(self) -> int:
        """When its first word was said."""
        return self.tokens[0].start_ms

    @property
    def end_ms(self) -> int:
        """When its last word was over."""
        return self.tokens[-1].end_ms

    @property
    def written(self) -> str:
        """Its words as the captions wrote them."""
        return " ".join(token.written for token in self.tokens)

    @property
    def words(self) -> tuple[str, ...]:
        """Its words in the form in which they are compared."""
        return self.words_in(0, len(self.tokens))

    @property
    def sides(self) -> tuple[Side, ...]:
        """The sides that are named, in order."""
        return self.sides_in(0, len(self.tokens))

    def words_in(self, start: int, end: int) -> tuple[str, ...]:
        """The words of the tokens from `start` to before `end`."""
        return tuple([token.text for token in self.tokens[start:end]])

    def sides_in(self, start: int, end: int) -> tuple[Side, ...]:
        """The sides that the tokens from `start` to before `end` name, in order."""
        return tuple([side for side in map(side_of, self.words_in(start, end)) if side is not None])


@lru_cache(maxsize=8192)
def side_of(word: str) -> Side | None:
    """The side that a word is: as it sounds, or with one letter put in or left out after its first."""
    from rapidfuzz.distance import Indel

    if sounded(word) in _SIDES:
        return _SIDES[sounded(word)]
    near = (side for side in Side if word[:1] == side.value[0] and Indel.distance(word, side.value) == 1)
    return None if word in _NO_SIDES else next(near, None)


def phrases(transcript: Transcript) -> tuple[Phrase, ...]:
    """Everything that was said, in order; no word is lost or said twice."""
    pointed = _pointed(transcript)
    found: list[Phrase] = []
    tokens = tuple(_tokens(transcript))
    alone = _alone(tokens) if pointed else _in_turn(tokens)
    for run in _runs(tokens, pointed):
        last = next((one for one in reversed(found[-NEAR:]) if one.breath is not None), None)
        found.extend(_by_breath(run, pointed, last.breath if last else None, alone))
    return tuple(found)


def _alone(tokens: Sequence[Token]) -> frozenset[int]:
    """When breaths are called by `in` and `out` alone, in ms: set off from other words, and soon after each other."""
    set_off = [
        token
        for number, token in enumerate(tokens)
        if token.text in _IN_OUT and token.ends and (number == 0 or _parted(tokens[number - 1], token))
    ]
    near = [
        (one, other)
        for one, other in pairwise(set_off)
        if one.text != other.text and other.start_ms - one.start_ms <= ALONE_MS
    ]
    return frozenset(token.start_ms for pair in near for token in pair)


def _in_turn(tokens: Sequence[Token]) -> frozenset[int]:
    """When `in` and `out` are said by turns, in ms, where captions have no points: so many times it is no chance."""
    found: set[int] = set()
    run: list[int] = []
    for place, token in enumerate(tokens):
        if token.text not in _IN_OUT:
            continue
        if run and (token.text == tokens[run[-1]].text or place - run[-1] > WORDS_BETWEEN):
            run = []
        run.append(place)
        if len(run) >= BY_TURNS:
            found.update(tokens[each].start_ms for each in run)
    return frozenset(found)


def _parted(one: Token, other: Token) -> bool:
    return one.ends or other.start_ms - one.end_ms >= PAUSE_MS


def cut(phrase: Phrase, places: Iterable[int]) -> Iterator[Phrase]:
    """A phrase in the parts that begin with the tokens of these numbers; only the first calls its breath."""
    within = (place for place in places if 0 < place < len(phrase.tokens) and phrase.tokens[place].written)
    edges = sorted({0, len(phrase.tokens), *within})
    for start, end in pairwise(edges):
        part = replace(phrase, tokens=phrase.tokens[start:end])
        yield part if start == 0 else replace(part, breath=None, called=0)


def in_thoughts(phrases: Sequence[Phrase], fresh: Collection[int]) -> tuple[tuple[Phrase, ...], frozenset[int]]:
    """Long phrases without full stops, cut where people go on with a new thought; `fresh` are counted anew."""
    found: list[Phrase] = []
    numbers = set()
    for number, phrase in enumerate(phrases):
        if number in fresh:
            numbers.add(len(found))
        found.extend(cut(phrase, () if phrase.pointed else _thoughts(phrase)))
    return tuple(found), frozenset(numbers)


def _thoughts(phrase: Phrase) -> Iterator[int]:
    last = 0
    for place, token in enumerate(phrase.tokens):
        if place - last >= FEWEST_WORDS and token.text in _GOES_ON:
            yield place
            last = place


def _pointed(transcript: Transcript) -> bool:
    """Whether the captions have full stops: one at least in forty words."""
    written = [word for block in transcript.blocks for word in block.text.split()]
    return sum(1 for word in written if _STOP.search(word)) * MOST_WORDS >= len(written)


def _tokens(transcript: Transcript) -> Iterator[Token]:
    """Every written word at about the time at which it was said."""
    blocks = Transcript(transcript.name, tuple(replace(block, text=shown(block.text)) for block in transcript.blocks))
    for block, of_block in zip(blocks.blocks, word_times(blocks), strict=True):
        for word, (start_ms, end_ms, loose_ms) in zip(block.text.split(), of_block, strict=True):
            texts, begun_ms, over_ms = folded(word), round(start_ms), round(end_ms)
            for number, text in enumerate(texts):
                ends = number == len(texts) - 1 and not word[-1].isalnum()
                yield Token(word if number == 0 else "", text, begun_ms, over_ms, ends, loose_ms)


def shown(text: str) -> str:
    """Text without signs that a class file gives a meaning of its own, and without any that cannot be shown."""
    bare = unicodedata.normalize("NFC", text).replace("<", " ").replace(">", " ")
    return " ".join("".join(char for char in bare if char.isprintable() or char.isspace()).split())


def _runs(tokens: Sequence[Token], pointed: bool) -> Iterator[tuple[Token, ...]]:
    """Tokens up to a full stop, a pause, or so many that they are no phrase any more; written words stay whole."""
    run: list[Token] = []
    stopped = False
    for token in tokens:
        if run and token.written and (stopped or _parts(run, token, pointed)):
            yield tuple(run)
            run = []
        stopped = pointed and (_STOP.search(token.written) is not None if token.written else stopped)
        run.append(token)
    if run:
        yield tuple(run)


def _parts(run: Sequence[Token], token: Token, pointed: bool) -> bool:
    """Whether something new begins with a token."""
    paused_ms = token.start_ms - run[-1].end_ms
    if len(run) >= MOST_WORDS or (not token.loose_ms and paused_ms >= PAUSE_MS):
        return True
    if not pointed and token.loose_ms and paused_ms >= GUESSED_MS:
        return True
    return not pointed and token.text in HESITATIONS and run[-1].text not in HESITATIONS


def _by_breath(run: tuple[Token, ...], pointed: bool, last: Breath | None, alone: Collection[int]) -> Iterator[Phrase]:
    """A run of tokens cut before every call of a breath; `last` is the breath that was called before it."""
    start, breath, called, place = 0, None, 0, 0
    while place < len(run):
        found, length = called_breath(run, place)
        if found is None and run[place].start_ms in alone and run[place].text in _IN_OUT:
            found, length = _IN_OUT[run[place].text], 1
        if found is None and last is not None and half_breath(run[place].text):
            found, length = _other(last), 1
        if found is None:
            place += 1
            continue
        if place > start:
            yield Phrase(run[start:place], breath, called, pointed)
        start, breath, called, last = place, found, length, found
        place += length
    yield Phrase(run[start:], breath, called, pointed)


def _other(breath: Breath) -> Breath:
    return Breath.INHALE if breath is Breath.EXHALE else Breath.EXHALE


def called_breath(run: Sequence[Token], place: int) -> tuple[Breath | None, int]:
    """The breath that is called from `place` on, and in how many tokens; one that sounds like it counts too."""
    before = run[place - 1].text if place else ""
    if before in _SPOKEN_OF and not run[place - 1].ends:
        return None, 0
    words = [token.text for token in run[place : place + 3]]
    if len(words) > 1 and words[1] in _IN_OUT and breathing_word(words[0]):
        return (None, 0) if words[2:3] and words[2] in _NOT_CALLED else (_IN_OUT[words[1]], 2)
    for length in (1, 2):
        breath = breath_word("".join(words[:length])) if len(words) >= length else None
        if breath is not None:
            return breath, length
    return None, 0
