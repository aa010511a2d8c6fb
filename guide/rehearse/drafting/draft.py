"""A first class file from captions alone."""

from guide.rehearse.captions.transcript import Transcript
from guide.rehearse.drafting.echoes import echoes
from guide.rehearse.drafting.events import beginnings, events, parted
from guide.rehearse.drafting.grouping import Node, grouped
from guide.rehearse.drafting.naming import Naming, known_poses
from guide.rehearse.drafting.pacing import Breathing, breathing
from guide.rehearse.drafting.passes import at_edges, lent, names_of
from guide.rehearse.drafting.phrases import phrases
from guide.rehearse.drafting.writing import Kept, written


def drafted(transcript: Transcript, title: str, kept: Kept) -> str:
    """The text of a class file for what was taught: it reads back, and holds no pose that was not named."""
    nodes, pace = understood(transcript)
    return written(title, nodes, pace, kept)


def understood(transcript: Transcript) -> tuple[tuple[Node, ...], Breathing]:
    """What was done, in groups, and the pace at which it was done."""
    end_ms = transcript.blocks[-1].end_ms if transcript.blocks else 0
    said = phrases(transcript)
    naming = Naming(known_poses(said))
    said = tuple(parted(said, naming))
    both = echoes(said, beginnings(said, naming), names_of(naming, said))
    said, fresh = at_edges(said, both)
    naming = lent(naming, said, both)
    done = events(said, end_ms, naming, fresh)
    return grouped(done, both), breathing(done)
