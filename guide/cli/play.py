"""`guide play`: a class led aloud, in its own time, over the loudspeaker of this machine."""

import re
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import STDIN, loaded, progress_bar
from guide.cli.class_place import where_ms
from guide.cli.log import NAME, log_folder
from guide.cli.options import balance_options, file_argument, level_option, slot_option, voice_options, words_option
from guide.cli.ready_check import show_ready
from guide.cli.under_way import (
    asked_to_end,
    ears_options,
    key_options,
    made_controls,
    pressed,
    said,
    said_aside,
    show,
    sound_options,
    take_up,
)
from guide.problem import MachineTrouble, UnusableChoice
from guide.ready.choices import VoiceChoice
from guide.sound.balance import factor

if TYPE_CHECKING:
    from guide.live.controls import Controls
    from guide.live.course import Course
    from guide.live.journal import Journal
    from guide.live.leading import Leading
    from guide.live.player import Ears
    from guide.live.record import Opened as ClassOpened
    from guide.live.record import Record
    from guide.live.speakers.reconnecting import ReconnectingSpeaker
    from guide.live.volume import Volume
    from guide.plan.thinning import WordsKept
    from guide.ready.make_ready import OpenClass
    from guide.ready.speak_ahead import Begun
    from guide.voice.worker_pool import Waking

#: A hold that is counted aloud can grow by so many breaths while the class runs.
SPARE_NUMBERS = 20


@click.command(name="play")
@file_argument
@slot_option
@level_option
@words_option
@click.option("--from", "begins", metavar="WHERE", help="Begin there: a line of the file, a time, or part of a name.")
@click.option("--start-at", metavar="HH:MM", help="Begin at this moment of the day, or when you press space before.")
@click.option("--end-at", metavar="HH:MM", help="End at this moment of the day; what is to come is fitted to it.")
@click.option("--resume", is_flag=True, help="Go on with this class where it was broken off, at the start of a step.")
@click.option("--attach", is_flag=True, help="Take up this class here that runs in another terminal, or in none.")
@click.option("--ready", is_flag=True, help="Say whether it can be led now: device, disk, clock, music, words, end.")
@sound_options
@ears_options
@balance_options
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
    level: str | None,
    words_kept: "WordsKept",
    begins: str | None,
    start_at: str | None,
    end_at: str | None,
    resume: bool,
    attach: bool,
    ready: bool,
    plain: bool,
    output: str | None,
    device: str,
    buffer_ms: int,
    words_to: str,
    chimes_to: str,
    voice_db: float,
    chimes_db: float,
    music_db: float,
    pedal: str | None,
    midi: str | None,
    pins: tuple[int, ...],
    log: Path | None,
    voice: str | None,
    voice_rate: float | None,
) -> None:
    """Lead a class aloud, and do as you ask with one key.

    Space or enter pauses and goes on; right (or page down) goes on to the next step, left (or page up) back to the
    start of this one, `p` to the one before; up and down hold it a breath longer or shorter, and `h` until told
    otherwise; `s` and `f` make the pace slower or faster; `r` repeats this side, `o` goes to the other; `v` and
    `V`, `c` and `C`, `m` and `M` make the voice, the chimes and the music louder and softer; `w` leaves names,
    breath and safety only, `W` brings all words back; `.` or `b` is silence now; `e` goes to the closing rest; `u`
    undoes the last of these; `q`, twice, ends. `guide keys` shows them all, and learns others.

    With --words fewer words are heard from the beginning, at the times of the whole class; the screen shows all of
    them. FILE is a class file, or the name of a class that comes with the program.
    """
    if file == STDIN:
        raise UnusableChoice("a class that is played needs a file of its own (standard input is for the keys)")
    if attach:
        take_up(_journal(file).path.with_suffix(".reach"), plain)
        return
    starts_s, ends_s = (_moment_s(moment) if moment else None for moment in (start_at, end_at))
    from guide.ready.early_voice import voice_waking

    with ThreadPoolExecutor(1) as aside, ExitStack() as closing:
        # The voice, which takes longest, and the device wake while the class is read.
        waking = None if ready else closing.enter_context(voice_waking(Path(file)))
        from guide.live.speakers.base import Wanted
        from guide.live.speakers.reconnecting import ReconnectingSpeaker
        from guide.live.speakers.sound_server import has_bluetooth

        speaker = ReconnectingSpeaker(Wanted(output, device, buffer_ms))
        opening = aside.submit(speaker.open)
        closing.callback(speaker.stop)
        sleepy = aside.submit(has_bluetooth)
        from guide.ready.make_ready import OpenClass

        with progress_bar("Cleaning your takes") as progress:
            opened = OpenClass.of(loaded(file, level), VoiceChoice(voice, voice_rate), slot_ms, progress)
        if opened.unrecorded:
            said_aside(opened.unrecorded)
        if ready:
            if not show_ready(opened, opening, speaker, ends_s, plain):
                raise click.exceptions.Exit(1)
            return
        with progress_bar("Reading the music") as progress:
            opened.music.make(progress)
        opening.result()
        if sleepy.result() and not opened.class_file.room_tone:
            opened = replace(opened, class_file=replace(opened.class_file, room_tone=True))
            said_aside("Room tone, too soft to hear, keeps the Bluetooth loudspeaker awake.")
        begun = _begun(opened, begins, waking)
        begun.keep(words_kept)
        from guide.live.player import SIDES, Ears
        from guide.live.volume import Volume

        ears = Ears(SIDES[words_to], SIDES[chimes_to])
        volume = Volume(*map(factor, (voice_db, chimes_db, music_db)))
        leading = _led(begun, file, _Moments(begins, resume, starts_s, ends_s), log, speaker, ears, volume)
        closing.callback(leading.stop)
        controls = made_controls(leading.order)
        closing.enter_context(pressed(pedal, midi, pins, controls))
        closing.enter_context(asked_to_end(controls))
        _lead(leading, controls, begun, plain, _journal(file).path.with_suffix(".reach"))
    if leading.unshown:
        said_aside(leading.unshown)
    if leading.is_whole:
        _journal(file).clear()


