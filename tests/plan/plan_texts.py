"""A voice that only has lengths, and a way to write a timeline down so that a person can check it by hand."""

from collections.abc import Iterator
from pathlib import Path

from class_texts import expand

from guide.plan.breath_counting import counted
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.plan.timeline import Timeline
from guide.sequence.reader import read_text
from guide.sequence.steps import Steps

#: Every bell and chime of the pairs lasts so long.
SOUND_MS = 3000


def said_ms(text: str) -> int:
    """How long the voice of the pairs takes: 400 ms a word."""
    return 400 * len(text.split())


def steps_of(text: str, folder: Path) -> Steps:
    return expand(read_text(text, "class.yaml", folder))


def planned(steps: Steps) -> tuple[Timeline, dict[str, int]]:
    """The timeline of the steps as they are, and the lengths it was made from."""
    word_ms, sound_ms = lengths_of(steps)
    word_ms |= {text: said_ms(text) for text in counted(steps, word_ms, sound_ms)}
    return plan(steps, word_ms, sound_ms), word_ms


def fitted(steps: Steps) -> tuple[Steps, Timeline, dict[str, int]]:
    """The steps as they fill their slot, their timeline, and the lengths it was made from."""
    word_ms, sound_ms = lengths_of(steps)
    found = fit(steps, word_ms, sound_ms)
    timeline, word_ms = planned(found.steps)
    return found.steps, found.told(timeline), word_ms


def lengths_of(steps: Steps) -> tuple[dict[str, int], dict[str, int]]:
    """The lengths of the words that the file writes, and those of its sounds."""
    sounds = steps.sounds
    names = {sounds.klass, sounds.inhale, sounds.exhale, sounds.pause}
    names |= {section.bell_sound for section in steps.sections} | {step.bell_sound for step in steps.steps}
    word_ms = {words.text: said_ms(words.text) for step in steps.steps for words in (*step.entry, *step.words)}
    return word_ms, dict.fromkeys(names, SOUND_MS)


def written(timeline: Timeline) -> str:
    """The timeline as lines in order of time: spans, rings and cues, then notes and what was dropped."""
    return "\n".join((*_lines(timeline), "")) + "\n".join((*_remarks(timeline), ""))


def _lines(timeline: Timeline) -> list[str]:
    events: list[tuple[int, int, str]] = []
    for span in timeline.spans:
        side = f" {span.side.value}" if span.side else ""
        breaths = f", {span.breaths}{'½' * span.and_a_half} breaths" if span.breaths else ""
        events.append((span.start_ms, 0, f"{span.kind.value}: {span.title}{side}"))
        events.append((span.hold_ms, 2, f"  begins{breaths}"))
        events.append((span.held_ms, -1, "  ends"))
    events += [(ring.start_ms, 3, f"    ({ring.role.value})") for ring in timeline.rings]
    events += [
        (cue.start_ms, 4, f"    {cue.part.value} {cue.kind.value} “{cue.words}” to {_moment(cue.end_ms)}")
        for cue in timeline.cues
    ]
    events += [
        (span.start_ms, 5, f"    music: {span.source} to {_moment(span.end_ms)}, {span.below_db:g} dB under, {fades}")
        for span in timeline.music
        for fades in [f"fades {span.fade_in_ms} and {span.fade_out_ms} ms"]
    ]
    lines = [f"{_moment(ms)} {line}" for ms, _, line in sorted(events, key=lambda event: event[:2])]
    return [*lines, f"{_moment(timeline.length_ms)} end"]


def _remarks(timeline: Timeline) -> Iterator[str]:
    yield from (f"note {note}" for note in timeline.notes)
    yield from (f"dropped {dropped.place}: {dropped.words}" for dropped in timeline.dropped)


def _moment(ms: int) -> str:
    return f"{ms // 60_000}:{ms // 1000 % 60:02}.{ms % 1000:03}"
