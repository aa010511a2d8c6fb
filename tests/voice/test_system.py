"""The machine's own voices: every way that their engine can fail is told, and real espeak-ng speaks."""

import ctypes
import ctypes.util
import importlib.util
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import soundfile
from voice_fakes import PlainFinish, at

from guide.problem import MachineTrouble, UnusableChoice
from guide.sound.clip_finish import FINISH
from guide.voice import registry, system
from guide.voice.class_clips import VoiceSettings, speak_all
from guide.voice.protocol import VoiceFailed
from guide.voice.registry import open_voice
from guide.voice.system import LIBRARY, MachineVoice, MachineVoices, SystemVoice, ask, machine_voices
from guide.voice.system_child import NO_LIBRARY

#: No library has this name, so that only the one in the package espeakng-loader is left.
ABSENT = "libespeak-ng-that-is-absent.so.9"

#: How long a test waits for what has to come; it never has to.
LONGEST_S = 120.0

CHILDREN = {
    "import os; os._exit(7)": r"the machine's voice crashed \(exit code 7\): it said nothing",
    "import sys; print('espeak: bad data', file=sys.stderr); sys.exit(1)": r"crashed \(exit code 1\): espeak: bad data",
    'print(\'{"trouble": "ValueError: no such voice"}\')': "the machine's voice failed: ValueError: no such voice",
}


@pytest.mark.parametrize(("program", "reason"), CHILDREN.items(), ids=["crash", "dies", "trouble"])
def test_an_engine_that_fails_is_told(program: str, reason: str, tmp_path: Path) -> None:
    child = tmp_path / "child.py"
    child.write_text(program)
    with pytest.raises(VoiceFailed, match=reason):
        ask({"do": "list"}, LONGEST_S, child)


def test_an_engine_that_hangs_is_told(tmp_path: Path) -> None:
    child = tmp_path / "child.py"
    child.write_text("import threading; threading.Event().wait()")
    with pytest.raises(VoiceFailed, match="the machine's voice did not answer within 1 s"):
        ask({"do": "list"}, 1.0, child)


def test_a_machine_without_a_library_is_told_the_line_to_type(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    child = tmp_path / "child.py"
    child.write_text(f'print(\'{{"trouble": "{NO_LIBRARY}"}}\')')
    monkeypatch.setattr(sys, "platform", "linux")
    with pytest.raises(MachineTrouble) as caught:
        ask({"do": "list"}, LONGEST_S, child)
    assert not isinstance(caught.value, VoiceFailed)
    assert str(caught.value) == (
        "this machine has no speech engine of its own\n"
        "type: sudo apt install espeak-ng\n"
        "or: python -m pip install 'practice-guide[espeak]'"
    )


def test_a_sound_file_that_was_not_written_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(system, "ask", lambda order, limit_s: {})
    with pytest.raises(VoiceFailed, match="the machine's voice wrote no sound"):
        SystemVoice().speak("Inhale.", 1.0)


@pytest.mark.parametrize(("empty", "heard"), [(0, 100), (3, 100), (4, 0)])
def test_an_empty_sound_file_is_asked_for_again(empty: int, heard: int, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def ask_for(order: dict[str, str], limit_s: float) -> dict[str, str]:
        frames = 0 if len(asked) < empty else 100
        asked.append(order["path"])
        soundfile.write(order["path"], np.ones(frames, np.float32), 22_050)
        return {}

    monkeypatch.setattr(system, "ask", ask_for)
    assert SystemVoice().speak("Inhale.", 1.0).samples.size == heard
    assert len(set(asked)) == len(asked) == min(empty + 1, 4)


def test_a_voice_is_found_by_its_id_or_the_last_part_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    voices = (MachineVoice("gmw/en-us", "English", ("en-us",)), MachineVoice("gmw/de", "German", ("de",)))
    monkeypatch.setattr(system, "machine_voices", lambda library: MachineVoices("fake 1", voices))
    assert open_voice("system") == SystemVoice()
    assert open_voice("system:gmw/de").name == open_voice("system:de").name == "system:gmw/de"
    with pytest.raises(UnusableChoice, match=r"no voice “system:en-uk” \(did you mean system:gmw/en-us"):
        open_voice("system:en-uk")


@pytest.fixture
def espeak(needs: Callable[[bool, str], None]) -> SystemVoice:
    needs(ctypes.util.find_library("espeak-ng") is not None, "espeak-ng is not installed (apt install espeak-ng)")
    return SystemVoice()


@pytest.fixture
def espeak_of_the_package(needs: Callable[[bool, str], None]) -> SystemVoice:
    needs(importlib.util.find_spec("espeakng_loader") is not None, "the extra espeak is not installed")
    return SystemVoice(library=ABSENT)


@pytest.mark.real
def test_espeak_gives_the_same_sound_for_the_same_words(espeak: SystemVoice) -> None:
    clips = [espeak.speak("Step your right foot between your hands.", 1.0) for _ in range(8)]
    assert clips[0].rate_hz == 22_050
    assert len({clip.samples.tobytes() for clip in clips}) == 1
    assert 1.5 < clips[0].samples.size / 22_050 < 5


@pytest.mark.real
def test_espeak_speaks_faster_at_a_higher_rate_every_time(espeak: SystemVoice) -> None:
    """A setting made just before a save is lost about every other time unless it is waited for."""
    for _ in range(6):
        slow, fast = (espeak.speak("Fold over your legs and breathe.", rate).samples.size for rate in (0.5, 2.0))
        assert slow > 2.5 * fast


@pytest.mark.real
def test_espeak_lists_its_voices_and_speaks_with_the_one_asked_for(espeak: SystemVoice) -> None:
    ids = [voice.voice_id for voice in machine_voices(LIBRARY).voices]
    assert "gmw/en-us" in ids
    german, american = (open_voice(f"system:{name}").speak("Fold.", 1.0).samples for name in ("de", "en-us"))
    assert not np.array_equal(german, american)
    with pytest.raises(VoiceFailed, match=r"the machine's voice failed: .*nonsense"):
        SystemVoice("nonsense").speak("Fold.", 1.0)


@pytest.mark.real
def test_a_class_is_spoken_by_the_machine(espeak: SystemVoice) -> None:
    spoken = speak_all([("Tāḍāsana, 5 breaths", at(1)), ("Exhale.", at(2))], VoiceSettings("system"), FINISH)
    assert all(400 < spoken.length_ms(text) < 6000 for text in spoken)
    assert spoken["Exhale."].size > 0


@pytest.mark.real
def test_a_voice_that_fails_for_real_names_the_words_and_their_line(
    espeak: SystemVoice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(registry.ENGINES, "system", SystemVoice)
    with pytest.raises(MachineTrouble, match=r"class\.yaml:3:5: “Fold” could not be spoken: .*nonsense"):
        speak_all([("Fold", at(3))], VoiceSettings("system:nonsense"), PlainFinish())


@pytest.mark.real
def test_the_library_in_the_package_speaks_without_the_system_s(espeak_of_the_package: SystemVoice) -> None:
    clip = espeak_of_the_package.speak("Step your right foot between your hands.", 1.0)
    assert 1.5 < clip.samples.size / clip.rate_hz < 5
    assert "espeak 1." in espeak_of_the_package.version
