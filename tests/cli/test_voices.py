"""`guide voices`: lists what the machine has, writes a sample, and gives the room of kept words back."""

from pathlib import Path

import pytest
import soundfile
from click.testing import CliRunner, Result

from guide.cli import main
from guide.problem import MachineTrouble
from guide.voice import system
from guide.voice.system import MachineVoice, MachineVoices, no_library

VOICES = MachineVoices(
    "espeak 1.51",
    (MachineVoice("gmw/en-us", "English (America)", ("en-us",)), MachineVoice("gmw/de", "German", ("de",))),
)


@pytest.fixture(autouse=True)
def cache_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("GUIDE_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def voices(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["voices", *arguments])


def test_it_lists_the_natural_voice_and_the_english_ones_of_the_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(system, "machine_voices", lambda: VOICES)
    result = voices()
    assert result.exit_code == 0
    assert result.output == (
        "natural  the natural voice, in English; it speaks unless another is named\n"
        "own      your own voice: what `guide record` has kept beside a class; the natural voice says the rest\n"
        "system   the voice that this machine takes by itself (espeak 1.51)\n"
        "system:gmw/en-us  English (America) (en-us)\n"
        "and 1 in other languages: guide voices --all\n"
    )
    assert "system:gmw/de     German (de)\n" in voices("--all").output


def test_it_says_what_is_missing_and_what_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    def none() -> MachineVoices:
        raise MachineTrouble(no_library())

    monkeypatch.setattr(system, "machine_voices", none)
    monkeypatch.setattr("sys.platform", "linux")
    result = voices()
    assert result.exit_code == 0
    assert result.output.splitlines()[2:] == [
        "system   (missing)",
        "         this machine has no speech engine of its own",
        "         type: sudo apt install espeak-ng",
        "         or: python -m pip install 'practice-guide[espeak]'",
    ]


def test_a_sample_takes_the_place_of_samples_alone_and_its_room_is_given_back(
    tmp_path: Path, cache_of_its_own: Path
) -> None:
    file = tmp_path / "hello.wav"
    result = voices("--sample", str(file), "--voice-rate", "1.2", "--text", "Breathe in.")
    assert result.exit_code == 0, result.output
    info = soundfile.info(file)
    assert (info.samplerate, info.channels, info.subtype) == (48_000, 1, "PCM_16")
    assert 0.5 < info.duration < 2
    assert result.output == f"Wrote {file} ({_shown(info.duration)}, natural)\n"
    taken_place_of(file, "--voice-rate", "1.2", "--text", "Breathe in.")
    # With the words goes what the voice kept of itself to wake faster.
    kept = [path for path in cache_of_its_own.rglob("*") if path.is_file()]
    assert {path.suffix for path in kept} == {".clip", ".voice"}
    freed = sum(path.stat().st_size for path in kept)
    assert voices("--clear").output == f"Threw away 1 kept text: {freed / 1e6:.1f} MB freed in {cache_of_its_own}\n"
    assert voices("--clear").output == f"Threw away 0 kept texts: 0.0 MB freed in {cache_of_its_own}\n"


def taken_place_of(file: Path, *what: str) -> None:
    """A sample takes the place of a sample, and of no other file unless she says so."""
    assert voices("--sample", str(file), *what).exit_code == 0
    file.write_bytes(b"her own sound")
    refused = voices("--sample", str(file), *what)
    assert refused.exit_code == 2 and "this program did not make it" in refused.stderr
    assert file.read_bytes() == b"her own sound"
    assert voices("--sample", str(file), *what, "--force").exit_code == 0


def _shown(seconds: float) -> str:
    from guide.units import ms_from_frames, seconds_text

    return seconds_text(ms_from_frames(round(seconds * 48_000)))


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--sample", "x.mp3"], "x.mp3: a sample is a WAV file (write x.wav)"),
        (["--sample", "x.wav", "--text", "🙏"], "there is nothing in it that can be said (write words)"),
        (["--sample", "no/such/x.wav"], "there is no folder no/such"),
        (["--sample", "x.wav", "--voice", "natrual"], "there is no voice “natrual” (did you mean “natural”?)"),
        (["--sample", "x.wav", "--voice-rate", "3"], "3.0 is not in the range 0.5<=x<=2.0"),
        (["--text", "hello"], "a voice is heard in a sample (add --sample hello.wav)"),
    ],
)
def test_what_cannot_be_done_is_said_and_leaves_no_file(
    arguments: list[str], message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = voices(*arguments)
    assert result.exit_code == 2
    assert message in result.stderr
    assert not (tmp_path / "x.wav").exists()
