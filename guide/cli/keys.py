"""`guide keys`: what keys ask for, what a device sends, and keys that are taught something else."""

import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from guide.cli.tell import tell
from guide.cli.under_way import devices_called
from guide.problem import MachineTrouble, UnusableChoice

if TYPE_CHECKING:
    from guide.live.devices.base import Device
    from guide.live.keys import Bindings
    from guide.live.orders import Order

#: Waits a moment and gives the names of the keys that were pressed in it.
Heard = Callable[[], Sequence[str]]

#: Keys that are only held while another is pressed: not what is meant by "the key for next".
_HELD_ONLY = {f"{side} {key}" for side in ("left", "right") for key in ("shift", "ctrl", "alt", "meta")}


@click.command(name="keys")
@click.option("--show", is_flag=True, help="Show the name of every key pressed and what it asks for, until q q.")
@click.option(
    "--learn", metavar="ORDER", help="Teach a key, which you then press, to ask for ORDER (or for `nothing`)."
)
@click.option("--forget", metavar="KEY", help="Let KEY ask for the usual again.")
@click.option("--devices", is_flag=True, help="List the pedals, remotes and keyboards that can be read by name.")
@click.option("--pedal", metavar="NAME", help="With --show and --learn: read this device, too (its name or path).")
@click.option("--midi", metavar="NAME", help="With --show and --learn: this MIDI controller, too (part of its name).")
@click.option("--button", type=int, metavar="PIN", help="With --show and --learn: a button at this GPIO pin, too.")
def command(
    show: bool,
    learn: str | None,
    forget: str | None,
    devices: bool,
    pedal: str | None,
    midi: str | None,
    button: int | None,
) -> None:
    """Show what each key asks for while a class is led, or teach a key something else.

    Presenter remotes and foot pedals work as they come. To see what yours sends, press it under `guide keys --show`;
    to have its left switch hold a pose longer, type `guide keys --learn longer` and press it.

    `button` is a push button on a pin of a Raspberry Pi, and `button long` the same held for a second.
    """
    if sum((show, learn is not None, forget is not None, devices)) > 1:
        raise UnusableChoice("--show, --learn, --forget and --devices each do one thing (write one of them)")
    if not show and learn is None and any(each is not None for each in (pedal, midi, button)):
        raise UnusableChoice("--pedal, --midi and --button say what is pressed (add --show, or --learn with an order)")
    pins = () if button is None else (button,)
    if show:
        with _hearing(devices_called(pedal, midi, pins)) as heard:
            shown(heard, tell)
    elif learn is not None:
        _learn(learn, devices_called(pedal, midi, pins))
    elif forget is not None:
        _forget(forget)
    elif devices:
        _list_devices()
    else:
        _list_keys()


def shown(heard: Heard, write: Callable[[str], None]) -> None:
    """Write a line for every key pressed, until q is pressed twice or Ctrl-C."""
    from guide.live.key_bindings import bindings
    from guide.live.keys import order_of

    bound = bindings()
    write("Press a key to see its name and what it asks for (q twice, or Ctrl-C, leaves).")
    before = ""
    try:
        while True:
            for key in heard():
                write(f"{key:<16}  asks for {_called(order_of(key, bound))}")
                if key == before == "q":
                    return
                before = key
    except KeyboardInterrupt:
        return


def taught(order: "Order | None", heard: Heard, write: Callable[[str], None]) -> None:
    """Teach the next key pressed what to ask for. Raises as `learn` does."""
    from guide.live.key_bindings import bindings, learn
    from guide.live.keys import order_of

    bound = bindings()
    write(f"Press the key for {_called(order)} (Ctrl-C leaves all as it is).")
    key = ""
    while not key:
        key = next((each for each in heard() if each not in _HELD_ONLY), "")
    learn(key, order)
    write(f"{key} asks for {_called(order)} now; before, it asked for {_called(order_of(key, bound))}")


def _called(order: "Order | None") -> str:
    from guide.live.key_file import NOTHING

    return NOTHING if order is None else order.value


def _learn(text: str, devices: "list[Device]") -> None:
    from guide.live.key_bindings import order_called

    order = order_called(text)
    with _hearing(devices) as heard:
        taught(order, heard, tell)


def _forget(text: str) -> None:
    from guide.live.key_bindings import forget
    from guide.live.keys import KEYS, key_as_written, order_of

    key = key_as_written(text)
    forget(key)
    tell(f"{key} asks for {_called(order_of(key, KEYS))}, as usual")


def _list_keys() -> None:
    from guide.live.key_bindings import bindings, keys_path, learned
    from guide.live.orders import Order

    own = learned(keys_path())
    bound = bindings()
    for order in (*Order, None):
        keys = _listed(order, bound, own)
        if keys or order is not None:
            tell(f"{_called(order):<12}  {keys or '(no key)'}")
    if own:
        tell(f"* taught: {keys_path()}")


def _listed(order: "Order | None", bound: "Bindings", own: "Bindings") -> str:
    """The keys that ask for an order, those with a star that were taught to."""
    return ", ".join(f"{key}*" if key in own else key for key, asked in bound.items() if asked is order)


def _list_devices() -> None:
    from importlib.util import find_spec

    from guide.live.devices.inputs import MEND, inputs

    if not sys.platform.startswith("linux"):
        raise MachineTrouble("pedals are read by name on Linux only (elsewhere they type like a keyboard)")
    found = inputs()
    width = max((len(str(each.path)) for each in found), default=0)
    for each in found:
        notes = ["no keys"] * (not each.has_keys) + ["may not be read"] * (not each.readable)
        said = f" ({', '.join(notes)})" if notes else ""
        tell(f"{each.path!s:<{width}}  {each.name}{said}")
    if not found:
        tell("no pedal, remote or keyboard is plugged in here")
    if not all(each.readable for each in found):
        tell(f"to be allowed to read them: {MEND}, then log in again")
    if find_spec("evdev") is None:
        tell("to read them: python -m pip install 'practice-guide[pedal]'")


@contextmanager
def _hearing(devices: "list[Device]") -> Iterator[Heard]:
    """What is pressed in this terminal and on those devices.

    Raises:
        UnusableChoice: this is no terminal.
        MachineTrouble: a device cannot be opened.
    """
    if not sys.stdin.isatty() or sys.platform == "win32":
        raise UnusableChoice("keys are read from a terminal of Linux or macOS, and this is none (type it in one)")
    from queue import SimpleQueue

    from guide.live.key_presses import Presses
    from guide.live.line_view import typed
    from guide.live.terminal_keys import KeyStream

    stream, presses, pressed = KeyStream(), Presses(), SimpleQueue[str]()
    started: list[Device] = []
    try:
        for device in devices:
            device.start(pressed.put)
            started.append(device)
        with typed(sys.stdin) as keys:

            def heard() -> Sequence[str]:
                read = stream.keys(keys())
                now_s = time.monotonic()
                found = [each for key in read for each in presses.pressed(key, now_s)]
                found += presses.due(now_s)
                return [*found, *(pressed.get() for _ in range(pressed.qsize()))]

            yield heard
    finally:
        for device in started:
            device.stop()
