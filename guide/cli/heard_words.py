"""`--model`, and the words of a recording that a command hears, with a bar and the time that is left."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from guide.cli.class_argument import progress_bar
from guide.cli.tell import tell
from guide.problem import UnusableChoice

if TYPE_CHECKING:
    from guide.review.captions.transcript import Transcript

Function = TypeVar("Function", bound=Callable[..., Any])


def model_option(function: Function) -> Function:
    """`--model`: another model for the recogniser."""
    return click.option(
        "--model",
        type=click.Path(path_type=Path),
        metavar="FOLDER",
        help="The folder of a model for faster-whisper that hears words better than the small English one.",
    )(function)


def check_hearing(recording: Path, hear: bool, model: Path | None) -> None:
    """Refuse to hear what has words already, and a model that nothing is heard with. Raises UnusableChoice."""
    from guide.review.hearing.recorded_speech import is_recording

    if hear and not is_recording(recording):
        raise UnusableChoice(f"{recording}: this is no sound, and no film (leave out --hear)")
    if model is not None and not hear:
        raise UnusableChoice(f"--model {model} is for hearing words, and none are to be heard (leave it out)")


def words_heard(recording: Path, names: Sequence[str], model: Path | None) -> "Transcript":
    """The words of a recording, heard now or before; where they are kept is told beside the output.

    Raises what `heard` raises.
    """
    from guide.review.hearing.heard_words import heard

    with progress_bar(f"Hearing {recording.name}") as progress:
        found = heard(recording, names, model, progress)
    tell(f"The words are in {found.kept}." if found.kept else f"The words were not kept: {found.why}.", err=True)
    return found.transcript