def _begun(opened: "OpenClass", begins: str | None, waking: "Waking | None") -> "Begun":
    from guide.ready.speak_ahead import make_begun

    with progress_bar("Speaking the words") as progress:
        return make_begun(
            opened,
            SPARE_NUMBERS,
            progress,
            lambda timeline: where_ms(timeline, opened.class_file.place.file, begins),
            waking,
            meanwhile=lambda: import_module("guide.live.leading"),
        )


def _lead(leading: "Leading", controls: "Controls", begun: "Begun", plain: bool, reach: Path) -> None:
    from guide.live.line_view import Lines
    from guide.priority import coming_first

    # A thread of ours that waits for its turn may keep the sound card's waiting.
    with coming_first():
        leading.start()
        begun.speak_on(leading.learn, leading.tell)
        show(leading, controls, lambda keys: Lines(said, keys, controls.typed), plain, reach)


def _moment_s(of_day: str) -> float:
    """When a moment of the day comes, on the steady clock; one that is past is tomorrow's."""
    from guide.live import steady_clock

    found = re.fullmatch(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", of_day)
    if found is None:
        raise UnusableChoice(f"`{of_day}` is no moment of the day (write one such as `19:15`)")
    now = datetime.now()
    moment = now.replace(hour=int(found[1]), minute=int(found[2]), second=0, microsecond=0)
    if moment <= now:
        moment += timedelta(days=1)
    return steady_clock.now_s() + (moment - now) / timedelta(seconds=1)


def _journal(file: str) -> "Journal":
    from platformdirs import user_state_path

    from guide.live.journal import Journal

    return Journal(user_state_path("practice-guide") / "under-way", str(Path(file).resolve()))


@dataclass(frozen=True, slots=True)
class _Moments:
    """Where the class begins, or that it goes on where it was; and when it begins and ends, on the steady clock."""

    begins: str | None
    resumes: bool
    starts_s: float | None
    ends_s: float | None


def _led(
    begun: "Begun",
    file: str,
    moments: _Moments,
    log: Path | None,
    speaker: "ReconnectingSpeaker",
    ears: "Ears",
    volume: "Volume",
) -> "Leading":
    from guide.live.course import Course, begin
    from guide.live.journal import Bookmark, digest_of
    from guide.live.leading import Leading
    from guide.live.record import Opened as ClassOpened
    from guide.live.resuming import changes_of
    from guide.live.volume import Volume
    from guide.plan.step_names import step_names

    path = str(Path(file).resolve())
    digest = digest_of(Path(file).read_bytes())
    journal, now, timeline = _journal(file), datetime.now(), begun.timeline
    planned = begin(begun.steps, begun.word_ms, begun.opened.sound_ms, timeline)
    names = step_names(timeline.spans)

    def bookmark(step: int, course: Course, volume: Volume) -> Bookmark:
        changes = changes_of(course, planned.steps.steps)
        return Bookmark(
            path, digest, step, changes, tuple(sorted(course.few)), volume.voice, volume.bells, names, volume.music
        )

    course, at_ms = planned, where_ms(timeline, begun.opened.class_file.place.file, moments.begins)
    if moments.resumes:
        course, at_ms, volume = _resumed(planned, journal, (path, digest), names)
    opened = ClassOpened(
        timeline.title, path, digest, now.isoformat(timespec="seconds"), course.timeline.length_ms, from_ms=at_ms
    )
    return Leading(
        course,
        begun.mixed(),
        speaker,
        at_ms=at_ms,
        volume=volume,
        bookmark=bookmark,
        journal=journal,
        record=_record(log or log_folder() / f"{now.strftime(NAME)} {Path(file).stem}.jsonl", opened),
        starts_s=moments.starts_s,
        ends_s=moments.ends_s,
        unspoken=begun.unspoken,
        fills_slot=begun.steps.slot_ms is not None,
        ears=ears,
        news=begun.opened.music.news,
    )


def _record(path: Path, opened: "ClassOpened") -> "Record | None":
    """A record that a class begins. Where it cannot be written, that is told and the class is led without."""
    from guide.live.record import Record

    record = Record(path)
    try:
        record.add(opened)
    except MachineTrouble as trouble:
        said_aside(str(trouble))
        return None
    return record


def _resumed(
    planned: "Course", journal: "Journal", file: tuple[str, str], names: Sequence[str]
) -> "tuple[Course, int, Volume]":
    """A class that was broken off, as orders had made it, and how loud it was; at the start of the step under way.

    `file` is its path and its digest, `names` are those of its steps.

    Raises:
        UnusableChoice: no class was broken off, or it was another one.
    """
    from guide.live.resuming import changed, in_plan
    from guide.live.volume import Volume
    from guide.plan.moment import begins_ms

    kept = journal.bookmark()
    if kept is None:
        raise UnusableChoice("this class was not broken off (play it from the beginning, without --resume)")
    if (kept.file, kept.digest) != file:
        what = f"what was broken off is {kept.file} as it was then"
        raise UnusableChoice(f"{what} (play this one without --resume)")
    try:
        now = in_plan(kept, names)
        course = changed(planned, now.changes, now.few)
        return course, begins_ms(course.timeline, now.step), Volume(now.voice, now.bells, now.music)
    except (ValueError, IndexError, KeyError) as error:
        what = "where this class was broken off is not told by the plan that it has now"
        raise UnusableChoice(f"{what} (go on with --from, and a time or a pose)") from error
