"""Arguments and options that several commands share."""

from collections.abc import Callable
from typing import Any, TypeVar

import click

from guide.ready.choices import USUAL_RATE
from guide.sound.balance import LEAST_DB, MOST_DB

SHORTEST_SLOT_MS = 1000

Function = TypeVar("Function", bound=Callable[..., Any])


def _slot_ms(ctx: click.Context, param: click.Parameter, value: str | None) -> int | None:
    """A time as class files write it, in whole milliseconds."""
    from guide.sequence.length_text import LONGEST_SLOT_MS, NotALength, read_time

    if value is None:
        return None
    try:
        slot_ms = read_time(value.strip())
    except NotALength as error:
        raise click.BadParameter(str(error), ctx, param) from error
    if not SHORTEST_SLOT_MS <= slot_ms <= LONGEST_SLOT_MS:
        raise click.BadParameter("a slot lasts 1 s to 12 h (write a time between them)", ctx, param)
    return slot_ms


slot_option = click.option(
    "--slot",
    "slot_ms",
    callback=_slot_ms,
    metavar="TIME",
    help="The time that the class should fill, such as `25 min`, in place of the file's own.",
)


#: The level that a class is read at where nothing is said.
USUAL_LEVEL = "middle"

level_option = click.option(
    "--level",
    metavar="NAME",
    help="The level of a class that marks some with `level:`: gentle, middle or strong; "
    f"{USUAL_LEVEL} where nothing is said.",
)


def _words_kept(ctx: click.Context, param: click.Parameter, value: str) -> Any:
    """How many words are kept."""
    from guide.plan.thinning import read_words

    kept = read_words(value.strip())
    if kept is None:
        what = f"`{value}` is not how many words are kept"
        raise click.BadParameter(f"{what} (write all, some, names, bells, or a share such as 70%)", ctx, param)
    return kept


words_option = click.option(
    "--words",
    "words_kept",
    default="all",
    show_default=True,
    callback=_words_kept,
    metavar="HOW",
    help="How many words are heard: all, some (half of what goes before names), names, bells (no words), or a share "
    "such as 70%. Nothing else moves.",
)


class ClassFileName(click.Path):
    """A class file, or the name of a shipped class, which becomes the path of its file."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The file that a name means."""
        from guide.sequence.shipped_folder import class_path

        return value if value == "-" else class_path(value)


def _replace(ctx: click.Context, param: click.Parameter, value: bool) -> Any:
    """What a file that is written may take the place of."""
    from guide.export.replacing import Replace

    return Replace.ANY if value else Replace.OWN


force_option = click.option(
    "--force",
    "replacing",
    is_flag=True,
    callback=_replace,
    help="Write over files that this program did not make, too; never over what is read.",
)

file_argument = click.argument("file", metavar="FILE", type=ClassFileName())
files_argument = click.argument("files", nargs=-1, required=True, metavar="FILE...", type=ClassFileName())


def voice_options(function: Function) -> Function:
    """`--voice` and `--voice-rate`, which go before what the class file says."""
    voice = click.option("--voice", metavar="NAME", help="The voice that speaks; `guide voices` lists them.")
    rate = click.option(
        "--voice-rate",
        type=click.FloatRange(0.5, 2.0),
        metavar="RATE",
        help=f"How fast it speaks: 1 is as the voice comes; {USUAL_RATE} where nothing is said, which suits a class.",
    )
    return voice(rate(function))


def balance_options(function: Function) -> Function:
    """`--voice-level`, `--chimes-level` and `--music-level`: what is louder or softer than usual."""
    for name, what in (("music", "the music is"), ("chimes", "chimes and bells are"), ("voice", "the words are")):
        function = click.option(
            f"--{name}-level",
            f"{name}_db",
            type=click.FloatRange(LEAST_DB, MOST_DB),
            default=0.0,
            metavar="DB",
            help=f"How much louder than usual {what}, in dB: -6 is half, {LEAST_DB:g} all but nothing.",
        )(function)
    return function
