"""Where the sound of a class goes: one file for each way to a loudspeaker, behind one protocol."""

from collections.abc import Callable, Mapping

from guide.live.speakers.base import Loudspeaker, Pull
from guide.live.speakers.miniaudio_speaker import MiniaudioSpeaker
from guide.live.speakers.pipe_speaker import PipeSpeaker
from guide.live.speakers.silent_speaker import SilentSpeaker
from guide.live.speakers.simpleaudio_speaker import SimpleaudioSpeaker
from guide.live.speakers.sounddevice_speaker import SounddeviceSpeaker
from guide.problem import MachineTrouble, UnusableChoice

#: Every output by its name, in the order in which they are tried.
SPEAKERS: Mapping[str, Callable[[], Loudspeaker]] = {
    "miniaudio": MiniaudioSpeaker,
    "pipe": PipeSpeaker,
    "sounddevice": SounddeviceSpeaker,
    "simpleaudio": SimpleaudioSpeaker,
    "silent": SilentSpeaker,
}

#: Those that are tried when nobody says which: silence is only had by asking for it.
TRIED = ("miniaudio", "pipe", "sounddevice", "simpleaudio")

#: How a class is led where there is nothing to hear it from.
WITHOUT = "to go without a loudspeaker: --output silent"


def opened(pull: Pull, asked: str | None = None) -> Loudspeaker:
    """The output asked for, or the first that opens, pulling already.

    Raises:
        UnusableChoice: there is no output of that name.
        MachineTrouble: none opens; it says why for each, and what to do.
    """
    if asked is not None and asked not in SPEAKERS:
        raise UnusableChoice(f"there is no output `{asked}` (there are {', '.join(SPEAKERS)})")
    said = []
    for name in (asked,) if asked else TRIED:
        output = SPEAKERS[name]()
        try:
            output.start(pull)
        except MachineTrouble as trouble:
            said.append(str(trouble))
        else:
            return output
    if len(said) == 1:
        raise MachineTrouble(f"no sound: {said[0]}; {WITHOUT}")
    raise MachineTrouble("\n  ".join(["no sound: no way to a loudspeaker opens", *said, WITHOUT]))
