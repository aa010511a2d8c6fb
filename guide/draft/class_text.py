"""The draft as a class file: written so that it reads back, whatever was said."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from pathlib import Path

from guide.draft.base_sections import base_sections
from guide.draft.breath_pace import Breathing, counted, held, is_number, lasted
from guide.draft.events import HALF_SURE, SPOKEN_RATE, UNNAMED, Event, Kind
from guide.draft.grouping import Again, Node, Sided, events_of
from guide.draft.known_blocks import Called
from guide.draft.phrases import Phrase, shown
from guide.plan.estimate import EstimatedLengths
from guide.plan.scheduler import plan
from guide.sequence.expand import unroll
from guide.sequence.reader import read_text
from guide.sequence.source import MOST_BYTES
from guide.sequence.steps import Side
from guide.sequence.yaml_pitfalls import quoted

#: Letters of one comment or cue; below what words to say may have.
MOST_LETTERS = 400

#: Words shorter than this, after which nothing was quiet, get no time of their own.
LEAST_TALK_MS = 3_000

#: Rests in place of talk are at least and at most so much of what that took.
LEAST_OF_TALK, MOST_OF_TALK = 0.25, 1.5
#: A bell takes about so much of a class.
BELL_MS = 2_000

#: The title where none can be shown.
UNTITLED = "A class"

#: Talk as long as this is told at the end, and so many places of it.
UNEXPLAINED_MS = 20_000
MOST_PLACES = 4

#: After talk, a quiet as long as this is a rest.
LEAST_REST_MS = 8_000

#: What is less sure than this is marked.
SURE = 0.999


#: The pose that is a rest by the clock.
RESTED = "final rest"


class SpokenWords(Enum):
    """What becomes of the words that were said."""

    COMMENTS = "comments"
    WORDS = "words"


@dataclass(frozen=True, slots=True)
class Most:
    """How much of a class is written: steps, and bytes of comments and of words to say."""

    steps: int
    comment_bytes: int
    word_bytes: int


#: Tried in order until the class is no longer than a class file may be; the last always is.
SIZES = tuple(Most(1_600 // part, 100_000 // part, 80_000 // part) for part in (1, 2, 4, 8))


#: Holds are as long as the poses were kept: what leads into them are the words that were said, or those of the library.
_LIBRARY_CUES = {
    SpokenWords.COMMENTS: (
        "# Words of the pose library lead in (`library cues: no` leaves them out); rests in place of talk make room.",
    ),
    SpokenWords.WORDS: (
        "# Take this line out to hear the words of the pose library in every pose that has none of its own.",
        "library cues: no",
    ),
}


def class_text(title: str, nodes: Sequence[Node], pace: Breathing, kept: SpokenWords) -> str:
    """The whole class file, as much of it as a class file may hold.

    Rests in place of talk are shorter or longer than that was, so that the whole lasts as long as the recording: the
    words of the library take their own time.
    """
    text = _as_much(title, nodes, pace, kept, 1.0)
    events = [event for node in nodes for event in events_of(node)]
    rests_ms = sum(event.end_ms - event.start_ms for event in _outside_blocks(nodes) if _is_rest(event))
    if kept is SpokenWords.COMMENTS and rests_ms:
        over_ms = _planned_ms(text) - events[-1].end_ms
        share = min(max(1 - over_ms / rests_ms, LEAST_OF_TALK), MOST_OF_TALK)
        text = _as_much(title, nodes, pace, kept, share)
    return text


def _as_much(title: str, nodes: Sequence[Node], pace: Breathing, kept: SpokenWords, share: float) -> str:
    for most in SIZES:
        text = _written(title, nodes, pace, kept, most, share)
        if len(text.encode()) <= MOST_BYTES:
            break
    return text


def _planned_ms(text: str) -> int:
    """About how long a class lasts as it is written, with the words of the library."""
    expanded = unroll(read_text(text, "draft.yaml", Path()))
    return plan(expanded.steps, EstimatedLengths(SPOKEN_RATE), _Bells()).length_ms


class _Bells(dict[str, int]):
    def __missing__(self, name: str) -> int:
        return BELL_MS


def _written(title: str, nodes: Sequence[Node], pace: Breathing, kept: SpokenWords, most: Most, share: float) -> str:
    head = [
        "# A draft from the captions of a class that was taught. The times are those of the recording.",
        "# Look through what is marked `doubtful`, and change what you like. Lines that begin with # are never spoken.",
        f"title: {quoted(clipped(shown(title)) or UNTITLED)}",
        "",
        "# One breath, as the moves went." if pace.told else "# One breath: too few moves were found to tell.",
        f"pace: {pace.written}",
        "",
        *_LIBRARY_CUES[kept],
        "",
        "class:",
    ]
    few = _few(nodes, most.steps)
    lines = [*head, *_within(_Writing(pace, kept, most.word_bytes, share).sections(few), most.comment_bytes)]
    lines.extend(_unexplained(nodes))
    if len(few) < len(nodes):
        lines.append(
            f"  # doubtful from {clock(events_of(nodes[len(few)])[0].start_ms)} on: too long for one class file"
        )
    return "\n".join(lines) + "\n"


def _unexplained(nodes: Sequence[Node]) -> Iterator[str]:
    """A line that says how much of the recording no pose and no move explains, and where most of it is."""
    events = [event for node in nodes for event in events_of(node)]
    talks = [event for event in _outside_blocks(nodes) if _lasts(event, UNEXPLAINED_MS)]
    if not talks:
        return
    longest = sorted(talks, key=lambda event: event.start_ms - event.end_ms)[:MOST_PLACES]
    places = ", ".join(f"{clock(one.start_ms)} to {clock(one.end_ms)}" for one in sorted(longest, key=_start))
    whole_ms = sum(event.end_ms - event.start_ms for event in talks)
    yield ""
    whole = clock(events[-1].end_ms)
    yield f"# Of {whole} of the recording {clock(whole_ms)} is talk in which nothing was found, most at {places}."


def _outside_blocks(nodes: Sequence[Node]) -> Iterator[Event]:
    for node in nodes:
        match node:
            case Sided(_, one, other):
                yield from _outside_blocks((*one, *other))
            case Again(passes):
                yield from _outside_blocks([part for each in passes for part in each])
            case Event():
                yield node


def _start(event: Event) -> int:
    return event.start_ms


def _few(nodes: Sequence[Node], most: int) -> Sequence[Node]:
    """The first nodes, with `most` events at most."""
    left = most
    for number, node in enumerate(nodes):
        left -= len(events_of(node))
        if left < 0:
            return nodes[:number]
    return nodes


def _within(lines: Iterator[str], most_bytes: int) -> Iterator[str]:
    """The lines, without the comments that are too many."""
    left = most_bytes
    for line in lines:
        comment = line.lstrip().startswith("#")
        left -= len(line.encode()) if comment else 0
        if not comment or left >= 0:
            yield line


class _Writing:
    """One run of `written`: the pace, what becomes of words, and the side that `<side>` stands for now."""

    def __init__(self, pace: Breathing, kept: SpokenWords, word_bytes: int, share: float) -> None:
        self.pace = pace
        self.share = share
        self.kept = kept
        self.left = word_bytes
        self.side: Side | None = None

    def sections(self, nodes: Sequence[Node]) -> Iterator[str]:
        """All of a class, under the names of its sections."""
        names = base_sections(nodes)
        edges = [*names, len(nodes)] if names else [0, len(nodes)]
        for start, end in pairwise(edges):
            if start in names:
                yield ""
                yield f"  - section: {names[start]}"
            yield from self.nodes(nodes[start:end], 2)

    def nodes(self, nodes: Sequence[Node], indent: int) -> Iterator[str]:
        some = False
        for node in nodes:
            yield ""
            for line in self.node(node):
                some = some or line.startswith("- ")
                yield " " * indent + line if line else ""
        if not some:
            yield " " * indent + "- rest: 1 s"

    def node(self, node: Node) -> Iterator[str]:
        match node:
            case Sided():
                yield from self.sided(node)
            case Again(passes):
                yield from self.again(passes)
            case Called(name, events):
                yield from self.comments(events)
                yield f"- block: {name}"
            case Event():
                yield from self.event(node)

    def sided(self, node: Sided) -> Iterator[str]:
        """The first side, with what was said on the second as comments."""
        yield "- both sides:"
        outer, self.side = self.side, node.first
        yield from self.nodes(node.one, 4)
        self.side = outer
        second = [event for part in node.other for event in events_of(part)]
        yield f"    # The other side, from {clock(second[0].start_ms)}:"
        for line in self.comments(second):
            yield f"    {line}"
        if node.first is Side.LEFT:
            yield "  first: left"

    def again(self, passes: Sequence[Sequence[Node]]) -> Iterator[str]:
        first = passes[0]
        later = [event for each in passes[1:] for part in each for event in events_of(part)]
        if len(first) == 1 and isinstance(first[0], Called):
            yield from self.comments([*first[0].events, *later])
            yield f"- rounds: {min(len(passes), 108)}"
            yield f"  of: {first[0].name}"
            return
        yield f"- rounds: {min(len(passes), 108)}"
        yield "  of:"
        yield from self.nodes(first, 4)
        if later:
            yield f"    # Again, from {clock(later[0].start_ms)}:"
        for line in self.comments(later):
            yield f"    {line}"

    def event(self, event: Event) -> Iterator[str]:
        yield from self.doubts(event)
        if self.kept is SpokenWords.COMMENTS:
            yield from self.comments([event])
        match event.kind:
            case Kind.MOVE:
                yield from self.move(event)
            case Kind.HOLD:
                yield from self.hold(event)
            case Kind.TALK:
                yield from self.talk(event)

    def doubts(self, event: Event) -> Iterator[str]:
        if event.sure < SURE and event.pose is not None:
            heard = clipped(event.phrases[0].written)
            yield f"# doubtful at {clock(event.start_ms)}: `{event.pose}`, {_why_doubtful(event.sure)}: {heard}"
        elif event.kind is Kind.TALK and event.maybe is not None:
            heard = clipped(event.phrases[0].written)
            yield f"# doubtful at {clock(event.start_ms)}: perhaps `{event.maybe}`, not told plainly enough: {heard}"
        elif event.kind is Kind.TALK and event.end_ms - event.start_ms > 60_000:
            yield f"# doubtful at {clock(event.start_ms)}: long, and no pose was named; there may be more steps here"

    def move(self, event: Event) -> Iterator[str]:
        assert event.breath is not None
        said = " ".join(self.own(event)) if self.kept is SpokenWords.WORDS and self.left > 0 else ""
        self.left -= len(said.encode())
        yield f"- {event.breath.value}: {self.quoted(said)}" if said else f"- {event.breath.value}:"
        if event.pose is not None:
            yield f"  pose: {event.pose}"

    def own(self, event: Event) -> Iterator[str]:
        """The words of a move, without those that call its breath."""
        for phrase in event.phrases:
            words = [token.written for token in phrase.tokens[phrase.called :] if token.written]
            if words:
                yield " ".join(words)

    def hold(self, event: Event) -> Iterator[str]:
        assert event.pose is not None
        if event.pose == RESTED:
            yield f"- rest: {lasted(event.kept_ms, event.end_ms)}"
            yield f"  pose: {event.pose}"
        else:
            yield f"- pose: {event.pose}"
            yield f"  hold: {held(event, self.pace)}"
        if event.side is not None and self.side is None and event.pose != RESTED:
            yield f"  side: {event.side.value}"
        if counted(event):
            yield "  count: voice"
        if self.kept is SpokenWords.WORDS:
            yield "  name: none"
            numbers = counted(event)
            leading, later = event.phrases[: event.leading], event.phrases[event.leading :]
            yield from self.listed("enter", [each for each in leading if not (numbers and is_number(each))])
            yield from self.listed("say", [each for each in later if not (numbers and is_number(each))])

    def talk(self, event: Event) -> Iterator[str]:
        lines = list(self.listed("say", event.phrases)) if self.kept is SpokenWords.WORDS else []
        if not lines:
            if _is_rest(event):
                yield f"- rest: {lasted(0, round(self.share * (event.end_ms - event.start_ms)))}"
            return
        yield f"- {lines[0].strip()}"
        yield from lines[1:]
        if event.end_ms - event.phrases[-1].end_ms >= LEAST_REST_MS:
            yield f"- rest: {lasted(event.phrases[-1].end_ms, event.end_ms)}"

    def listed(self, key: str, phrases: Sequence[Phrase]) -> Iterator[str]:
        for number, phrase in enumerate(phrase for phrase in phrases if phrase.written):
            line = f"    - {self.quoted(phrase.written)}"
            self.left -= len(line.encode())
            if self.left < 0:
                return
            if number == 0:
                yield f"  {key}:"
            yield line

    def quoted(self, text: str) -> str:
        """Words in quotes, with `<side>` and `<other side>` for the sides where both sides are meant."""
        words = clipped(text).split()
        return quoted(" ".join(self.sided_word(word) for word in words))

    def sided_word(self, word: str) -> str:
        bare = word.strip(".,;:!?").casefold()
        if self.side is None or bare not in ("right", "left"):
            return word
        sign = "<side>" if bare == self.side.value else "<other side>"
        return word.casefold().replace(bare, sign)

    def comments(self, events: Sequence[Event]) -> Iterator[str]:
        for event in events:
            for phrase in event.phrases:
                yield f"# {clock(phrase.start_ms)} {clipped(phrase.written)}"


def _is_rest(event: Event) -> bool:
    return _lasts(event, LEAST_TALK_MS)


def _lasts(event: Event, least_ms: int) -> bool:
    """Whether it is talk that lasts for so long."""
    return event.kind is Kind.TALK and event.end_ms - event.start_ms >= least_ms


def clipped(text: str) -> str:
    """Words on one line, cut where they are too long to be a cue."""
    text = " ".join(text.split())
    return text if len(text) <= MOST_LETTERS else f"{text[: MOST_LETTERS - 1]}…"


def _why_doubtful(sure: float) -> str:
    if sure <= UNNAMED:
        return "not plainly named, but told to do so"
    return "named, but little told in it" if sure == HALF_SURE else "from what was heard as"


def clock(ms: int) -> str:
    """A moment of the recording: `1:05`, `1:02:03`."""
    hours, minutes, seconds = ms // 3_600_000, ms // 60_000 % 60, ms // 1000 % 60
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"
