"""A class that was held, beside its plan, whatever tells of it: captions, sound, or what the program wrote down."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from guide.plan.timeline import Timeline
from guide.problem import MachineTrouble, UnusableChoice
from guide.review import by_record, by_words
from guide.review.aligning.told_talk import TalkReader
from guide.review.by_words_and_voice import compare_both
from guide.review.captions.transcript import Transcript, read
from guide.review.comparison import Comparison
from guide.review.hearing.recorded_speech import NoVoice, heard_in, is_recording
from guide.review.kept_comparison import compare_kept, kept_comparison
from guide.sequence.steps import Steps

#: A record is known by so much of its beginning.
FIRST_BYTES = 8192


def compare_recording(
    steps: Steps,
    timeline: Timeline,
    recording: Path,
    progress: Callable[[int, int], None] | None = None,
    reader: TalkReader = None,
) -> Comparison:
    """The class that a file tells of, beside the plan; `steps` are those that `timeline` was planned from.

    What kind of file it is is told by what is in it. `progress` is told milliseconds as sound is read, of how many;
    `reader` tells where things begin in captions of a class taught in other words.

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
    kept = _kept(recording)
    if kept is not None:
        return compare_kept(steps, timeline, str(recording), kept)
    return by_words.compare_captions(steps, timeline, read(recording), reader)


def compare_two(
    steps: Steps,
    timeline: Timeline,
    recordings: Sequence[Path],
    progress: Callable[[int, int], None] | None = None,
    reader: TalkReader = None,
) -> Comparison:
    """The same by the captions of a class and its sound, which are given in any order.

    Raises:
        UnusableChoice: these are not one of each, or not of the same recording, or tell nothing.
        MachineTrouble: what reads them is not installed.
    """
    sounds = [one for one in recordings if is_recording(one)]
    words = [one for one in recordings if one not in sounds]
    if len(words) != 1 or len(sounds) != 1 or _is_record(words[0]):
        what = "two go together where one is captions and the other the sound of them"
        raise UnusableChoice(f"{recordings[1]}: {what} (give one recording, or these two)")
    return compare_both(steps, timeline, read(words[0]), str(sounds[0]), *heard_in(sounds[0], progress), reader)


def words_among(recordings: Sequence[Path]) -> Transcript:
    """What was said, by the captions among these.

    Raises:
        UnusableChoice: there are none, or they cannot be read.
    """
    for one in recordings:
        if not is_recording(one) and not _is_record(one):
            return read(one)
    what = "it has no words to make captions of"
    raise UnusableChoice(f"{recordings[0]}: {what} (give captions of the class too, or have them heard with --hear)")


def by_heard_words(
    steps: Steps,
    timeline: Timeline,
    transcript: Transcript,
    sound: Path,
    progress: Callable[[int, int], None] | None = None,
    reader: TalkReader = None,
) -> tuple[Comparison, str]:
    """The same by words that a recogniser heard in `sound`; and why by them alone, where no voice can be heard in it.

    Raises:
        UnusableChoice: the sound cannot be read, or the words are of another recording.
    """
    try:
        stretches, length_ms = heard_in(sound, progress)
    except (NoVoice, MachineTrouble) as error:
        found = by_words.compare_captions(steps, timeline, transcript, reader)
        return replace(found, recording=str(sound)), str(error)
    return compare_both(steps, timeline, transcript, str(sound), stretches, length_ms, reader), ""


def held_at(recording: Path) -> str:
    """The day and the time of day at which a class was held, `2026-11-29 18:30`, where a record tells it; or ""."""
    from guide.live.record import Opened
    from guide.live.record import read as read_record

    events = read_record(recording) if _is_record(recording) else ()
    at = next((event.at for event in events if isinstance(event, Opened)), "")
    return at.replace("T", " ")[:16]


def _kept(path: Path) -> Mapping[str, Any] | None:
    """The comparison that a file of its kind holds; None where it holds something else, or cannot be read."""
    try:
        return kept_comparison(path.read_bytes()) if path.suffix.lower() == ".json" else None
    except (OSError, ValueError):
        # Whoever reads it as captions says why it cannot be read.
        return None


def _is_record(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return by_record.is_record(file.read(FIRST_BYTES))
    except (OSError, ValueError):
        # Whoever reads it as captions says why it cannot be read.
        return False
