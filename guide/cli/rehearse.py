"""`guide rehearse`: teach a class aloud beside its plan, and see how the time went."""

import sys
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import STDIN, loaded, progress_bar
from guide.cli.comparison_options import (
    check_choices,
    check_page,
    class_bytes,
    keep_options,
    offered,
    report_options,
    reported,
)
from guide.cli.log import NAME, log_folder
from guide.cli.options import file_argument, level_option, slot_option, voice_options
from guide.cli.under_way import asked_to_end, key_options, made_controls, pressed, said, said_aside, show, sound_options
from guide.problem import UnusableChoice
from guide.ready.choices import VoiceChoice

if TYPE_CHECKING:
    from guide.export.replacing import Replace
    from guide.live.controls import Controls
    from guide.live.speakers.base import Wanted
    from guide.plan.timeline import Timeline
    from guide.ready.make_ready import OpenClass
    from guide.rehearse.microphone_listener import MicrophoneListener
    from guide.rehearse.rehearsal_sound import RehearsalSound
    from guide.rehearse.rehearsing import Rehearsing
    from guide.review.comparison import Comparison
    from guide.sequence.steps import Steps


@click.command(name="rehearse")
@file_argument
@slot_option
@level_option
@click.option(
    "--sound",
    type=click.Choice(("none", "chimes", "whisper")),
    default="none",
    help="What is heard: nothing; the chimes and bells of the plan; or its words too, softly.",
)
@click.option(
    "--listen",
    is_flag=True,
    help="Listen through the microphone: when steps without a key began, how long you speak and are quiet.",
)
@click.option("--each-move", is_flag=True, help="A key at every move, not only at the end of moves that go together.")
@key_options
@sound_options
@click.option("--log", type=click.Path(path_type=Path), metavar="PATH", help="Write down what happens there.")
@voice_options
@report_options
@keep_options
def command(
    file: str,
    slot_ms: int | None,
    level: str | None,
    sound: str,
    listen: bool,
    each_move: bool,
    plain: bool,
    pedal: str | None,
    midi: str | None,
    pins: tuple[int, ...],
    output: str | None,
    device: str,
    buffer_ms: int,
    log: Path | None,
    voice: str | None,
    voice_rate: float | None,
    as_json: bool,
    html: Path | None,
    replacing: "Replace",
    keep: bool,
    as_taught: bool,
    yes: bool,
) -> None:
    """Teach a class aloud beside its plan, and see how the time went.

    The words go by as a script, those to say now marked three seconds ahead. You teach, and press one key at each
    change: right, page down or `n`, or a pedal. It begins with that key, or with space, and first shows what is ready;
    `?` lists the keys. Space pauses; left goes back to the start of this step, `p` to the one
    before; neither counts. Moves of one breath that go together are one change. `q` ends before the end.

    At the end stands each step as planned and as you taught it, both sides beside each other, and how long the class
    would be. What happened is kept: `guide compare FILE LOG` tells it again. FILE is a class file, or the name of a
    class that comes with the program.
    """
    if file == STDIN:
        raise UnusableChoice("a class that is rehearsed needs a file of its own (standard input is for the keys)")
    check_choices(keep, as_taught, yes)
    check_page(html, {Path(file): "the class file itself"}, replacing)
    if listen and sound == "whisper":
        raise UnusableChoice("with --listen the whispered words would be taken for yours (take --sound chimes)")
    has_keys = _has_keys(plain, pedal or midi, pins)
    if not (listen or has_keys):
        raise UnusableChoice("no key can be pressed here (rehearse in a terminal, or name a pedal with --pedal)")
    from guide.live.speakers.base import Wanted
    from guide.ready.advise import planned_view
    from guide.ready.make_ready import OpenClass

    raw = class_bytes(file)
    with progress_bar("Cleaning your takes") as progress:
        opened = OpenClass.of(loaded(file, level), VoiceChoice(voice, voice_rate), slot_ms, progress)
    if opened.unrecorded and sound == "whisper":
        said_aside(opened.unrecorded)
    path = log or log_folder() / f"{datetime.now().strftime(NAME)} {Path(file).stem}.jsonl"
    with ExitStack() as closing:
        steps, timeline, sounds = _sounded(opened, sound, Wanted(output, device, buffer_ms), closing)
        listener = _ear(timeline, closing) if listen else None
        rehearsing = _rehearsing(file, raw, steps, timeline, sounds, path, each_move, listener)
        closing.callback(rehearsing.stop)
        controls = made_controls(rehearsing.order)
        closing.enter_context(pressed(pedal, midi, pins, controls))
        closing.enter_context(asked_to_end(controls, _ends(pedal or midi, pins)))
        if not has_keys:
            rehearsing.start()
        _rehearse(rehearsing, controls, plain, said_aside if as_json else said)
    if not rehearsing.has_begun:
        said_aside("the rehearsal was left before it began")
        return
    if rehearsing.unshown:
        said_aside(rehearsing.unshown)
    asks = listen and not as_json and sys.stdin.isatty()
    comparison = _compared(steps, timeline, str(path), rehearsing, asks)
    reported(comparison, planned_view(opened.class_file, steps, timeline), as_json, html, replacing, said)
    if not as_json and path.exists():
        said(f"\nkept in {path}")
    if keep:
        offered(file, raw, steps, timeline, [comparison], as_taught, yes)


