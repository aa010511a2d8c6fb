"""Captions: the words of a class with their times, as text files."""

from collections.abc import Callable
from pathlib import Path

from guide.export.atomic_write import write_atomically
from guide.export.captions.lrc import lrc
from guide.export.captions.srt import srt
from guide.export.captions.webvtt import chapters_webvtt, webvtt
from guide.export.chapters import chapters_json
from guide.plan.timeline import Timeline
from guide.problem import UnusableChoice

CAPTIONS: dict[str, Callable[[Timeline], str]] = {
    ".vtt": webvtt,
    ".srt": srt,
    ".lrc": lrc,
}

CHAPTERS: dict[str, Callable[[Timeline], str]] = {
    ".chapters.vtt": chapters_webvtt,
    ".chapters.json": chapters_json,
}


def write_captions(path: Path, timeline: Timeline) -> None:
    """Write the captions of `timeline` to `path` (or its chapters: `.chapters.vtt`, `.chapters.json`).

    Raises: UnusableChoice for a suffix that is no format's, or a path that cannot be a file; MachineTrouble when the
    disk does not let it.
    """
    name = path.name.lower()
    for suffix, text in (CHAPTERS | CAPTIONS).items():
        if name.endswith(suffix):
            write_atomically(path, text(timeline))
            return
    known = ", ".join((*CAPTIONS, *CHAPTERS))
    raise UnusableChoice(f"{path}: no captions end in {path.suffix or 'that'} (use one of {known})")
