"""The machine's own voices, through pyttsx3: espeak-ng on Linux, those of the system on macOS and Windows."""

import json
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

from guide.problem import MachineTrouble, UnusableChoice
from guide.voice.lexicon import Pronunciation
from guide.voice.protocol import Clip, VoiceFailed, checked_rate
from guide.voice.system_child import NO_LIBRARY

#: Changes whenever this file makes the same text sound different.
_OURS = "2"

#: How fast rate 1.0 is: as fast as the natural voice, so that a class is about as long whoever speaks it.
WORDS_A_MINUTE = 215

#: An engine that takes longer hangs: 20 s, and a tenth of a second for each character.
_LIMIT_S = 20.0
_LIMIT_S_A_CHARACTER = 0.1

#: About one time in 1,000 espeak-ng 1.51 gives a file without a single sample (7 of 7,200 on a busy machine), and says
#: nothing; the same order works the next time.
MORE_TRIES = 3

#: The system's library; pyttsx3 looks for it under this name.
LIBRARY = "libespeak-ng.so.1"

_CHILD = Path(__file__).with_name("system_child.py")


@dataclass(frozen=True, slots=True)
class SystemVoice:
    """A voice of the machine, by its id; "" is the one that the engine takes by itself. See `protocol.Voice`."""

    voice_id: str = ""
    library: str = LIBRARY

    @property
    def name(self) -> str:
        return f"system:{self.voice_id}" if self.voice_id else "system"

    @property
    def version(self) -> str:
        return f"pyttsx3 {version('pyttsx3')}, {machine_voices(self.library).engine}, {_OURS}"

    def hint(self, said: Pronunciation) -> str:
        """Syllables in small letters: these engines spell out what stands in capitals."""
        return said.respelt.lower()

    def speak(self, text: str, rate: float) -> Clip:
        checked_rate(rate)
        clip = self._spoken(text, rate)
        for _ in range(MORE_TRIES):
            if clip.samples.size:
                break
            clip = self._spoken(text, rate)
        return clip

    def _spoken(self, text: str, rate: float) -> Clip:
        with tempfile.TemporaryDirectory(prefix="guide-") as folder:
            # A path of its own that does not exist yet: an engine that fails may leave an older file as it was.
            path = Path(folder) / "words.wav"
            order = {
                "do": "speak",
                "text": text,
                "voice": self.voice_id,
                "words_a_minute": round(WORDS_A_MINUTE * rate),
                "path": str(path),
                "library": self.library,
            }
            ask(order, _LIMIT_S + _LIMIT_S_A_CHARACTER * len(text))
            return _read(path)


@dataclass(frozen=True, slots=True)
class MachineVoice:
    """A voice as the machine lists it."""

    voice_id: str
    name: str
    languages: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MachineVoices:
    """Every voice of the machine, and the engine that has them, with its version."""

    engine: str
    voices: tuple[MachineVoice, ...]


def open_system(which: str) -> SystemVoice:
    """The machine's voice with the id `which` (its last part will do), or the one that its engine takes by itself.

    Raises:
        UnusableChoice: there is no such voice.
        MachineTrouble: the machine has no engine.
    """
    known = [voice.voice_id for voice in machine_voices(LIBRARY).voices]
    short = [one for one in known if one.rpartition("/")[2] == which]
    if which and which not in known and len(short) == 1:
        return SystemVoice(short[0])
    if which and which not in known:
        near = get_close_matches(which, known, n=3, cutoff=0.4)
        meant = f"did you mean {' or '.join(f'system:{one}' for one in near)}?" if near else "see `guide voices`"
        raise UnusableChoice(f"this machine has no voice “system:{which}” ({meant})")
    return SystemVoice(which)


@cache
def machine_voices(library: str = LIBRARY) -> MachineVoices:
    """What the machine's engine has. Raises MachineTrouble where there is none."""
    answer = ask({"do": "list", "library": library}, _LIMIT_S)
    voices = (MachineVoice(one["id"], one["name"], tuple(one["languages"])) for one in answer["voices"])
    return MachineVoices(answer["engine"].strip(), tuple(voices))


def ask(order: Mapping[str, object], limit_s: float, child: Path = _CHILD) -> dict[str, Any]:
    """Give an order to the engine in a process of its own, and return its answer.

    Raises VoiceFailed when it crashes, hangs or reports trouble, MachineTrouble when there is no engine.
    """
    try:
        # -P keeps this folder out of the child's path, where our file names would hide other libraries.
        done = subprocess.run(
            [sys.executable, "-P", str(child)],
            input=json.dumps(order),
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
            timeout=limit_s,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise VoiceFailed(f"the machine's voice did not answer within {limit_s:.0f} s") from error
    try:
        answer: dict[str, Any] = json.loads(done.stdout)
    except ValueError as error:
        last = (done.stderr.strip().splitlines() or ["it said nothing"])[-1]
        raise VoiceFailed(f"the machine's voice crashed (exit code {done.returncode}): {last}") from error
    if answer.get("trouble") == NO_LIBRARY:
        raise MachineTrouble(no_library())
    if "trouble" in answer:
        raise VoiceFailed(f"the machine's voice failed: {answer['trouble']}")
    return answer


def no_library() -> str:
    """That the machine has no voice, and what to type."""
    if sys.platform.startswith("linux"):
        mend = "type: sudo apt install espeak-ng\nor: python -m pip install 'practice-guide[espeak]'"
        return f"this machine has no speech engine of its own\n{mend}"
    return "this machine's speech engine does not start (the natural voice needs none: --voice natural)"


def _read(path: Path) -> Clip:
    import soundfile

    try:
        # Read by what is in it: on macOS the file is AIFF whatever its name.
        samples, rate_hz = soundfile.read(path, dtype="float32", always_2d=True)
    except (OSError, soundfile.LibsndfileError) as error:
        raise VoiceFailed("the machine's voice wrote no sound") from error
    return Clip(np.ascontiguousarray(samples[:, 0]), int(rate_hz))
