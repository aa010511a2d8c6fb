"""What was said, cut into phrases: at full stops, at pauses, and where a breath is called."""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from guide.rehearse.likeness import sounded
from guide.rehearse.transcript import Transcript, folded
from guide.sequence.steps import Breath, Side

#: A pause that parts two thoughts even where no full stop does.
PAUSE_MS = 1_500

#: Longer than a phrase that anybody says in one go; more is cut.
MOST_WORDS = 40


def these(words: str) -> frozenset[str]:
    """Words written with spaces between them, as a set."""
    return frozenset(words.split())


#: Before these, `inhale` is a thing that is spoken of, not called.
_SPOKEN_OF = these(
    "the a an each every your this that next with one first last on of for long slow deep his her its my our"
)
#: A new thought begins so where captions have no full stops.
_FILLERS = these("um uh er okay ok alright yeah")
_STOP = re.compile(r"[.?!…;]['\"”’)\]]*$")
_BREATHS = {"inhale": Breath.INHALE, "exhale": Breath.EXHALE}
#: How a machine spells them: `in hale`, `ex hail`, `x hail`.
_SOUNDS = {
    **{sounded(word): Breath.INHALE for word in ("inhale", "inhail", "inhales")},
    **{sounded(word): Breath.EXHALE for word in ("exhale", "exhail", "exhales", "xhale", "xhail")},
}
#: `breathe`, and what is heard for it.
_BREATHE = these("breathe breath breathed breed bread breadth")
_IN_OUT = {"in": Breath.INHALE, "out": Breath.EXHALE}
_SIDES = {"right": Side.RIGHT, "left": Side.LEFT, "write": Side.RIGHT}


@dataclass(frozen=True, slots=True)
class Token:
    """A word as written, and as `folded` leaves it; `ends` is whether a comma or a full stop follows it."""

    written: str
    text: str
    start_ms: int
    end_ms: int
    ends: bool


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
        return self.tokens[0].start_ms

    @property
    def end_ms(self) -> int:
        return self.tokens[-1].end_ms

    @property
    def written(self) -> str:
        return " ".join(token.written for token in self.tokens)

    @property
    def words(self) -> tuple[str, ...]:
        return tuple(token.text for token in self.tokens)

    @property
    def sides(self) -> tuple[Side, ...]:
        """The sides that are named, in order."""
        return tuple(_SIDES[word] for word in self.words if word in _SIDES)


def phrases(transcript: Transcript) -> tuple[Phrase, ...]:
    """Everything that was said, in order; no word is lost or said twice."""
    pointed = _pointed(transcript)
    found: list[Phrase] = []
    for run in _runs(tuple(_tokens(transcript)), pointed):
        found.extend(_by_breath(run, pointed))
    return tuple(found)


def _pointed(transcript: Transcript) -> bool:
    """Whether the captions have full stops: one at least in forty words."""
    written = [word for block in transcript.blocks for word in block.text.split()]
    return sum(1 for word in written if _STOP.search(word)) * MOST_WORDS >= len(written)


def _tokens(transcript: Transcript) -> Iterator[Token]:
    """Every written word with its share of the time of its block, by its letters."""
    for block in transcript.blocks:
        words = [(word, folded(word)) for word in shown(block.text).split()]
        letters = max(sum(len(word) for word, _ in words), 1)
        length_ms, before = block.end_ms - block.start_ms, 0
        for word, texts in words:
            after = before + len(word)
            start_ms = block.start_ms + length_ms * before // letters
            end_ms = block.start_ms + length_ms * after // letters
            before = after
            for number, text in enumerate(texts):
                last = number == len(texts) - 1
                yield Token(word if number == 0 else "", text, start_ms, end_ms, last and not word[-1].isalnum())


def shown(text: str) -> str:
    """Text without signs that a class file gives a meaning of its own, and without any that cannot be shown."""
    bare = unicodedata.normalize("NFC", text).replace("<", " ").replace(">", " ")
    return " ".join("".join(char for char in bare if char.isprintable() or char.isspace()).split())


def _runs(tokens: Sequence[Token], pointed: bool) -> Iterator[tuple[Token, ...]]:
    """Tokens up to a full stop, a pause, or so many that they are no phrase any more."""
    run: list[Token] = []
    for token in tokens:
        if run and (token.start_ms - run[-1].end_ms >= PAUSE_MS or len(run) >= MOST_WORDS):
            yield tuple(run)
            run = []
        if run and not pointed and token.text in _FILLERS and run[-1].text not in _FILLERS:
            yield tuple(run)
            run = []
        run.append(token)
        if pointed and _STOP.search(token.written):
            yield tuple(run)
            run = []
    if run:
        yield tuple(run)


def _by_breath(run: tuple[Token, ...], pointed: bool) -> Iterator[Phrase]:
    """A run of tokens cut before every call of a breath."""
    start, breath, called, place = 0, None, 0, 0
    while place < len(run):
        found, length = called_breath(run, place)
        if found is None:
            place += 1
            continue
        if place > start:
            yield Phrase(run[start:place], breath, called, pointed)
        start, breath, called = place, found, length
        place += length
    yield Phrase(run[start:], breath, called, pointed)


def called_breath(run: Sequence[Token], place: int) -> tuple[Breath | None, int]:
    """The breath that is called from `place` on, and in how many tokens; one that sounds like it counts too."""
    word = run[place].text
    before = run[place - 1].text if place else ""
    if before in _SPOKEN_OF and not run[place - 1].ends:
        return None, 0
    if word in _BREATHE and place + 1 < len(run) and run[place + 1].text in _IN_OUT:
        following = run[place + 2].text if place + 2 < len(run) else ""
        return (None, 0) if following in ("and", "long", "twice", "for") else (_IN_OUT[run[place + 1].text], 2)
    if word in _BREATHS:
        return _BREATHS[word], 1
    heard = (word, word + run[place + 1].text if place + 1 < len(run) else "")
    for length, joined in enumerate(heard, start=1):
        breath = _SOUNDS.get(sounded(joined.removesuffix("d")))
        if breath is not None:
            return breath, length
    return None, 0
