"""A first class file from captions alone."""

from collections.abc import Sequence
from itertools import accumulate

from guide.draft.breath_pace import Breathing, breathing
from guide.draft.class_text import SpokenWords, class_text
from guide.draft.events import beginnings, events, has_sides, parted
from guide.draft.grouping import Node, grouped
from guide.draft.phrases import Phrase, in_thoughts, phrases
from guide.draft.pose_naming import Naming, naming_of
from guide.draft.reading.likeliest import likeliest
from guide.draft.repeated_sides import repeated_sides
from guide.draft.shared_names import at_edges, lent, names_of
from guide.draft.told_sides import Kept, told_sides
from guide.review.captions.transcript import Transcript


def draft_class(transcript: Transcript, title: str, kept: SpokenWords) -> str:
    """The text of a class file for what was taught: it reads back, and marks each pose that was not plainly named."""
    nodes, pace = understood(transcript)
    return class_text(title, nodes, pace, kept)


def understood(transcript: Transcript) -> tuple[tuple[Node, ...], Breathing]:
    """What was done, in groups, and the pace at which it was done."""
    end_ms = transcript.blocks[-1].end_ms if transcript.blocks else 0
    said = phrases(transcript)
    naming = naming_of(said)
    said = tuple(parted(said, naming))
    new, names = beginnings(said, naming), names_of(naming, said)
    both = told_sides(said, new, names, stayed_in(said, end_ms, naming), repeated_sides(said, new, names))
    said, fresh = at_edges(said, both)
    naming = lent(naming, said, both)
    said, fresh = in_thoughts(said, fresh)
    done = events(said, end_ms, naming, fresh)
    return grouped(done, both), breathing(done)


def stayed_in(said: Sequence[Phrase], end_ms: int, naming: Naming) -> tuple[Kept, ...]:
    """The poses that people stay in by the likeliest reading of all."""
    said, _ = in_thoughts(said, ())
    firsts = [*accumulate((len(phrase.tokens) for phrase in said), initial=0)]
    stays = likeliest(said, end_ms, naming, frozenset())
    return tuple(
        Kept(firsts[stay.start], firsts[stay.end], stay.pose, has_sides(stay.pose)) for stay in stays if stay.pose
    )
