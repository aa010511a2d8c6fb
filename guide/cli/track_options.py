"""What may be asked of a track, whichever command makes it."""

from collections.abc import Callable
from typing import Any, TypeVar

import click

from guide.ready.choices import USUAL_LUFS

#: Kinds of captions, with the ending of their names; `none` is no file.
CAPTION_KINDS = {"vtt": ".vtt", "srt": ".srt", "lrc": ".lrc", "exact": ".exact.vtt", "none": ""}

Function = TypeVar("Function", bound=Callable[..., Any])

captions_option = click.option(
    "--captions",
    type=click.Choice(list(CAPTION_KINDS)),
    multiple=True,
    default=("vtt",),
    show_default=True,
    metavar="KIND",
    help="Captions to write beside the track: vtt, srt or lrc for readers, exact (WebVTT) as the words are said, or "
    "none; may be given more than once.",
)

loudness_option = click.option(
    "--loudness",
    type=click.FloatRange(-30.0, -14.0),
    default=USUAL_LUFS,
    show_default=True,
    metavar="LUFS",
    help="How loud the track is as a whole; louder is nearer to 0.",
)


def _cover(ctx: click.Context, param: click.Parameter, value: str | None) -> Any:
    """The picture that a track bears: the bytes of a file, or what is drawn."""
    from pathlib import Path

    from guide.export.cover_image import read_cover
    from guide.problem import UnusableChoice
    from guide.ready.choices import Cover

    if value is None or value == Cover.NONE.value:
        return Cover.CLASS if value is None else Cover.NONE
    try:
        return read_cover(Path(value).read_bytes()).data
    except OSError as error:
        raise click.BadParameter(
            f"{value} cannot be read: {error.strerror} (give a PNG or a JPEG)", ctx, param
        ) from error
    except UnusableChoice as error:
        raise click.BadParameter(f"{value}: {error}", ctx, param) from error


cover_option = click.option(
    "--cover",
    callback=_cover,
    metavar="FILE",
    help="The picture that the track bears, a PNG or a JPEG, or none; without it, the class as a picture. A .wav has "
    "no place for one.",
)

again_option = click.option(
    "--again", is_flag=True, help="Make tracks in a folder anew, those too of which nothing has changed."
)


def unchanged(tracks: int) -> str:
    """What is told of tracks that were left as they were."""
    return f"{tracks} unchanged (--again makes {'it' if tracks == 1 else 'them'} anew)"


def channel_options(function: Function) -> Function:
    """`--stereo` and `--room-tone`."""
    stereo = click.option("--stereo", is_flag=True, help="Two channels, the same left and right, in twice the size.")
    tone = click.option(
        "--room-tone", is_flag=True, help="Noise too soft to hear in the quiet, so that no loudspeaker falls asleep."
    )
    return stereo(tone(function))
