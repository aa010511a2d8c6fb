"""A first class file from captions alone."""

from bisect import bisect_left
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor

from guide.draft.breath_pace import Breathing, breathing
from guide.draft.class_text import SpokenWords, class_text
from guide.draft.events import beginnings, events, has_sides, parted
from guide.draft.grouping import Node, grouped
from guide.draft.phrases import Phrase, in_thoughts, phrases
from guide.draft.pose_naming import Naming, naming_of
from guide.draft.reading.encoder import ToldPhrases, firsts_of, open_network, told_of
from guide.draft.reading.likeliest import poses_stayed_in
from guide.draft.repeated_sides import RepeatedSides, repeated_sides
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
    # The network is opened while names are found, and reads while words are looked for that are said again.
    with ThreadPoolExecutor(1) as beside:
        beside.submit(open_network)
        said, naming = named_phrases(transcript)
        new, names = beginnings(said, naming), names_of(naming, said)
        thoughts, _ = in_thoughts(said, ())
        reading = beside.submit(told_of, thoughts)
        said_again = repeated_sides(said, new, names)
        told = reading.result()
    stays = stayed_in(thoughts, end_ms, naming, told)
    both = told_sides(said, new, names, stays, told, said_again)
    said, fresh = at_edges(said, both)
    naming = lent(naming, said, both)
    said, fresh = in_thoughts(said, fresh)
    done = events(said, end_ms, naming, told.cut_as(said), fresh, _on_the_other_side(said, both, stays))
    return grouped(done, both), breathing(done)


def named_phrases(transcript: Transcript) -> tuple[tuple[Phrase, ...], Naming]:
    """What was said, in phrases, and what is named in them."""
    said = phrases(transcript)
    naming = naming_of(said)
    return tuple(parted(said, naming)), naming


def stayed_in(said: Sequence[Phrase], end_ms: int, naming: Naming, told: ToldPhrases) -> tuple[Kept, ...]:
    """The poses that people stay in by the likeliest reading of all."""
    firsts = firsts_of(said, end=True).tolist()
    stays = poses_stayed_in(said, end_ms, naming, told)
    return tuple(Kept(firsts[start], firsts[end], pose, has_sides(pose)) for start, end, pose in stays)


def _on_the_other_side(
    said: Sequence[Phrase], both: Sequence[RepeatedSides], stays: Sequence[Kept]
) -> dict[int, frozenset[str]]:
    """For each phrase of what has two sides, the poses that were read on the other one."""
    firsts = firsts_of(said).tolist()
    found: dict[int, frozenset[str]] = {}
    for one in both:
        sides = (one.start, one.turn), (one.turn, one.end)
        for (start, end), (from_, until) in (sides, sides[::-1]):
            poses = frozenset(each.pose for each in stays if each.sided and from_ <= each.start < until)
            found |= dict.fromkeys(range(bisect_left(firsts, start), bisect_left(firsts, end)), poses)
    return found
