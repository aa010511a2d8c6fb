"""What is heard of a reading whose truth is known: stretches of speech and their words, without any sound."""

from collections.abc import Sequence
from itertools import pairwise

from guide.plan.estimate import spoken_ms
from guide.problem import Place
from guide.record.lines import ReadingLine
from guide.review.captions.transcript import Segment, Transcript
from guide.review.hearing.voice_activity import Stretch

LINES = (
    "Sit near the front of the chair, both feet flat on the floor.",
    "Let your hands lie on your thighs.",
    "Grow tall, and let the out-breath drop your shoulders.",
    "Let your right ear sink toward your right shoulder, as far as it likes to go today.",
    "Reach your left hand down.",
    "Breathe in, lift your head, and look ahead for a while.",
    "Now let your left ear sink the same way.",
    "Stretch your right arm out in front, palm up, and draw the fingers back with your left hand.",
    "Let go.",
    "That is all. Drink something, and take the longer way back to your work.",
)

#: The quiet between two lines, and within one.
BETWEEN_MS, WITHIN_MS = 1800, 450


def as_lines(texts: Sequence[str]) -> tuple[ReadingLine, ...]:
    """Lines of a script that say this."""
    return tuple(
        ReadingLine(text, "Sit", Place("a.yaml", row, 1), 1, 4550, (text,)) for row, text in enumerate(texts, 1)
    )


def reading(said: Sequence[str], pace: float = 1.0) -> tuple[tuple[Stretch, ...], Transcript, int]:
    """The stretches of what is said, each text with a pause after it and at each bar in it, their words and the length.

    Text in brackets is heard as sound without words.
    """
    stretches, segments, at_ms = list[Stretch](), list[Segment](), 1000
    for text in said:
        for part in text.split("|"):
            end_ms = at_ms + round(spoken_ms(part.strip(" []"), 1.0) * pace)
            stretches.append(Stretch(at_ms, end_ms))
            if not part.startswith("["):
                segments.append(Segment(at_ms, end_ms, part.strip()))
            at_ms = end_ms + WITHIN_MS
        at_ms += BETWEEN_MS - WITHIN_MS
    assert all(before.end_ms < after.start_ms for before, after in pairwise(stretches))
    return tuple(stretches), Transcript("reading.wav", tuple(segments)), at_ms
