"""Every shipped class, rendered as a person renders it, and read by programs that know nothing of ours."""

import json
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from guide.ready.make_ready import ReadyClass

pytestmark = [pytest.mark.real, pytest.mark.slow]

#: The track of a class in the format of an ending, and what the program says of it.
Rendered = Callable[[str], tuple[Path, str]]

NODE = Path(__file__).parent.parent / "export" / "node"

#: Classes that are soon rendered.
SHORT = [Path("sequences/desk-break.yaml"), Path("sequences/breathing-practice.yaml")]

#: Chapters that a format's reader shifts: FFmpeg counts the last end of Opus with the lead-in of the codec.
LAST_END_OFF_MS = {"opus": 7}


def by_ffmpeg(path: Path) -> tuple[float, float]:
    """Integrated loudness (LUFS) and true peak (dBTP) as FFmpeg's ebur128 reads them; one channel counts as two."""
    command = ["ffmpeg", "-nostats", "-i", str(path), "-af", "ebur128=peak=true:dualmono=true", "-f", "null", "-"]
    told = subprocess.run(command, capture_output=True, text=True, check=True).stderr
    summary = told[told.rindex("Summary:") :]
    integrated, peak = re.search(r"I:\s+(\S+) LUFS", summary), re.search(r"Peak:\s+(\S+) dBFS", summary)
    assert integrated
    assert peak
    return float(integrated[1]), float(peak[1])


def test_a_track_is_as_loud_as_it_says_and_as_ffmpeg_hears_it(ready: ReadyClass, rendered: Rendered) -> None:
    check_loudness(ready, rendered, "mp3")


@pytest.mark.parametrize("ready", SHORT, ids=lambda path: path.stem, indirect=True)
def test_a_track_without_losses_is_as_loud_too(ready: ReadyClass, rendered: Rendered) -> None:
    check_loudness(ready, rendered, "wav")


def check_loudness(ready: ReadyClass, rendered: Rendered, suffix: str) -> None:
    """Within 0.2 LU of each other and 0.5 of the target; EBU Tech 3343 gives two peak meters 0.3 dB."""
    target, said = rendered(suffix)
    ours = re.search(r"(\S+) LUFS, peak (?:at most )?(\S+) dBTP", said)
    assert ours
    integrated, peak = by_ffmpeg(target)
    print(f"\n{ready.timeline.title}, {suffix}: ours {ours[0]}; FFmpeg {integrated} LUFS, {peak} dBTP")
    assert float(ours[1]) == pytest.approx(integrated, abs=0.2)
    assert float(ours[1]) == pytest.approx(-18.0, abs=0.5)
    assert peak <= -1.0


def test_the_sections_are_chapters_to_the_millisecond(ready: ReadyClass, rendered: Rendered) -> None:
    check_chapters(ready, rendered, "mp3")


@pytest.mark.parametrize("ready", SHORT[:1], ids=lambda path: path.stem, indirect=True)
@pytest.mark.parametrize("suffix", ["m4a", "opus", "flac"])
def test_the_sections_are_chapters_in_the_other_formats(ready: ReadyClass, rendered: Rendered, suffix: str) -> None:
    """Of the shortest class: where a chapter begins does not rest on how much sounds."""
    check_chapters(ready, rendered, suffix)


def check_chapters(ready: ReadyClass, rendered: Rendered, suffix: str) -> None:
    target, _ = rendered(suffix)
    probe = ["ffprobe", "-v", "error", "-show_chapters", "-of", "json", str(target)]
    found: list[dict[str, Any]] = json.loads(subprocess.run(probe, capture_output=True, check=True).stdout)["chapters"]
    planned = ready.timeline.chapters
    assert [chapter["tags"]["title"] for chapter in found] == [chapter.title for chapter in planned]
    assert [round(float(chapter["start_time"]) * 1000) for chapter in found] == [c.start_ms for c in planned]
    ends = [round(float(chapter["end_time"]) * 1000) for chapter in found]
    assert ends[:-1] == [chapter.end_ms for chapter in planned[:-1]]
    assert abs(ends[-1] - planned[-1].end_ms) <= LAST_END_OFF_MS.get(suffix, 0)


def test_the_w3c_validator_finds_no_fault_in_the_captions(ready: ReadyClass, tmp_path: Path) -> None:
    """Source: webvtt-parser, the W3C's validator, run by node."""
    from guide.export.captions.for_reading import reading_captions
    from guide.export.registry import write

    path = tmp_path / "track.vtt"
    write(ready.timeline, path)
    done = subprocess.run(["node", str(NODE / "check.mjs"), str(path)], capture_output=True, text=True, check=True)
    told = json.loads(done.stdout)
    print(f"\n{ready.timeline.title}: {len(told['cues'])} captions for {len(ready.timeline.cues)} cues, no fault")
    assert told["errors"] == []
    assert len(told["cues"]) == len(list(reading_captions(ready.timeline))) >= len(ready.timeline.cues)
