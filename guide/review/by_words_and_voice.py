"""A taught class known from captions and the sound of the same recording: words say which, the voice says when."""

from collections.abc import Sequence
from dataclasses import replace

from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice
from guide.review.aligning.step_starts import step_starts
from guide.review.aligning.time_windows import TimedWord, heard_cues, planned_words, timed_words
from guide.review.aligning.told_talk import TalkReader
from guide.review.aligning.word_matches import aligned
from guide.review.by_words import compare_captions, follows
from guide.review.captions.transcript import Transcript
from guide.review.comparison import Comparison
from guide.review.hearing.by_voice import speech_of
from guide.review.hearing.cut_by_voice import Opens, cut_by_voice
from guide.review.hearing.voice_activity import Stretch, backwards
from guide.review.speech import speech
from guide.sequence.steps import Steps
from guide.units import clock

#: Captions that go on for so much longer than the sound are of another recording.
LONGER_MS = 10_000

#: Words that fall no better where somebody speaks than where the same speech backwards has it, times this, are of
#: another recording: of the same one they are below half (talked, taught, rendered and heard classes of the tests).
LEAST_FIT = 0.6

#: A step that the voice has begin so far from where the words alone have it is half as sure.
APART_MS = 5_500

#: What it costs that speech begins with a word of which the plan tells nothing, and with one in the midst of a cue; for
#: each word that it is off from the first of a cue; and that it goes on over that, where the plan is quiet before it.
ANY_WORD, IN_A_CUE, A_WORD_OFF, QUIET_MS, OVER_QUIET, OVER_LITTLE = 2.0, 1.5, 0.5, 1_000, 3.0, 1.0


def compare_both(
    steps: Steps,
    timeline: Timeline,
    transcript: Transcript,
    sound: str,
    stretches: Sequence[Stretch],
    length_ms: int,
    reader: TalkReader = None,
) -> Comparison:
    """The class that was captioned and recorded, beside the plan; `stretches` is where somebody speaks in `sound`.

    `reader` is as for captions alone.

    Raises:
        UnusableChoice: the captions are of another recording.
    """
    if transcript.blocks[-1].start_ms > length_ms + LONGER_MS:
        last = clock(transcript.blocks[-1].start_ms)
        what = f"there are words at {last}, and {sound} is over at {clock(length_ms)}"
        raise UnusableChoice(f"{transcript.name}: {what} (give captions and sound of the same recording)")
    said = timed_words(transcript)
    heard = heard_cues(timeline, said)
    is_followed = bool(heard) and follows(timeline, heard)
    opens = _opens(timeline, said) if is_followed else ()
    cut = cut_by_voice(transcript, stretches, opens)
    if cut.cost > LEAST_FIT * cut_by_voice(transcript, backwards(stretches), opens).cost:
        what = f"its words do not fall where somebody speaks in {sound}"
        raise UnusableChoice(f"{transcript.name}: {what} (give captions and sound of the same recording)")
    found = compare_captions(steps, timeline, cut.transcript, reader)
    if found.is_another:
        found = compare_captions(steps, timeline, transcript, reader)
    by_words_ms = step_starts(timeline, heard).starts_ms if is_followed else [one.real_start_ms for one in found.steps]
    taken = tuple(
        replace(one, sure=round(one.sure * max(1 - cut.cost**2, 0) * _agreed(one.real_start_ms, at_ms), 2))
        for one, at_ms in zip(found.steps, by_words_ms, strict=True)
    )
    voice, words = speech_of(stretches), speech(transcript)
    measured = replace(voice, words=words.words, fillers=words.fillers, phrases=words.phrases)
    return replace(found, recording=sound, steps=taken, speech=measured)


def _agreed(start_ms: int | None, by_words_ms: int | None) -> float:
    """How far the start of a step is believed that words alone have at another moment, as a share."""
    return 1 / (1 + (((start_ms or 0) - (by_words_ms or 0)) / APART_MS) ** 2)


def _opens(timeline: Timeline, said: Sequence[TimedWord]) -> list[Opens]:
    """For each heard word, how readily speech begins with it, by the cues of the plan."""
    planned = planned_words(timeline)
    firsts = dict(reversed([(one.cue, number) for number, one in enumerate(planned)]))
    found, last_cue, last = [Opens(ANY_WORD)] * len(said), -1, -1
    for match in aligned(planned, [one.word for one in said]).matches:
        cue = planned[match.planned].cue
        if cue == last_cue:
            found[last + 1 : match.heard + 1] = [Opens(IN_A_CUE)] * (match.heard - last)
        else:
            first = match.heard - (match.planned - firsts[cue])
            for number in range(max(first - 2, last + 1, 0), min(first + 2, match.heard) + 1):
                found[number] = Opens(A_WORD_OFF * abs(number - first))
            if first == match.heard:
                found[first] = Opens(0.0, OVER_QUIET if _quiet_before_ms(timeline, cue) >= QUIET_MS else OVER_LITTLE)
        last_cue, last = cue, match.heard
    return found


def _quiet_before_ms(timeline: Timeline, cue: int) -> int:
    return timeline.cues[cue].start_ms - timeline.cues[cue - 1].end_ms if cue else QUIET_MS
