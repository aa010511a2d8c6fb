"""Captions of a class as it was taught, cut for reading, at the times of its recording."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from guide.export.captions.base import Caption, plain
from guide.export.captions.for_reading import GAP_MS, parted, stays_ms, two_lines
from guide.export.captions.srt import subrip
from guide.export.captions.webvtt import numbered_file
from guide.review.captions.letter_rate import letters_a_second
from guide.review.captions.transcript import Segment, Transcript

#: A caption that ends so ends a sentence.
SENTENCE_ENDS = tuple(".!?…")


@dataclass(frozen=True, slots=True)
class TaughtWords:
    """What was said in the class that is called `title`."""

    title: str
    transcript: Transcript


def taught_webvtt(taught: TaughtWords) -> str:
    """The whole file as WebVTT."""
    return numbered_file(taught.title, taught_captions(taught.transcript))


def taught_srt(taught: TaughtWords) -> str:
    """The whole file as SubRip."""
    return subrip(taught_captions(taught.transcript))


def taught_captions(transcript: Transcript) -> Iterator[Caption]:
    """Captions to be read, in order; what was cut in mid-sentence is joined where nobody was quiet in between."""
    rate = letters_a_second(transcript)
    runs = list(_runs(transcript.blocks, rate))
    for run, after in zip_longest(runs, runs[1:]):
        pieces = list(_pieces(run))
        over_ms = _over_ms(run[-1], rate)
        for (start_ms, text), later in zip_longest(pieces, pieces[1:]):
            until_ms = (
                later[0] if later else stays_ms(start_ms, over_ms, text, after[0].start_ms if after else run[-1].end_ms)
            )
            yield Caption(start_ms, max(until_ms, start_ms + 1), two_lines(text), None)


def _runs(blocks: Sequence[Segment], rate: float) -> Iterator[list[Segment]]:
    """Captions that are one when they are cut anew."""
    run = [blocks[0]]
    for one in blocks[1:]:
        if run[-1].text.endswith(SENTENCE_ENDS) or one.start_ms - _over_ms(run[-1], rate) >= GAP_MS:
            yield run
            run = []
        run.append(one)
    yield run


def _over_ms(block: Segment, rate: float) -> int:
    """When the words of a caption are over, which may stand on while nobody speaks."""
    return min(block.end_ms, block.start_ms + round(len(block.text) * 1000 / rate))


def _pieces(run: Sequence[Segment]) -> Iterator[tuple[int, str]]:
    """What is seen at a time, and from when on: in its caption a word has the time that its letters have."""
    starts = list[int]()
    for block in run:
        text = plain(block.text)
        length_ms, letters = block.end_ms - block.start_ms, len(text)
        starts += [block.start_ms + length_ms * at // letters for at in range(letters)] + [block.end_ms]
    at, before_ms = 0, -1
    for piece in parted(" ".join(plain(block.text) for block in run)):
        before_ms = max(starts[at], before_ms + 1)
        yield before_ms, piece
        at = min(at + len(piece) + 1, len(starts) - 1)
