"""`guide play --ready`: whether a class can be led now, and what that rests on, in one large line."""

import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from guide.cli.class_argument import progress_bar
from guide.cli.tell import tell
from guide.cli.under_way import draws
from guide.problem import GuideError, MachineTrouble
from guide.units import clock

if TYPE_CHECKING:
    from concurrent.futures import Future

    from guide.live.scene import Check, Ready
    from guide.live.speakers.reconnecting import ReconnectingSpeaker
    from guide.plan.timeline import Timeline
    from guide.ready.make_ready import OpenClass

#: What a record and the words of a class need, many times over.
LEAST_FREE_BYTES = 100_000_000

#: A clock that is set at all is in this year or later; a Raspberry Pi has none of its own.
LEAST_YEAR = 2026

#: A class that ends this near to the moment asked for ends on it.
NEAR_MS = 1000


def show_ready(
    opened: "OpenClass", opening: "Future[None]", speaker: "ReconnectingSpeaker", ends_s: float | None, plain: bool
) -> bool:
    """Look at everything, show it until a key is pressed (or in a line), and tell whether all is well."""
    from guide.live.scene import Ready

    checks, length_ms = [_device(opening, speaker), _disk(), _clock(), *_music(opened)], 0
    try:
        timeline, words = _words(opened)
        length_ms = timeline.length_ms
        checks += [words, _end(opened, timeline, ends_s)]
    except GuideError as error:
        checks.append(_check("words", False, str(error)))
    ready = Ready(opened.class_file.title, tuple(checks), length_ms)
    if draws(plain):
        _on_screen(ready)
    tell(ready.line)
    return ready.is_good


def _check(name: str, is_good: bool, words: str) -> "Check":
    from guide.live.scene import Check

    return Check(name, is_good, words)


def _device(opening: "Future[None]", speaker: "ReconnectingSpeaker") -> "Check":
    try:
        opening.result()
    except MachineTrouble as trouble:
        return _check("device", False, str(trouble).splitlines()[0])
    return _check("device", True, speaker.name)


def _disk() -> "Check":
    """Whether what happens, where the class is and what is spoken can be written, with room to spare."""
    from platformdirs import user_state_path

    from guide.voice.cache import cache_folder

    folders = (user_state_path("practice-guide"), cache_folder())
    for folder in folders:
        try:
            folder.mkdir(parents=True, exist_ok=True)
            with tempfile.TemporaryFile(dir=folder) as file:
                file.write(b"ready")
        except OSError as error:
            return _check("disk", False, f"{folder} cannot be written ({error.strerror})")
    free = min(shutil.disk_usage(folder).free for folder in folders)
    return _check("disk", free >= LEAST_FREE_BYTES, f"{free / 1e9:.1f} GB free")


def _clock() -> "Check":
    now = datetime.now()
    return _check("clock", now.year >= LEAST_YEAR, f"{now:%H:%M}" if now.year >= LEAST_YEAR else f"says {now:%Y}")


def _music(opened: "OpenClass") -> "Iterator[Check]":
    """Whether the music of the class, where it has any, can be read to its end."""
    if not opened.music:
        return
    try:
        with progress_bar("Reading the music") as progress:
            opened.music.make(progress)
    except GuideError as error:
        yield _check("music", False, str(error))
    else:
        yield _check("music", True, ", ".join(Path(source).name for source in opened.music))


def _words(opened: "OpenClass") -> "tuple[Timeline, Check]":
    with progress_bar("Speaking the words") as progress:
        _, _, timeline = opened.spoken(progress)
    return timeline, _check("words", True, "all spoken")


def _end(opened: "OpenClass", timeline: "Timeline", ends_s: float | None) -> "Check":
    """When the class will end; with a moment to end at, whether it can."""
    from guide.live import steady_clock
    from guide.live.course import begin
    from guide.live.end_on_time import kept_to

    now = datetime.now()
    if ends_s is None:
        return _check("end", True, f"{now + timedelta(milliseconds=timeline.length_ms):%H:%M}, if it begins now")
    left_ms = int((ends_s - steady_clock.now_s()) * 1000)
    steps, planned = opened.planned({cue.words: cue.length_ms for cue in timeline.cues})
    course = begin(steps, {cue.words: cue.length_ms for cue in planned.cues}, opened.sound_ms, planned)
    off_ms = kept_to(replace(course), 0, left_ms).course.timeline.length_ms - left_ms
    ends = now + timedelta(milliseconds=left_ms + off_ms)
    late = f"{clock(abs(off_ms))} {'later' if off_ms > 0 else 'sooner'} than asked"
    is_good = abs(off_ms) < NEAR_MS
    return _check("end", is_good, f"{ends:%H:%M}" if is_good else f"{ends:%H:%M}, {late}")


def _on_screen(ready: "Ready") -> None:
    """Show it until a key is pressed."""
    from guide.live.scene_server import SceneServer
    from guide.live.screen.process import ScreenProcess

    shown = [ready]
    server = SceneServer(lambda: shown[0], lambda key: shown.insert(0, replace(ready, is_over=True)))
    if not server.start():
        return
    screen = ScreenProcess(server.address, server.key)
    screen.start()
    while not screen.is_gone:
        screen.wait()
    screen.stop()
    server.stop()
