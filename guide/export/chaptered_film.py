"""A copy of a recording with chapters in it, where the class as taught had its sections; nothing is encoded again.

Source: PyAV, `OutputContainer.set_chapters`, and its cookbook, "Remuxing".
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from guide.export.tags import one_line
from guide.export.taught_chapters import taught_chapters
from guide.plan.timeline import Chapter
from guide.problem import MachineTrouble, UnusableChoice
from guide.review.comparison import Comparison
from guide.review.hearing.recorded_speech import is_recording

#: What brings PyAV, which writes films.
INSTALL = "python -m pip install 'practice-guide[m4a]'"

#: Chapters are written in thousandths of a second.
MS = Fraction(1, 1000)

#: Streams that a copy has; others, such as the chapters that it had before, have no container of their own.
COPIED = ("video", "audio", "subtitle")


@dataclass(frozen=True, slots=True)
class FilmExporter:
    """A copy of the recording that a comparison was made with, in a container that PyAV calls so."""

    container: str
    name: str = "chapters as taught, in a copy of the recording"
    subject: type[Any] = Comparison

    def write(self, part: Path, subject: Comparison, progress: object) -> str:
        chapters = taught_chapters(subject)
        recording = Path(subject.recording)
        check_has_recording(recording, [recording])
        try:
            import av
        except ImportError as error:
            raise MachineTrouble(f"to write chapters into a film, PyAV is needed ({INSTALL})") from error
        try:
            _copy(recording, part, self.container, chapters)
        except (av.FFmpegError, ValueError) as error:
            what = f"it cannot be copied into {self.container} with chapters ({error})"
            raise UnusableChoice(f"{recording}: {what} (use the ending of the recording, or .txt)") from error
        return ""

    def whose(self, path: Path) -> str:
        return "a film may be the only one of its kind"


def check_has_recording(target: Path, given: Iterable[Path]) -> None:
    """Raise UnusableChoice where none of the files that are given is a recording, to make `target` of."""
    if not any(map(is_recording, given)):
        what = "chapters go into a copy of a recording, and none is given"
        raise UnusableChoice(f"{target}: {what} (give the recording beside its captions, or name a file .txt or .vtt)")


def _copy(recording: Path, part: Path, container: str, chapters: tuple[Chapter, ...]) -> None:
    import av

    with av.open(str(recording)) as film, av.open(str(part), "w", format=container) as copy:
        copied = {
            one.index: copy.add_stream_from_template(one)
            for one in film.streams
            if one.type in COPIED and hasattr(one, "codec_context")
        }
        copy.metadata.update(film.metadata)
        copy.set_chapters([_marked(number, one) for number, one in enumerate(chapters, 1)])
        for packet in film.demux([film.streams[index] for index in copied]):
            if packet.dts is not None:
                packet.stream = copied[packet.stream.index]
                copy.mux(packet)


def _marked(number: int, one: Chapter) -> Any:
    title = {"title": one_line(one.title)}
    return {"id": number, "start": one.start_ms, "end": one.end_ms, "time_base": MS, "metadata": title}
