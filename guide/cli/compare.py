"""`guide compare`: a class that was taught, beside its plan, from whatever tells of it."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import loaded, progress_bar
from guide.cli.compare_history import check_history, history_of, told_history
from guide.cli.comparison_options import (
    captioned,
    check_captions,
    check_chapters,
    check_choices,
    check_page,
    class_bytes,
    keep_options,
    offered,
    report_options,
    reported,
)
from guide.cli.heard_words import check_hearing, model_option, words_heard
from guide.cli.options import file_argument, level_option, slot_option
from guide.cli.tell import tell
from guide.cli.write_back import check_has_file
from guide.problem import UnusableChoice
from guide.ready.choices import VoiceChoice

if TYPE_CHECKING:
    from guide.export.replacing import Replace
    from guide.plan.advice.view import ClassView
    from guide.plan.timeline import Timeline
    from guide.review.captions.transcript import Transcript
    from guide.review.comparison import Comparison
    from guide.sequence.steps import Steps


@click.command(name="compare")
@file_argument
@click.argument("recordings", metavar="RECORDING [SOUND]", type=click.Path(path_type=Path), nargs=-1)
@slot_option
@level_option
@click.option("--hear", is_flag=True, help="Hear the words of a recording too, and compare by them.")
@model_option
@report_options
@click.option(
    "--history",
    "is_history",
    is_flag=True,
    help="Show performances beside each other, each RECORDING one of them; without any, those held here from FILE.",
)
@click.option(
    "--chapters",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="Write when sections really began, for a video of it: .vtt, .txt (lines to paste), .ffmetadata, or a copy "
    "of the recording that has them in it, .mp4 (.m4v, .m4a, .mov, .mkv).",
)
@click.option(
    "--captions",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="Write what was said as captions to be read, .vtt or .srt, with misheard names of poses mended.",
)
@keep_options
def command(
    file: str,
    recordings: tuple[Path, ...],
    slot_ms: int | None,
    level: str | None,
    hear: bool,
    model: Path | None,
    as_json: bool,
    html: Path | None,
    replacing: "Replace",
    is_history: bool,
    chapters: Path | None,
    captions: Path | None,
    keep: bool,
    as_taught: bool,
    yes: bool,
) -> None:
    """Show when each step of a class really began, beside its plan.

    RECORDING is one of four. Captions of the class: WebVTT, SubRip, ASS, TTML, JSON, a table with tabs, or lines that
    begin with a time, such as `1:05 Lift your arms`; those made by a machine will do: misheard names, lines that are
    missing or said twice and long captions without a full stop make it less sure, and it says how sure it is of every
    step. With the SOUND of the same class (or a film) behind captions, words say which step it is, and the voice says
    when. Sound alone, in which only where somebody speaks is listened to, so that it is less sure; with --hear, and the
    extra of that name, its words are heard on this machine, and kept beside it. What `guide rehearse` and `guide
    play` wrote down. Or a comparison that `--json` printed.

    One line for each step: when it began, how long it was planned and how long it took. Below stand how long the class
    would be, what ran over most, both sides beside each other, how much was spoken and how fast, and where left and
    right were exchanged. FILE is a class file, or the name of a class that comes with the program; `-` reads one from
    standard input. No voice is needed: words that were not spoken before, as by `guide plan`, are taken to last as long
    as is estimated.
    """
    check_choices(keep, as_taught, yes)
    _check_recordings(recordings, hear, is_history)
    inputs = {Path(file): "the class file itself"} | dict.fromkeys(recordings, "what the class is compared with")
    check_page(html, inputs, replacing)
    if is_history:
        check_history(chapters, captions, hear, model)
    else:
        check_hearing(recordings[-1], hear, model)
        check_chapters(chapters, inputs, replacing)
        check_captions(captions, recordings, hear, inputs, replacing)
    if keep:
        check_has_file(file)
    raw = class_bytes(file)
    view = _planned(file, level, slot_ms)
    steps, timeline = view.steps, view.timeline
    if is_history:
        history = history_of(file, recordings, lambda path: _compared(steps, timeline, (path,), False, None)[0])
        told_history(history, as_json, html, replacing)
        comparisons = history.comparisons
    else:
        comparison, transcript = _compared(steps, timeline, recordings, hear, model)
        reported(comparison, view, as_json, html, replacing, tell)
        if chapters is not None:
            from guide.export.registry import TAUGHT_CHAPTERS, exporter_of, write_one

            write_one(comparison, exporter_of(chapters, TAUGHT_CHAPTERS), chapters, replacing)
        if captions is not None:
            from guide.review.recordings import words_among

            tell(captioned(captions, timeline, comparison, transcript or words_among(recordings), replacing), err=True)
        comparisons = (comparison,)
    if keep:
        offered(file, raw, steps, timeline, comparisons, as_taught, yes)


def _check_recordings(recordings: tuple[Path, ...], hear: bool, is_history: bool) -> None:
    if is_history:
        return
    if not recordings:
        raise click.UsageError("Missing argument 'RECORDING [SOUND]'.")
    if len(recordings) > 2 or (len(recordings) == 2 and hear):
        what = "its words are to be heard" if hear else "captions and their sound are two files"
        fix = "give no more than those, or add --history to show several performances"
        raise UnusableChoice(f"{recordings[-1]}: {what} ({fix})")


def _compared(
    steps: "Steps", timeline: "Timeline", recordings: tuple[Path, ...], hear: bool, model: Path | None
) -> "tuple[Comparison, Transcript | None]":
    """The class by what was recorded of it; and the words that were heard in it, where they were to be."""
    from guide.draft.talk_reader import read_talk
    from guide.review.recordings import by_heard_words, compare_recording, compare_two
    from guide.sequence.poses.usual_names import usual_names
    from guide.sequence.steps import StepKind

    recording = recordings[-1]
    names = (*(span.title for span in timeline.spans if span.kind is StepKind.POSE), *usual_names())
    transcript = words_heard(recording, names, model) if hear else None
    with progress_bar(f"Listening to {recording.name}") as progress:
        if transcript is not None:
            comparison, why = by_heard_words(steps, timeline, transcript, recording, progress, read_talk)
        elif len(recordings) == 2:
            comparison, why = compare_two(steps, timeline, recordings, progress, read_talk), ""
        else:
            comparison, why = compare_recording(steps, timeline, recording, progress, read_talk), ""
    if why:
        tell(f"Compared by words alone: {why}.", err=True)
    return comparison, transcript


def _planned(file: str, level: str | None, slot_ms: int | None) -> "ClassView":
    """The class with its plan, without a voice."""
    from guide.ready.advise import planned_view
    from guide.ready.make_ready import OpenClass

    opened = OpenClass.of(loaded(file, level), VoiceChoice(), slot_ms)
    return planned_view(opened.class_file, *opened.planned(opened.known_lengths()))
