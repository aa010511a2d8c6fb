"""The draft as a class file: written so that it reads back, whatever was said."""

from collections.abc import Iterator, Sequence
from enum import Enum

from guide.rehearse.drafting.events import Event, Kind
from guide.rehearse.drafting.grouping import Again, Called, Node, Sided, events_of
from guide.rehearse.drafting.pacing import Breathing, counted, held, lasted
from guide.rehearse.drafting.phrases import Phrase, shown
from guide.sequence.steps import Side
from guide.sequence.traps import quoted

#: Letters of one comment or cue, of all comments, and steps of one class: well below what a class file may have.
MOST_LETTERS = 400
MOST_COMMENTS = 100_000
MOST_STEPS = 1_500

#: Words shorter than this, after which nothing was quiet, get no time of their own.
LEAST_TALK_MS = 3_000

#: The title where none can be shown.
UNTITLED = "A class"

#: After talk, a quiet as long as this is a rest.
LEAST_REST_MS = 8_000

#: What is less sure than this is marked.
SURE = 0.999


#: The pose that is a rest by the clock.
RESTED = "final rest"


class Kept(Enum):
    """What becomes of the words that were said."""

    COMMENTS = "comments"
    WORDS = "words"


def written(title: str, nodes: Sequence[Node], pace: Breathing, kept: Kept) -> str:
    """The whole class file."""
    head = [
        "# A draft from the captions of a class that was taught. The times are those of the recording.",
        "# Look through what is marked `doubtful`, and change what you like. Lines that begin with # are never spoken.",
        f"title: {quoted(clipped(shown(title)) or UNTITLED)}",
        "",
        "# One breath, as the moves went." if pace.told else "# One breath: too few moves were found to tell.",
        f"pace: {pace.written}",
        "",
        "# Take this line out to hear the words of the pose library in every pose that has none of its own.",
        "library cues: no",
        "",
        "class:",
    ]
    return "\n".join([*head, *_within(_Writing(pace, kept).nodes(_few(nodes), 2))]) + "\n"


def _few(nodes: Sequence[Node]) -> Iterator[Node]:
    left = MOST_STEPS
    for node in nodes:
        left -= len(events_of(node))
        if left < 0:
            return
        yield node


def _within(lines: Iterator[str]) -> Iterator[str]:
    """The lines, with comments left out once there are so many that the file would be too long."""
    letters = 0
    for line in lines:
        comment = line.lstrip().startswith("#")
        letters += len(line.encode()) if comment else 0
        if not comment or letters < MOST_COMMENTS:
            yield line


class _Writing:
    """One run of `written`: the pace, what becomes of words, and the side that `<side>` stands for now."""

    def __init__(self, pace: Breathing, kept: Kept) -> None:
        self.pace = pace
        self.kept = kept
        self.side: Side | None = None

    def nodes(self, nodes: Iterator[Node] | Sequence[Node], indent: int) -> Iterator[str]:
        some = False
        for node in nodes:
            yield ""
            for line in self.node(node):
                some = some or line.startswith("- ")
                yield " " * indent + line
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
        yield f"    # Again, from {clock(later[0].start_ms)}:"
        for line in self.comments(later):
            yield f"    {line}"

    def event(self, event: Event) -> Iterator[str]:
        yield from self.doubts(event)
        if self.kept is Kept.COMMENTS:
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
            yield f"# doubtful at {clock(event.start_ms)}: `{event.pose}`, from what was heard as: {heard}"
        elif event.kind is Kind.TALK and event.end_ms - event.start_ms > 60_000:
            yield f"# doubtful at {clock(event.start_ms)}: long, and no pose was named; there may be more steps here"

    def move(self, event: Event) -> Iterator[str]:
        assert event.breath is not None
        said = " ".join(self.own(event)) if self.kept is Kept.WORDS else ""
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
        if self.kept is Kept.WORDS:
            yield "  name: none"
            yield from self.listed("enter", event.phrases[: event.leading])
            yield from self.listed("say", event.phrases[event.leading :])

    def talk(self, event: Event) -> Iterator[str]:
        if self.kept is Kept.COMMENTS:
            if event.end_ms - event.start_ms >= LEAST_TALK_MS:
                yield f"- rest: {lasted(event.start_ms, event.end_ms)}"
            return
        lines = list(self.listed("say", event.phrases))
        yield f"- {lines[0].strip()}"
        yield from lines[1:]
        if event.end_ms - event.phrases[-1].end_ms >= LEAST_REST_MS:
            yield f"- rest: {lasted(event.phrases[-1].end_ms, event.end_ms)}"

    def listed(self, key: str, phrases: Sequence[Phrase]) -> Iterator[str]:
        if phrases:
            yield f"  {key}:"
        for phrase in phrases:
            yield f"    - {self.quoted(phrase.written)}"

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


def clipped(text: str) -> str:
    """Words on one line, cut where they are too long to be a cue."""
    text = " ".join(text.split())
    return text if len(text) <= MOST_LETTERS else f"{text[: MOST_LETTERS - 1]}…"


def clock(ms: int) -> str:
    """A moment of the recording: `1:05`, `1:02:03`."""
    hours, minutes, seconds = ms // 3_600_000, ms // 60_000 % 60, ms // 1000 % 60
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"
