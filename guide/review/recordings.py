"""A class that was held, beside its plan, whatever tells of it: captions, a record of the program's, or sound."""

from collections.abc import Callable
from pathlib import Path

from guide.plan.timeline import Timeline
from guide.review import by_record, by_words
from guide.review.captions.transcript import read
from guide.review.comparison import Comparison
from guide.review.hearing.recorded_speech import heard_in, is_recording
from guide.sequence.steps import Steps

#: A record is known by so much of its beginning.
FIRST_BYTES = 8192


def compare_recording(
    steps: Steps, timeline: Timeline, recording: Path, progress: Callable[[int, int], None] | None = None
) -> Comparison:
    """The class that a file tells of, beside the plan; `steps` are those that `timeline` was planned from.

    What kind of file it is is told by what is in it. `progress` is told milliseconds as sound is read, of how many.

    Raises:
        UnusableChoice: the file is of no such kind, or tells nothing.
        MachineTrouble: what reads it is not installed.
    """
    if is_recording(recording):
        from guide.review.hearing import by_voice

        stretches, length_ms = heard_in(recording, progress)
        return by_voice.compare_voice(steps, timeline, str(recording), stretches, length_ms)
    if _is_record(recording):
        from guide.live.record import read as read_record

        return by_record.compare_record(steps, timeline, str(recording), read_record(recording))
    return by_words.compare_captions(steps, timeline, read(recording))


def _is_record(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return by_record.is_record(file.read(FIRST_BYTES))
    except (OSError, ValueError):
        # Whoever reads it as captions says why it cannot be read.
        return False
