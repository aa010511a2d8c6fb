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
