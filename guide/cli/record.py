"""`guide record`: the lines of a class in the teacher's own voice, kept as takes beside it."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.class_argument import loaded
from guide.cli.heard_words import model_option
from guide.cli.options import file_argument, force_option, level_option
from guide.cli.record_lines import Ways, list_lines, record_lines
from guide.cli.under_way import key_options, sound_options
from guide.problem import UnusableChoice
from guide.ready.choices import VoiceChoice

if TYPE_CHECKING:
    from guide.export.replacing import Replace


@click.command(name="record")
@file_argument
@click.option(
    "--from",
    "recording",
    type=click.Path(path_type=Path),
    metavar="RECORDING",
    help="Cut a recording of the whole script into takes.",
)
@click.option("--keep-doubtful", is_flag=True, help="With --from: keep the takes that it is not sure of, too.")
@model_option
@click.option(
    "--script",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="Write the lines to read, as a page to print: .html, .pdf or .txt.",
)
@click.option("--missing", is_flag=True, help="With --script: only lines of which there is no take yet.")
@click.option("--list", "lists", is_flag=True, help="Say which lines have a take, and which have none yet.")
@click.option("--flow", is_flag=True, help="A line ends by its silence, and the next one begins: no key is needed.")
@level_option
@force_option
@sound_options
@key_options
def command(
    file: str,
    recording: Path | None,
    keep_doubtful: bool,
    model: Path | None,
    script: Path | None,
    missing: bool,
    lists: bool,
    flow: bool,
    level: str | None,
    replacing: "Replace",
    output: str | None,
    device: str,
    buffer_ms: int,
    plain: bool,
    pedal: str | None,
    midi: str | None,
    pins: tuple[int, ...],
) -> None:
    """Record the lines of a class in your own voice.

    The screen shows one line after the other, with the time that it may last. Space counts you in, ends the take, and
    keeps it; `p` plays it back, `r` records it again; right and left go to other lines, `f` lets it go on by itself,
    `q` ends. What is too loud, soft, noisy, roomy, long or silent is said with its number. It goes on next time where
    it stopped.

    --script writes what to read: every line once, by section, with the time that it may last. Read it aloud with two
    seconds of quiet between lines, and --from cuts the recording into takes: sound or a film of any kind that `guide
    compare` reads. Lines are matched in order, by their lengths and pauses, and with the extra `hear` by their words as
    well, which is much surer. Of a line that was read several times the last counts; what is no line is left out. What
    is not sure is listed with its time, for you to hear, and not kept. The recording is left as it is.

    Takes are kept in the folder `takes` beside FILE, by what they say: one serves all classes there.
    """
    from guide.cli.record_reading import keep_reading
    from guide.cli.record_script import write_script
    from guide.ready.make_ready import OpenClass
    from guide.record.lines import reading_lines
    from guide.voice.registry import DEFAULT
    from guide.voice.takes.store import Takes

    _check_choices(recording, keep_doubtful, model, script, missing)
    written = loaded(file, level)
    opened = OpenClass.of(written, VoiceChoice(DEFAULT), None)
    lines, takes = reading_lines(opened), Takes.in_folder(written.folder)
    if script is not None:
        title = opened.class_file.title
        write_script(script, title, lines, written.never_written_over(), replacing, takes if missing else None)
    if recording is not None:
        keep_reading(recording, lines, takes, keep_doubtful, model)
    if lists:
        list_lines(lines, takes)
    if script is None and recording is None and not lists:
        from guide.live.speakers.base import Wanted

        ways = Ways(Wanted(output, device, buffer_ms), plain, pedal, midi, pins)
        record_lines(file, opened.class_file.title, lines, takes, flow, ways)


def _check_choices(
    recording: Path | None, keep_doubtful: bool, model: Path | None, script: Path | None, missing: bool
) -> None:
    """Refuse what goes with another option where that is not given. Raises UnusableChoice."""
    if recording is None and (keep_doubtful or model is not None):
        raise UnusableChoice(f"{'--keep-doubtful' if keep_doubtful else '--model'} goes with --from (add it)")
    if script is None and missing:
        raise UnusableChoice("--missing goes with --script (add it)")
