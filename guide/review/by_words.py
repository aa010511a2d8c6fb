"""A taught class known from the words of its captions."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from guide.plan.timeline import Timeline
from guide.review.aligning.step_starts import StepStarts, step_starts
from guide.review.aligning.time_windows import HeardCue, heard_cues, timed_words
from guide.review.aligning.told_talk import TalkReader
from guide.review.aligning.word_likeness import SIDES, other_side
from guide.review.captions.transcript import Transcript, folded
from guide.review.comparison import LEAST_SAME, Comparison, Known, Slip, beside
from guide.review.confidence import Basis, confidence
from guide.review.given_halves import with_given
from guide.review.own_words.by_talk import talked_class
from guide.review.speech import speech
from guide.sequence.steps import Steps

#: A class follows the words of its plan when so many of its cues are heard, as a share. Measured on the tests' classes:
#: 0.85 and more where it does, however badly it was heard, and under 0.45 where a teacher talks in her own words.
FOLLOWED = 0.6

#: A step that nothing was heard of is told so far beyond those that were, and no further.
BEYOND_MS = 30_000

#: Words that open a step begin so soon after it does.
OPENING_MS = 1_500

#: A cue must be heard so well before left and right in it are believed to be exchanged.
SURE_OF_CUE = 0.6

#: Stands for a word that was not heard.
MISSED = "…"


def compare_captions(steps: Steps, timeline: Timeline, transcript: Transcript, reader: TalkReader = None) -> Comparison:
    """The class that `transcript` was taken from, beside the plan; `steps` are those that `timeline` was planned from.

    Steps without words of their own, and such as were not heard, are placed between their neighbours, and less surely.
    `reader` tells where things begin in a class that was taught in other words than its plan has.
    """
    said = timed_words(transcript)
    heard = heard_cues(timeline, said)
    if heard and follows(timeline, heard):
        known = list(_known(timeline, transcript, heard, step_starts(timeline, heard)))
        known = with_given(steps.steps, timeline, known)
        slips, is_another = tuple(_slips(timeline, heard)), len(heard) < LEAST_SAME * len(timeline.cues)
    else:
        talk = talked_class(steps, timeline, transcript, reader)
        known, slips, is_another = list(talk.known), (), talk.is_another
    return beside(
        steps,
        timeline,
        transcript.name,
        [None] * len(known) if is_another else known,
        heard=len(heard),
        is_another=is_another,
        speech=speech(transcript),
        slips=slips,
    )


def follows(timeline: Timeline, heard: Sequence[HeardCue]) -> bool:
    """Whether a class was taught in the words of its plan, rather than in others: most of them were heard, from about
    the first that was heard to the last."""
    few = len(heard) // 20
    first, last = heard[few].cue, heard[-1 - few].cue
    return len(heard) - 2 * few >= FOLLOWED * (last - first + 1)


def _known(
    timeline: Timeline, transcript: Transcript, heard: Sequence[HeardCue], placing: StepStarts
) -> Iterator[Known | None]:
    """Each step as it was taught."""
    told = _Told.of(timeline, transcript, heard, placing)
    reached = [told.knows(start_ms, real_ms) for start_ms, real_ms in told.edges]
    for number in range(len(timeline.spans)):
        if number in placing.left_out or not reached[number]:
            yield None
            continue
        end = next(at for at in range(number + 1, len(reached)) if at not in placing.left_out)
        start_ms = told.edges[number][1]
        yield Known(
            start_ms=start_ms,
            length_ms=told.edges[end][1] - start_ms if reached[end] else None,
            sure=round(confidence(placing.places[number], placing.pins, placing.spread), 2),
            rests_on=told.rests_on(number),
            heard=len(told.cues_of.get(number, ())),
        )


@dataclass(frozen=True, slots=True)
class _Told:
    """What was heard, for telling how far it reaches.

    `edges` are the planned and the real moment of the start of each step, and of the end of the last; `cues_of` the
    planned starts of the cues of a step that were heard, by its number; `first_ms` and `last_ms` the planned starts of
    the first and the last of all, and `from_ms` and `to_ms` the ends of the recording's words.
    """

    edges: tuple[tuple[int, int], ...]
    cues_of: Mapping[int, Sequence[int]]
    first_ms: int
    last_ms: int
    from_ms: int
    to_ms: int

    @staticmethod
    def of(timeline: Timeline, transcript: Transcript, heard: Sequence[HeardCue], placing: StepStarts) -> "_Told":
        cues = [timeline.cues[one.cue] for one in heard]
        cues_of: dict[int, list[int]] = {}
        for cue in cues:
            cues_of.setdefault(cue.step, []).append(cue.start_ms - timeline.spans[cue.step].start_ms)
        planned = (*(span.start_ms for span in timeline.spans), timeline.spans[-1].end_ms)
        edges = zip(planned, (*placing.starts_ms, placing.end_ms), strict=True)
        first, last = transcript.blocks[0], transcript.blocks[-1]
        return _Told(tuple(edges), cues_of, cues[0].start_ms, cues[-1].start_ms, first.start_ms, last.end_ms)

    def knows(self, planned_ms: int, real_ms: int) -> bool:
        """Whether a moment lies among what was heard, or near enough to it and within the recording."""
        if self.first_ms <= planned_ms <= self.last_ms:
            return True
        is_near = self.first_ms - BEYOND_MS <= planned_ms <= self.last_ms + BEYOND_MS
        return is_near and self.from_ms - BEYOND_MS <= real_ms <= self.to_ms + BEYOND_MS

    def rests_on(self, number: int) -> Basis:
        into_ms = self.cues_of.get(number)
        if not into_ms:
            return Basis.AROUND
        return Basis.OPENING if into_ms[0] <= OPENING_MS else Basis.LATER


def _slips(timeline: Timeline, heard: Sequence[HeardCue]) -> Iterator[Slip]:
    """The cues, heard well, in which more sides are exchanged than are right; a side counts where its limb or place was
    heard next to it."""
    for one in heard:
        cue = timeline.cues[one.cue]
        words = zip(folded(cue.words), one.words, _beside(one.words), strict=True)
        sides = [(word, said) for word, said, belongs in words if word in SIDES and belongs is not None]
        exchanged = sum(other_side(said) == word for word, said in sides)
        right = sum(said is not None and other_side(said) != word for word, said in sides)
        if exchanged > right and one.share >= SURE_OF_CUE:
            said_words = " ".join(word or MISSED for word in one.words)
            yield Slip(cue.step, round((one.low_ms + one.high_ms) / 2), cue.place, cue.words, said_words)


def _beside(words: Sequence[str | None]) -> Sequence[str | None]:
    """The word after each; after the last one, the word before it."""
    return [*words[1:], words[-2] if len(words) > 1 else None]
