"""`guide play`: a class led aloud, in its own time, over the loudspeaker of this machine."""

import re
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import STDIN, loaded, progress_bar
from guide.cli.log import NAME, log_folder
from guide.cli.options import file_argument, slot_option, voice_options
from guide.cli.under_way import OUTPUT_NAMES, asked_to_end, key_options, made_controls, pressed, said, said_aside, show
from guide.problem import MachineTrouble, UnusableChoice
from guide.ready.choices import VoiceChoice

if TYPE_CHECKING:
    from guide.live.controls import Controls
    from guide.live.journal import Bookmark, Journal
    from guide.live.leading import Leading
    from guide.live.record import Opened as ClassOpened
    from guide.live.record import Record
    from guide.live.speakers.reconnecting import ReconnectingSpeaker
    from guide.plan.moment import Moment
    from guide.ready.make_ready import OpenClass
    from guide.ready.speak_ahead import Begun

#: A hold that is counted aloud can grow by so many breaths while the class runs.
SPARE_NUMBERS = 20


@click.command(name="play")
@file_argument
@slot_option
@click.option("--end-at", metavar="HH:MM", help="End at this moment of the day; what is to come is fitted to it.")
@click.option("--resume", is_flag=True, help="Go on with this class where it was broken off, at the start of a step.")
@click.option(
    "--output",
    type=click.Choice(OUTPUT_NAMES),
    help="The way to the loudspeaker; without it, the first that opens. `silent` makes no sound.",
)
@key_options
@click.option(
    "--log",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="Write down what happens there; `guide log` prints it.",
)
@voice_options
def command(
    file: str,
    slot_ms: int | None,
    end_at: str | None,
    resume: bool,
    plain: bool,
    output: str | None,
    pedal: str | None,
    pins: tuple[int, ...],
    log: Path | None,
    voice: str | None,
    voice_rate: float | None,
) -> None:
    """Lead a class aloud, and do as you ask with one key.

    Space or enter pauses and goes on; right (or page down) goes on to the next step, left (or page up) back to the
    start of this one, `p` to the one before; up and down hold it a breath longer or shorter, and `h` until told
    otherwise; `s` and `f` make the pace slower or faster; `r` repeats this side, `o` goes to the other; `v` and `V`,
    `c` and `C` make the voice and the chimes louder and softer; `w` leaves names and breath only, `W` brings all words
    back; `.` or `b` is silence now; `e` goes to the closing rest; `q` ends. `guide keys` shows them all, and learns
    others.

    FILE is a class file, or the name of a class that comes with the program.
    """
    if file == STDIN:
        raise UnusableChoice("a class that is played needs a file of its own (standard input is for the keys)")
    ends_in_ms = _until(end_at) if end_at else None
    from guide.live.speakers.reconnecting import ReconnectingSpeaker
    from guide.ready.make_ready import OpenClass

    speaker = ReconnectingSpeaker(output)
    with ThreadPoolExecutor(1) as aside, ExitStack() as closing:
        # The device wakes while the class is read.
        opening = aside.submit(speaker.open)
        closing.callback(speaker.stop)
        opened = OpenClass.of(loaded(file), VoiceChoice(voice, voice_rate), slot_ms)
        opening.result()
        begun = _begun(opened)
        leading = _led(begun, file, resume, log, speaker, ends_in_ms)
        closing.callback(leading.stop)
        controls = made_controls(leading.order)
        closing.enter_context(pressed(pedal, pins, controls))
        closing.enter_context(asked_to_end(controls))
        _lead(leading, controls, begun, plain)
    _journal().clear()


def _begun(opened: "OpenClass") -> "Begun":
    from guide.ready.speak_ahead import make_begun

    with progress_bar("Speaking the words") as progress:
        return make_begun(opened, SPARE_NUMBERS, progress)


def _lead(leading: "Leading", controls: "Controls", begun: "Begun", plain: bool) -> None:
    from guide.live.line_view import Lines
    from guide.priority import coming_first

    # A thread of ours that waits for its turn may keep the sound card's waiting.
    with coming_first():
        leading.start()
        begun.speak_on(leading.learn, leading.tell)
        show(leading, controls, lambda keys: Lines(said, keys, controls.typed), plain)


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
    begun: "Begun", file: str, resume: bool, log: Path | None, speaker: "ReconnectingSpeaker", ends_in_ms: int | None
) -> "Leading":
    from guide.live.course import begin
    from guide.live.journal import Bookmark, digest_of
    from guide.live.leading import Leading
    from guide.live.record import Opened as ClassOpened

    path = str(Path(file).resolve())
    digest = digest_of(Path(file).read_bytes())
    now, timeline = datetime.now(), begun.timeline

    def noted(where: "Moment") -> "Bookmark":
        return Bookmark(path, digest, where.step)

    usual = log_folder() / f"{now.strftime(NAME)} {Path(file).stem}.jsonl"
    opened = ClassOpened(timeline.title, path, digest, now.isoformat(timespec="seconds"), timeline.length_ms)
    return Leading(
        begin(begun.steps, begun.word_ms, begun.opened.sound_ms, timeline),
        begun.mixed(),
        speaker,
        at_ms=_resumed_ms(begun, path, digest) if resume else 0,
        journal=noted,
        kept=_journal(),
        record=_recorded(usual, opened) if log is None else _begun_record(log, opened),
        ends_in_ms=ends_in_ms,
        unspoken=begun.unspoken,
        fills_slot=begun.steps.slot_ms is not None,
    )


def _begun_record(path: Path, opened: "ClassOpened") -> "Record":
    """A record that a class begins. Raises MachineTrouble where it cannot be written."""
    from guide.live.record import Record

    record = Record(path)
    record.add(opened)
    return record


def _recorded(path: Path, opened: "ClassOpened") -> "Record | None":
    """A record that nobody asked for: where it cannot be written, that is told and the class is led without."""
    try:
        return _begun_record(path, opened)
    except MachineTrouble as trouble:
        said_aside(str(trouble))
        return None


def _resumed_ms(begun: "Begun", path: str, digest: str) -> int:
    """Where a class that was broken off goes on: at the start of the step that was under way.

    Raises:
        UnusableChoice: no class was broken off, or it was another one.
    """
    from guide.live.journal import bookmark_in

    kept = bookmark_in(_journal_path())
    if kept is None:
        raise UnusableChoice("no class was broken off here (play it from the beginning, without --resume)")
    if (kept.file, kept.digest) != (path, digest) or kept.step >= len(begun.timeline.spans):
        raise UnusableChoice(f"what was broken off is {kept.file} as it was then (play this one without --resume)")
    return begun.timeline.spans[kept.step].start_ms
