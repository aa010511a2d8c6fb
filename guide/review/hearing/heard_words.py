"""What a recogniser heard in a recording, kept beside it, so that it is heard once: captions that anybody can mend."""

import hashlib
import html
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from guide.problem import UnusableChoice
from guide.review.captions.transcript import Transcript, read_raw
from guide.review.hearing.recogniser import HeardWord, Recogniser
from guide.whole_file import write_whole

#: `class.mp4.heard.vtt` has the words of `class.mp4`.
ENDING = ".heard.vtt"

#: The first note of the program's own: of which recording, by which model, and a digest of the rest.
_OWN = re.compile(rb"WEBVTT\n\nNOTE heard by guide in (\d+) bytes by ([^\n]*), ([0-9a-f]{16})\n\n")


@dataclass(frozen=True, slots=True)
class Heard:
    """The words of a recording; `kept` is the file that has them, None where they could not be kept, for `why`."""

    transcript: Transcript
    kept: Path | None
    why: str = ""


def heard(
    recording: Path,
    names: Sequence[str],
    model: Path | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Heard:
    """The words of a recording: those that are kept beside it, mended or not, or else those that are heard now.

    Words are taken up again where the recording is as large as it was and the same model is asked for. A file of the
    teacher's own, and words of another recording that she has mended, are never written over.

    Raises:
        UnusableChoice: the recording cannot be read, or nothing is said in it.
        MachineTrouble: no recogniser is installed.
    """
    beside = recording.with_name(recording.name + ENDING)
    size = _size(recording)
    if (kept := _taken_up(beside, size, model)) is not None:
        return Heard(kept, beside)
    recogniser = Recogniser.of(model)
    body = captions(recogniser.words(recording, names, progress))
    if not body:
        raise UnusableChoice(f"{recording}: no words are heard in it (give a recording in which the teacher is heard)")
    digest = hashlib.sha256(body.encode()).hexdigest()[:16]
    text = f"WEBVTT\n\nNOTE heard by guide in {size} bytes by {recogniser.called}, {digest}\n\n{body}"
    why = _kept(beside, text)
    return Heard(read_raw(text.encode(), str(recording)), None if why else beside, why)


def captions(sentences: Iterable[Sequence[HeardWord]]) -> str:
    """A caption for each sentence, in which every word has its time."""
    return "".join(map(_caption, sentences))


def _caption(words: Sequence[HeardWord]) -> str:
    first, *others = words
    said = html.escape(first.text, quote=False)
    said += "".join(f" <{_stamp(word.start_ms)}>{html.escape(word.text, quote=False)}" for word in others)
    return f"{_stamp(first.start_ms)} --> {_stamp(max(words[-1].end_ms, first.start_ms + 1))}\n{said}\n\n"


def _stamp(ms: int) -> str:
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02}.{ms % 1000:03}"


def _size(recording: Path) -> int:
    try:
        return recording.stat().st_size
    except (OSError, ValueError):
        # Whoever reads it says why it cannot be read.
        return 0


def _taken_up(beside: Path, size: int, model: Path | None) -> Transcript | None:
    """The words that are kept of this recording by the model that is asked for; without one any will do."""
    raw = _bytes(beside)
    own = _OWN.match(raw)
    is_wanted = (
        own and int(own[1]) == size and (model is None or own[2].decode("utf-8", "replace") == model.resolve().name)
    )
    return read_raw(raw, str(beside)) if is_wanted else None


def _kept(beside: Path, text: str) -> str:
    """Write the words beside the recording; why not, where they could not be kept."""
    raw = _bytes(beside)
    own = _OWN.match(raw)
    is_untouched = own is not None and hashlib.sha256(raw[own.end() :]).hexdigest()[:16].encode() == own[3]
    if beside.exists() and not is_untouched:
        return f"{beside} is yours and was left alone"
    try:
        write_whole(beside, text.encode())
    except OSError as error:
        return f"{beside} cannot be written: {error.strerror}"
    return ""


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes().replace(b"\r\n", b"\n")
    except (OSError, ValueError):
        return b""
