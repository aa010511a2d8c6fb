"""`guide play`: a class led aloud, in its own time, over the loudspeaker of this machine."""

import re
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

import click

from guide.cli.options import slot_option, voice_options
from guide.cli.prepare import STDIN, ReadyClass, VoiceChoice, make_ready
from guide.problem import UnusableChoice

if TYPE_CHECKING:
    from guide.live.journal import Journal, Kept
    from guide.live.leading import Leading
    from guide.live.where import Where
    from guide.plan.timeline import Timeline
    from guide.sound.mixer import Mix

#: A hold that is counted aloud can grow by so many breaths while the class runs.
SPARE_NUMBERS = 20

OUTPUT_NAMES = ("miniaudio", "pipe", "silent")


@click.command(name="play")
@click.argument("file", metavar="FILE", type=click.Path())
@slot_option
@click.option("--end-at", metavar="HH:MM", help="End at this moment of the day; what is to come is fitted to it.")
@click.option("--resume", is_flag=True, help="Go on with this class where it was broken off, at the start of a step.")
@click.option(
    "--output",
    type=click.Choice(OUTPUT_NAMES),
    help="The way to the loudspeaker; without it, the first that opens. `silent` makes no sound.",
)
@click.option("--log", type=click.Path(path_type=Path), metavar="PATH", help="Write down what happens, and when.")
@voice_options
def command(
    file: str,
    slot_ms: int | None,
    end_at: str | None,
    resume: bool,
    output: str | None,
    log: Path | None,
    voice: str | None,
    voice_rate: float | None,
) -> None:
    """Lead a class aloud, and do as you ask with one key.

    A line is shown for every step. Space or enter pauses and goes on; right (or page down) goes on to the next step,
    left (or page up) back to the start of this one, `p` to the one before; up and down hold it a breath longer or
    shorter, and `h` until told otherwise; `s` and `f` make the pace slower or faster; `r` repeats this side, `o` goes
    to the other; `v` and `V`, `c` and `C` make the voice and the chimes louder and softer; `w` leaves names and breath
    only, `W` brings all words back; `.` or `b` is silence now; `e` goes to the closing rest; `q` ends.

    FILE is a class file.
    """
    if file == STDIN:
        raise UnusableChoice("a class that is played needs a file of its own (standard input is for the keys)")
    ends_in_ms = _until(end_at) if end_at else None
    ready = make_ready(file, VoiceChoice(voice, voice_rate), slot_ms, SPARE_NUMBERS)
    from guide.live.plain import lead, typed

    leading = _led(ready, file, resume, output, log, ends_in_ms)
    with _asked_to_end(leading), typed(sys.stdin) as keys:
        leading.start()
        try:
            lead(leading, _said, keys)
        finally:
            leading.stop()
    _journal().clear()


def _said(line: str) -> None:
    """A line on the terminal, which may have gone: the class goes on without it."""
    try:
        click.echo(line)
    except OSError:
        return


def _until(end_at: str) -> int:
    """How long it is until a moment of the day, in ms; one that is past is tomorrow's."""
    found = re.fullmatch(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", end_at)
    if found is None:
        raise UnusableChoice(f"`{end_at}` is no moment of the day (write one such as `19:15`)")
    now = datetime.now()
    moment = now.replace(hour=int(found[1]), minute=int(found[2]), second=0, microsecond=0)
    if moment <= now:
        moment += timedelta(days=1)
    return int((moment - now) / timedelta(milliseconds=1))


def _journal_path() -> Path:
    from platformdirs import user_state_path

    return user_state_path("practice-guide") / "under-way.json"


def _journal() -> "Journal":
    from guide.live.journal import Journal

    return Journal(_journal_path())


def _led(
    ready: ReadyClass, file: str, resume: bool, output: str | None, log: Path | None, ends_in_ms: int | None
) -> "Leading":
    from guide.live.course import begin
    from guide.live.journal import Kept, digest_of
    from guide.live.leading import Leading
    from guide.live.record import Record
    from guide.sound.mixer import prepare

    path = str(Path(file).resolve())
    digest = digest_of(Path(file).read_bytes())
    word_ms = ready.spoken.lengths_ms()
    sound_ms = ready.sound_ms
    first = prepare(ready.timeline, ready.spoken, ready.palette)

    def remix(timeline: "Timeline") -> "Mix":
        if timeline is ready.timeline:
            return first
        return prepare(timeline, ready.spoken, ready.palette, settled=first.predicted)

    def noted(now: "Where") -> "Kept":
        return Kept(path, digest, now.step, now.at_ms)

    return Leading(
        begin(ready.steps, word_ms, sound_ms, ready.timeline),
        remix,
        at_ms=_resumed_ms(ready, path, digest) if resume else 0,
        output=output,
        journal=noted,
        kept=_journal(),
        record=Record(log) if log else None,
        ends_in_ms=ends_in_ms,
    )


def _resumed_ms(ready: ReadyClass, path: str, digest: str) -> int:
    """Where a class that was broken off goes on: at the start of the step that was under way.

    Raises:
        UnusableChoice: no class was broken off, or it was another one.
    """
    from guide.live.journal import kept_in

    kept = kept_in(_journal_path())
    if kept is None:
        raise UnusableChoice("no class was broken off here (play it from the beginning, without --resume)")
    if (kept.file, kept.digest) != (path, digest) or kept.step >= len(ready.timeline.spans):
        raise UnusableChoice(f"what was broken off is {kept.file} as it was then (play this one without --resume)")
    return ready.timeline.spans[kept.step].start_ms


@contextmanager
def _asked_to_end(leading: "Leading") -> Iterator[None]:
    """Ctrl-C and a request to terminate end the class with the sound faded; a terminal that goes does not end it."""
    from guide.live.orders import Order

    def end(number: int, frame: FrameType | None) -> None:
        leading.order(Order.QUIT)

    before = {number: signal.signal(number, end) for number in (signal.SIGINT, signal.SIGTERM)}
    if hasattr(signal, "SIGHUP"):
        before[signal.SIGHUP] = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
