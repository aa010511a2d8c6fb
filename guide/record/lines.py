"""The lines that a teacher records for a class: everything that it says, once each, in an order good for reading."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from guide.plan.line_room import number_room_ms, room_ms
from guide.plan.step_lengths import measured
from guide.plan.step_shape import shapes
from guide.plan.timeline import Timeline
from guide.problem import Place
from guide.ready.make_ready import OpenClass, ReadyClass
from guide.sequence.steps import Steps
from guide.voice.takes.store import line_key

#: What stands for the section of the numbers that a class counts aloud, which are read one after the other.
NUMBERS = "Numbers"


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """Words that a class says, as they are written first, with the section and the place of that.

    The class says them `times` times; `texts` are all the ways in which it writes them. They may last `room_ms` at
    their tightest place before anything in the plan grows; None where they have a time of their own.
    """

    words: str
    section: str
    place: Place
    times: int
    room_ms: int | None
    texts: tuple[str, ...]

    @property
    def key(self) -> str:
        """By what a take of it is kept."""
        return line_key(self.words)


def reading_lines(of: ReadyClass | OpenClass) -> tuple[ReadingLine, ...]:
    """All that a class says, once each: by section, the sides of a line one after the other, its numbers at the end.

    Of a class whose words are not spoken yet, lengths are estimated.
    """
    if isinstance(of, OpenClass):
        from guide.plan.estimate import EstimatedLengths

        word_ms: Mapping[str, int] = EstimatedLengths(of.settings.rate)
        steps, timeline = of.planned(word_ms)
        return tuple(_lines(steps, timeline, dict(word_ms), of.sound_ms))
    return tuple(_lines(of.steps, of.timeline, of.spoken.lengths_ms(), of.sound_ms))


def _lines(
    steps: Steps, timeline: Timeline, word_ms: Mapping[str, int], sound_ms: Mapping[str, int]
) -> Iterator[ReadingLine]:
    said = [cue.words for cue in timeline.cues]
    for texts, section, place in _by_key(_in_order(steps)):
        times = sum(said.count(text) for text in texts)
        yield ReadingLine(texts[0], section, place, times, room_ms(texts, steps.steps, word_ms), texts)
    made = shapes(measured(steps.steps, word_ms), sound_ms)
    spoken = {words.text for step in steps.steps for words in (*step.entry, *step.words)}
    numbers = [(cue.words, NUMBERS, timeline.spans[cue.step].place) for cue in timeline.cues if cue.words not in spoken]
    for texts, section, place in sorted(_by_key(numbers), key=_by_count):
        room = number_room_ms(texts[0], steps.steps, made)
        yield ReadingLine(texts[0], section, place, said.count(texts[0]), room, texts)


def _in_order(steps: Steps) -> Iterator[tuple[str, str, Place]]:
    """All words with the section and the place that they come from; what is said on another side follows at once."""
    sides: dict[object, list[str]] = {}
    for step in steps.steps:
        for words in (*step.entry, *step.words):
            sides.setdefault((step.pair, words.key), []).append(words.text)
    for step in steps.steps:
        section = "" if step.section is None else steps.sections[step.section].title
        for words in (*step.entry, *step.words):
            each = (words.text,) if step.pair is None else sides[step.pair, words.key]
            yield from ((text, section, words.place) for text in each)


def _by_key(found: Iterable[tuple[str, str, Place]]) -> list[tuple[tuple[str, ...], str, Place]]:
    """Each line once, where it comes first, with all the ways in which it is written."""
    lines: dict[str, tuple[dict[str, None], str, Place]] = {}
    for text, section, place in found:
        lines.setdefault(line_key(text), ({}, section, place))[0][text] = None
    return [(tuple(texts), section, place) for texts, section, place in lines.values()]


def _by_count(line: tuple[tuple[str, ...], str, Place]) -> tuple[bool, int]:
    """Numbers as they are counted, after the parts of a pattern."""
    text = line[0][0]
    return text.isdigit(), int(text) if text.isdigit() else 0
