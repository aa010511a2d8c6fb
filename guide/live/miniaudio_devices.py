"""Devices of miniaudio, closed whole: with the connection to the sound server that the library itself leaves open.

Source: `AbstractDevice.close` of miniaudio 1.71 never ends its context, and a device that does not open keeps one too;
PulseAudio refuses everybody from the 64th connection on ("you must uninitialize it yourself", miniaudio.h).
"""

from collections.abc import Generator
from typing import Any

from guide.live.device_errors import miniaudio_here


def open_device(kind: str, **settings: Any) -> Any:
    """A device of the library's class `kind`, not started yet.

    Raises:
        MiniaudioError: of the library: it does not open, or there is nothing behind it; nothing of it is left open.
    """
    miniaudio = miniaudio_here()
    made = getattr(miniaudio, kind)
    device = made.__new__(made)
    try:
        device.__init__(app_name="practice guide", **settings)
        if device.backend == "Null":
            # It would take sound, or give silence, for ever.
            raise miniaudio.MiniaudioError("there is no sound system")
    except miniaudio.MiniaudioError:
        close_device(device)
        raise
    return device


def start_device(device: Any, generator: Generator[Any, Any, None]) -> None:
    """Have it ask a generator, or tell it.

    Raises:
        MiniaudioError: of the library: it does not start; it is closed.
    """
    next(generator)
    try:
        device.start(generator)
    except miniaudio_here().MiniaudioError:
        close_device(device)
        raise


def close_device(device: Any) -> None:
    """Close a device, and the connection that it was reached by; does nothing a second time."""
    device.close()
    context = device.__dict__.pop("_context", None)
    if context is not None:
        miniaudio_here().lib.ma_context_uninit(context)
