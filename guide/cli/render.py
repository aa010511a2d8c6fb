"""`guide render`: the track of a class, with its captions and chapters beside it."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.make_ready import STDIN, ReadyClass, VoiceChoice, each, make_ready, progress_bar
from guide.cli.options import files_argument, slot_option, voice_options
from guide.problem import UnusableChoice
from guide.sequence.caution import CAUTION
from guide.sequence.steps import CueKind
from guide.units import RATE_HZ, clock, so_many

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from guide.export.tags import Tags
    from guide.sound.loudness_meter import Meter
    from guide.sound.mixer import Mix

CAPTION_KINDS = ("vtt", "srt", "lrc", "none")


@click.command(name="render")
@files_argument
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="PATH",
    help="The file to write, or a folder for several; its ending chooses the format. "
    "Without it, the class's own name with .mp3, in the current folder.",
)
@click.option("--format", "suffix", metavar="NAME", help="mp3, m4a, opus, ogg, flac or wav, where PATH does not say.")
@click.option(
    "--captions",
    type=click.Choice(CAPTION_KINDS),
    multiple=True,
    default=("vtt",),
    show_default=True,
    help="Captions to write beside the track; may be given more than once.",
)
@click.option(
    "--loudness",
    type=click.FloatRange(-30.0, -14.0),
    default=-18.0,
    show_default=True,
    metavar="LUFS",
    help="How loud the track is as a whole; louder is nearer to 0.",
)
@slot_option
@voice_options
@click.pass_context
def command(
    ctx: click.Context,
    files: tuple[str, ...],
    output: Path | None,
    suffix: str | None,
    captions: tuple[str, ...],
    loudness: float,
    slot_ms: int | None,
    voice: str | None,
    voice_rate: float | None,
) -> None:
    """Make the sound file of a class, with its captions.

    The sections become chapters in the file's tags, and the captions stand in a file of the same name beside it. The
    old file of that name stays until the new one is whole. FILE is a class file; `-` reads one from standard input.
    """
    targets = _targets(files, output, suffix)
    choice = VoiceChoice(voice, voice_rate)

    def render(file: str) -> None:
        ready = make_ready(file, choice, slot_ms)
        target = targets.get(file) or Path(f"{_slug(ready.class_file.title)}.{suffix or 'mp3'}")
        click.echo(render_class(ready, target, captions, loudness))

    ctx.exit(each(files, render))


def render_class(ready: ReadyClass, target: Path, captions: tuple[str, ...], loudness_lufs: float) -> str:
    """Write the track and what belongs beside it; returns the line that says what was made.

    Raises:
        GuideError: the target or the format cannot be had, or the machine cannot write it.
    """
    from guide.export.audio import write_audio
    from guide.export.captions import write_captions
    from guide.sound.loudness_meter import Meter
    from guide.sound.mixer import prepare

    mix = prepare(ready.timeline, ready.spoken, ready.palette, loudness_lufs)
    meter = Meter(RATE_HZ)
    with progress_bar(f"Writing {target.name}") as told:
        write_audio(target, _heard(mix, meter, told), _tags(ready))
    beside = [kind for kind in captions if kind != "none"]
    for kind in beside:
        write_captions(target.with_suffix(f".{kind}"), ready.timeline)
    if beside and ready.timeline.chapters:
        write_captions(target.with_suffix(".chapters.vtt"), ready.timeline)
    return _said(ready, target, meter)


def _heard(mix: "Mix", meter: "Meter", told: Callable[[int, int], None]) -> Iterator["NDArray[np.float32]"]:
    """The blocks of the class (the same in both channels) from its beginning to its end, measured as they go by."""
    from guide.sound.mixer import BLOCK_FRAMES, centre

    for first in range(0, mix.length_frames, BLOCK_FRAMES):
        sound = centre(mix, first, min(BLOCK_FRAMES, mix.length_frames - first))
        meter.feed(sound)
        yield sound
        told(first + len(sound), mix.length_frames)


def _tags(ready: ReadyClass) -> "Tags":
    from guide.export.chapters import chapters
    from guide.export.tags import Tags

    return Tags(
        title=ready.class_file.title,
        by=ready.class_file.by,
        date=ready.class_file.date,
        comment=" ".join(filter(None, (ready.class_file.about, CAUTION))),
        chapters=chapters(ready.timeline),
        length_ms=ready.timeline.length_ms,
    )


def _said(ready: ReadyClass, target: Path, meter: "Meter") -> str:
    timeline = ready.timeline
    cues = sum(cue.kind is not CueKind.COUNT for cue in timeline.cues)
    parts = f"{so_many(cues, 'cue')}, {so_many(len(timeline.chapters), 'section')}"
    levels = f"{meter.integrated:.1f} LUFS, peak {meter.true_peak:.1f} dBTP"
    return f"{target}: {clock(timeline.length_ms)}, {parts}, {levels}"


def _targets(files: tuple[str, ...], output: Path | None, suffix: str | None) -> dict[str, Path]:
    """Where each class goes; one from standard input without a name of its own is named after its title, later.

    Raises:
        UnusableChoice: two classes would go to the same file, or a name has an ending that no format has.
    """
    from guide.export.audio import format_of

    folder = output is not None and (len(files) > 1 or output.is_dir())
    targets: dict[str, Path] = {}
    for file in files:
        if output is not None and not folder:
            targets[file] = output
        elif file != STDIN:
            name = f"{Path(file).stem}.{(suffix or 'mp3').lstrip('.')}"
            targets[file] = output / name if output is not None else Path(name)
    for file, target in targets.items():
        format_of(target)
        twins = [other for other, place in targets.items() if place == target and other != file]
        if twins:
            raise UnusableChoice(f"{file} and {twins[0]} would both become {target} (render them one by one with -o)")
    if folder and output is not None and not output.is_dir():
        raise UnusableChoice(f"{output}: is not a folder, and {len(files)} classes need one (make it first)")
    return targets


def _slug(title: str) -> str:
    return re.sub(r"[^\w]+", "-", title.lower()).strip("-") or "class"
