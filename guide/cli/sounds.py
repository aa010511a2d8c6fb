"""`guide sounds`: the bells and chimes of the palette, listed, made anew, or heard."""

import sys
from pathlib import Path

import click

from guide.cli.tell import tell
from guide.problem import MachineTrouble, UnusableChoice
from guide.sequence.sound_names import DEFAULT_SOUNDS, PALETTE

#: simpleaudio ends the program without a word on later versions of Python (its issues #72, #74 and #76).
_LAST_PYTHON_THAT_PLAYS = (3, 11)


@click.command(name="sounds")
@click.option(
    "--write", "folder", type=click.Path(path_type=Path), metavar="DIR", help="Make every sound as a WAV file in DIR."
)
@click.option("--play", "name", metavar="NAME", help="Play one sound through the loudspeaker.")
def command(folder: Path | None, name: str | None) -> None:
    """List the bells and chimes that a class may ring.

    A class file names them under `sounds:`, or a sound file of your own (WAV, FLAC, MP3, Ogg or M4A) in its folder.
    """
    if name is not None:
        _play(name)
    if folder is not None:
        _write(folder)
    if name is None and folder is None:
        _list()


def _list() -> None:
    from guide.sound.bells import RECIPES
    from guide.units import seconds_text

    used = {sound: role for role, sound in DEFAULT_SOUNDS.items()}
    width = max(map(len, PALETTE))
    for name, what in PALETTE.items():
        role = f" (default for {used[name]})" if name in used else ""
        tell(f"{name:<{width}}  {seconds_text(RECIPES[name].length_ms):>6}  {what}{role}")


def _write(folder: Path) -> None:
    from guide.sound.bells import write

    try:
        paths = write(folder)
    except OSError as cause:
        raise MachineTrouble(f"{folder}: the sounds cannot be written there: {cause.strerror or cause}") from cause
    for path in paths:
        tell(str(path))


def _play(name: str) -> None:
    """Play a sound to its end."""
    if name not in PALETTE:
        raise UnusableChoice(f"sound {name!r}: the palette has {', '.join(PALETTE)}")
    if sys.version_info[:2] > _LAST_PYTHON_THAT_PLAYS:
        raise MachineTrouble(
            "playing from here works with Python 3.11 only; type: guide sounds --write . and open the file"
        )
    try:
        import simpleaudio
        from simpleaudio._simpleaudio import SimpleaudioError
    except ImportError as cause:
        first = "sudo apt install libasound2-dev gcc && " if sys.platform.startswith("linux") else ""
        raise MachineTrouble(f"to play a sound from here, type: {first}pip install 'practice-guide[play]'") from cause
    from guide.sound.bells import pcm
    from guide.units import RATE_HZ

    try:
        simpleaudio.play_buffer(pcm(name), 1, 2, RATE_HZ).wait_done()
    except SimpleaudioError as cause:
        raise MachineTrouble(f"there is no loudspeaker that can be used: {cause}") from cause
