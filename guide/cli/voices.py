"""`guide voices`: the voices of this machine, a sample of one, and the kept words thrown away."""

import wave
from pathlib import Path
from typing import TYPE_CHECKING

import click

from guide.cli.options import force_option, voice_options
from guide.cli.tell import tell
from guide.problem import MachineTrouble, Place, UnusableChoice
from guide.ready.choices import USUAL_RATE

if TYPE_CHECKING:
    from guide.export.replacing import Replace
    from guide.voice.system import MachineVoice

SAMPLE = "Inhale, lift your arms. Exhale, fold over your legs. Stay here for 5 breaths."


@click.command(name="voices")
@click.option("--sample", "file", type=click.Path(path_type=Path), metavar="FILE", help="Write a sample to a WAV file.")
@force_option
@voice_options
@click.option("--text", metavar="WORDS", help="What the sample says; a few plain cues where none is given.")
@click.option("--all", "every", is_flag=True, help="List the voices of all languages, not only the English ones.")
@click.option("--clear", is_flag=True, help="Throw away the words kept from earlier classes; they are spoken anew.")
def command(
    file: Path | None,
    replacing: "Replace",
    voice: str | None,
    voice_rate: float | None,
    text: str | None,
    every: bool,
    clear: bool,
) -> None:
    """List the voices of this machine, or hear one.

    Name a voice in a class file (`voice: {name: system}`) or with --voice. To hear one before you choose, write a
    sample: `guide voices --sample hello.wav --voice system --voice-rate 0.9`.

    Words are kept once they have been spoken, so that the next plan of a class is quick. --clear gives the room back.
    """
    if file is None and (voice, voice_rate, text) != (None, None, None):
        raise UnusableChoice("a voice is heard in a sample (add --sample hello.wav)")
    if clear:
        _clear()
    if file is not None:
        _sample(file, replacing, voice, voice_rate, text)
    if file is None and not clear:
        _list(every)


def _list(every: bool) -> None:
    from guide.voice.registry import DEFAULT, OWN
    from guide.voice.system import machine_voices

    tell(f"{DEFAULT}  the natural voice, in English; it speaks unless another is named")
    _say_what_natural_lacks()
    tell(f"{OWN}      your own voice: what `guide record` has kept beside a class; the natural voice says the rest")
    try:
        machine = machine_voices()
    except MachineTrouble as trouble:
        tell("system   (missing)")
        for line in str(trouble).splitlines():
            tell(f"         {line}")
        return
    tell(f"system   the voice that this machine takes by itself ({machine.engine})")
    shown = [voice for voice in machine.voices if every or _is_english(voice)]
    width = max((len(voice.voice_id) for voice in shown), default=0)
    for voice in shown:
        tell(f"system:{voice.voice_id:<{width}}  {voice.name} ({', '.join(voice.languages) or 'no language'})")
    left = len(machine.voices) - len(shown)
    if left:
        tell(f"and {left} in other languages: guide voices --all")


def _say_what_natural_lacks() -> None:
    from guide.voice.natural import NaturalVoice

    try:
        _ = NaturalVoice().version
    except MachineTrouble as trouble:
        tell(f"         {trouble}")


def _is_english(voice: "MachineVoice") -> bool:
    return any(language.lower().startswith("en") for language in voice.languages)


def _sample(file: Path, replacing: "Replace", voice: str | None, rate: float | None, text: str | None) -> None:
    from guide.export.atomic_write import atomic_file, no_folder
    from guide.export.audio.wav import with_info
    from guide.export.replacing import check_may_replace
    from guide.export.seal import MADE_BY, whose_sound
    from guide.export.tags import Tags
    from guide.sound.clip_finish import FINISH
    from guide.units import RATE_HZ, seconds_text
    from guide.voice.class_clips import VoiceSettings, speak_all
    from guide.voice.registry import DEFAULT

    if file.suffix.lower() != ".wav":
        raise UnusableChoice(f"{file}: a sample is a WAV file (write {file.with_suffix('.wav')})")
    if not file.absolute().parent.is_dir():
        raise no_folder(file)
    check_may_replace(file, whose_sound, {}, replacing)
    words = SAMPLE if text is None else text
    settings = VoiceSettings(name=voice or DEFAULT, rate=rate or USUAL_RATE)
    spoken = speak_all([(words, Place("--text", 1, 1))], settings, FINISH)
    with atomic_file(file) as part:
        with wave.open(str(part), "wb") as sound:
            sound.setnchannels(1)
            sound.setsampwidth(2)
            sound.setframerate(RATE_HZ)
            sound.writeframes(spoken[words].astype("<i2").tobytes())
        part.write_bytes(with_info(part.read_bytes(), Tags("", made_by=MADE_BY)))
    tell(f"Wrote {file} ({seconds_text(spoken.length_ms(words))}, {settings.name})")


def _clear() -> None:
    from guide.voice.cache import Cache, cache_folder

    freed = Cache(cache_folder()).clear()
    count = "1 kept text" if freed.count == 1 else f"{freed.count} kept texts"
    tell(f"Threw away {count}: {freed.bytes / 1e6:.1f} MB freed in {cache_folder()}")