def _has_keys(plain: bool, pedal: str | None, pins: tuple[int, ...]) -> bool:
    """Whether a key can be pressed anywhere."""
    from guide.live.line_view import can_be_typed
    from guide.live.screen.process import can_draw, has_terminal

    has_screen = not plain and has_terminal() and can_draw()
    return has_screen or can_be_typed(sys.stdin) or pedal is not None or bool(pins)


def _ear(timeline: "Timeline", closing: ExitStack) -> "MicrophoneListener":
    """A microphone that is open. Raises MachineTrouble where there is none, or what hears a voice is not installed."""
    from guide.live.microphones.reconnecting import ReconnectingMicrophone
    from guide.rehearse.microphone_listener import MicrophoneListener
    from guide.review.hearing.voice_activity import silero

    listener = MicrophoneListener(timeline, silero(), ReconnectingMicrophone)
    listener.open()
    closing.callback(listener.stop)
    return listener


def _compared(steps: "Steps", timeline: "Timeline", name: str, rehearsing: "Rehearsing", asks: bool) -> "Comparison":
    """How it went; where a voice does not tell surely when a step began, the teacher is asked."""
    from guide.review.by_record import compare_record, listened_to, told

    found = told(rehearsing.events, steps, timeline, name)
    if asks and found.spoken:
        from guide.cli.ask_starts import answers

        for doubt, at_ms in answers(timeline, listened_to(timeline, name, found)):
            rehearsing.answer(doubt.step, at_ms)
        rehearsing.stop()
    return compare_record(steps, timeline, name, rehearsing.events)


def _sounded(
    opened: "OpenClass", sound: str, wanted: "Wanted", closing: ExitStack
) -> "tuple[Steps, Timeline, RehearsalSound]":
    """The steps, their plan, and what is heard of it. No voice is needed where no words are heard."""
    from guide.rehearse.rehearsal_sound import Quiet, Sounded

    if sound == "none":
        return *opened.planned(opened.known_lengths()), Quiet()
    from guide.live.speakers.reconnecting import ReconnectingSpeaker
    from guide.sound.mixer import prepare
    from guide.voice.late_clips import LateClips

    gathered = LateClips()
    if sound == "whisper":
        with progress_bar("Speaking the words") as progress:
            spoken, steps, timeline = opened.spoken(progress)
        gathered.add(spoken)
        heard = timeline
    else:
        steps, timeline = opened.planned(opened.known_lengths())
        heard = replace(timeline, cues=(), dips=())
    with progress_bar("Reading the music") as progress:
        tapes = opened.music.make(progress)
    speaker = ReconnectingSpeaker(wanted)
    speaker.open()
    closing.callback(speaker.stop)
    mix = prepare(heard, gathered, opened.palette, tapes=tapes)
    return steps, timeline, Sounded(mix, speaker, news=tapes.news)


def _rehearsing(
    file: str,
    raw: bytes,
    steps: "Steps",
    timeline: "Timeline",
    sounds: "RehearsalSound",
    path: Path,
    each_move: bool,
    listener: "MicrophoneListener | None",
) -> "Rehearsing":
    from guide.live.journal import digest_of
    from guide.live.record import REHEARSED, Record
    from guide.live.record import Opened as ClassOpened
    from guide.rehearse.changes import Moves, changes
    from guide.rehearse.rehearsing import Rehearsing

    whole, now = Path(file).resolve(), datetime.now().isoformat(timespec="seconds")
    begun = ClassOpened(timeline.title, str(whole), digest_of(raw), now, timeline.length_ms, REHEARSED)
    made = changes(steps, Moves.EACH if each_move else Moves.TOGETHER)
    record = Record(path)
    record.add(begun)
    return Rehearsing(steps, timeline, made, sounds, record, begun, listener)


def _ends(pedal: str | None, pins: tuple[int, ...]) -> tuple[int, ...]:
    """The signals that end a rehearsal: a terminal that goes does, unless a key can still be pressed somewhere."""
    import signal

    ends = [signal.SIGINT, signal.SIGTERM]
    if hasattr(signal, "SIGHUP") and pedal is None and not pins:
        ends.append(signal.SIGHUP)
    return tuple(ends)


def _rehearse(rehearsing: "Rehearsing", controls: "Controls", plain: bool, write: Callable[[str], None]) -> None:
    from guide.rehearse.script_line_view import ScriptLines

    show(rehearsing, controls, lambda keys: ScriptLines(write, keys, controls.typed), plain)
