"""Where the sound of a class goes: one file for each way to a loudspeaker, behind one protocol."""

from collections.abc import Callable, Mapping

from guide.live.outputs.base import Output, Pull
from guide.live.outputs.miniaudio_out import MiniaudioOutput
from guide.live.outputs.pipe import PipeOutput
from guide.live.outputs.silent import SilentOutput
from guide.live.outputs.simpleaudio_out import SimpleaudioOutput
from guide.live.outputs.sounddevice_out import SounddeviceOutput
from guide.problem import MachineTrouble, UnusableChoice

#: Every output by its name, in the order in which they are tried.
OUTPUTS: Mapping[str, Callable[[], Output]] = {
    "miniaudio": MiniaudioOutput,
    "pipe": PipeOutput,
    "sounddevice": SounddeviceOutput,
    "simpleaudio": SimpleaudioOutput,
    "silent": SilentOutput,
}

#: Those that are tried when nobody says which: silence is only had by asking for it.
TRIED = ("miniaudio", "pipe", "sounddevice", "simpleaudio")

#: How a class is led where there is nothing to hear it from.
WITHOUT = "to go without a loudspeaker: --output silent"


def opened(pull: Pull, asked: str | None = None) -> Output:
    """The output asked for, or the first that opens, pulling already.

    Raises:
        UnusableChoice: there is no output of that name.
        MachineTrouble: none opens; it says why for each, and what to do.
    """
    if asked is not None and asked not in OUTPUTS:
        raise UnusableChoice(f"there is no output `{asked}` (there are {', '.join(OUTPUTS)})")
    said = []
    for name in (asked,) if asked else TRIED:
        output = OUTPUTS[name]()
        try:
            output.start(pull)
        except MachineTrouble as trouble:
            said.append(str(trouble))
        else:
            return output
    if len(said) == 1:
        raise MachineTrouble(f"no sound: {said[0]}; {WITHOUT}")
    raise MachineTrouble("\n  ".join(["no sound: no way to a loudspeaker opens", *said, WITHOUT]))
