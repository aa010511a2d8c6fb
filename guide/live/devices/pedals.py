"""A pedal, a presenter's remote or any other keyboard, read from the kernel: on a Pi that is driven over SSH, too."""

import select
import threading
from collections.abc import Callable, Iterator
from typing import Any, Protocol

from guide.live.devices.base import Press
from guide.live.devices.inputs import Input, chosen, inputs
from guide.live.key_names import key_of_evdev
from guide.live.keys import with_shift
from guide.problem import MachineTrouble

MISSING = (
    "evdev is not installed (python -m pip install 'practice-guide[pedal]'; Linux only, and first "
    "sudo apt install gcc linux-libc-dev python3-dev)"
)

#: So often a device that is gone is looked for, and so soon `stop` is heeded.
RETRY_S = 1.0
HEED_S = 0.1

#: What the kernel tells of a key: it is pressed; another value is a release, or a repeat of one held down.
PRESSED = 1

#: Names that mark where a group of keys begins, beside the names of the keys. Source: linux/input-event-codes.h.
_MARKS = {"KEY_MIN_INTERESTING", "BTN_MISC", "BTN_MOUSE", "BTN_JOYSTICK", "BTN_GAMEPAD", "BTN_DIGI", "BTN_WHEEL"}

_SHIFTS = ("left shift", "right shift")


class EventSource(Protocol):
    """What is read, as evdev has it."""

    def fileno(self) -> int: ...

    def read(self) -> Iterator[Any]: ...

    def grab(self) -> None: ...

    def close(self) -> None: ...


class Pedal:
    """One input device, called by its path, its name, or a part of that.

    While it is open nobody else gets its keys: they do not reach the log-in on the console. A device that goes
    (unplugged, or a Bluetooth one asleep) is waited for.
    """

    def __init__(
        self,
        wanted: str,
        *,
        found: Callable[[], tuple[Input, ...]] = inputs,
        opened: Callable[[Input], EventSource] | None = None,
        retry_s: float = RETRY_S,
    ) -> None:
        self.name = wanted
        self._wanted = wanted
        self._found = found
        self._opened = opened or _opened
        self._retry_s = retry_s
        self._over = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, press: Press) -> None:
        _evdev()
        source = self._open()
        self._over.clear()
        self._thread = threading.Thread(target=self._run, args=(source, press), daemon=True, name="pedal")
        self._thread.start()

    def stop(self) -> None:
        self._over.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join(timeout=5)
        self._thread = None

    def _open(self) -> EventSource:
        """Raises MachineTrouble."""
        device = chosen(self._wanted, self._found())
        try:
            source = self._opened(device)
        except OSError as error:
            raise MachineTrouble(f"{device.name}: this device cannot be opened ({error.strerror})") from error
        try:
            source.grab()
        except OSError as error:
            source.close()
            raise MachineTrouble(f"{device.name}: another program keeps this device to itself") from error
        self.name = device.name
        return source

    def _run(self, first: EventSource, press: Press) -> None:
        source: EventSource | None = first
        while source is not None:
            try:
                self._read(source, press)
            except OSError:
                # It is gone. What went is closed all the same, so that it can come back under its number.
                pass
            finally:
                source.close()
            source = self._again()

    def _read(self, source: EventSource, press: Press) -> None:
        """Press what is pressed until it is over, or the device has nothing more.

        Raises:
            OSError: the device is gone.
        """
        held: set[str] = set()
        while not self._over.is_set():
            if not select.select([source], [], [], HEED_S)[0]:
                continue
            try:
                events = list(source.read())
            except BlockingIOError:
                continue
            if not events:
                return
            for key in _pressed(events, held):
                press(key)

    def _again(self) -> EventSource | None:
        """The device, once it is there again; None when it is over before that."""
        while not self._over.wait(self._retry_s):
            try:
                return self._open()
            except MachineTrouble:
                continue
        return None


def _pressed(events: list[Any], held: set[str]) -> Iterator[str]:
    """The keys that are pressed; `held` has those of the shift keys that are down, and is brought up to date."""
    ecodes = _evdev().ecodes
    for event in events:
        if event.type != ecodes.EV_KEY:
            continue
        key = _named(event.code)
        if key in _SHIFTS:
            (held.discard if event.value == 0 else held.add)(key)
        if event.value == PRESSED:
            yield with_shift(key) if held and key not in _SHIFTS else key


def _named(code: int) -> str:
    """The name of a key by its number; of several names, the first by the alphabet that is a key's own."""
    names = _evdev().ecodes.keys.get(code)
    if names is None:
        return f"key {code}"
    return key_of_evdev(names if isinstance(names, str) else min(set(names) - _MARKS))


def _opened(device: Input) -> EventSource:
    source: EventSource = _evdev().InputDevice(str(device.path))
    return source


def _evdev() -> Any:
    try:
        import evdev
    except ImportError as error:
        raise MachineTrouble(MISSING) from error
    return evdev
