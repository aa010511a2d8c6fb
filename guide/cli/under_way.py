"""What commands that run in the time of a class share: keys, pedals and buttons, the screen or lines, and their end."""

import signal
import sys
from collections.abc import Callable, Collection, Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any, TypeVar

import click

from guide.cli.tell import tell

if TYPE_CHECKING:
    from guide.live.controls import Controls
    from guide.live.devices.base import Device
    from guide.live.lead_loop import Keys, Led, View
    from guide.live.orders import Order
    from guide.live.scene import Showable

OUTPUT_NAMES = ("miniaudio", "pipe", "sounddevice", "simpleaudio", "silent")

Function = TypeVar("Function", bound=Callable[..., Any])


def key_options(function: Function) -> Function:
    """`--plain`, `--pedal`, `--midi` and `--button`: how the class is shown, and what is pressed besides keys."""
    plain = click.option(
        "--plain", is_flag=True, help="A line for each step in place of the screen: for screen readers, and logs."
    )
    pedal = click.option(
        "--pedal", metavar="NAME", help="Read this pedal or remote from the system; `guide keys --devices` names them."
    )
    button = click.option(
        "--button", "pins", metavar="PIN", type=int, multiple=True, help="Read a button on this pin of a Raspberry Pi."
    )
    midi = click.option("--midi", metavar="NAME", help="Read this MIDI controller: part of the name of its port.")
    return plain(pedal(midi(button(function))))


def sound_options(function: Function) -> Function:
    """`--output`, `--device` and `--buffer`: the way to the loudspeaker."""
    output = click.option(
        "--output",
        type=click.Choice(OUTPUT_NAMES),
        help="The way to the loudspeaker; without it, the first that opens. `silent` makes no sound.",
    )
    device = click.option(
        "--device",
        metavar="NAME",
        default="",
        help="The loudspeaker: part of its name, as `guide doctor` lists it.",
    )
    buffer = click.option(
        "--buffer",
        "buffer_ms",
        metavar="MS",
        # An output that keeps 800 ms ahead may ask so rarely that it is taken for one that has gone.
        type=click.IntRange(20, 500),
        default=50,
        help="How much sound is kept ahead, in milliseconds: 50, and by itself more where the sound breaks off.",
    )
    return output(device(buffer(function)))


def ears_options(function: Function) -> Function:
    """`--words-to` and `--chimes-to`: the side of the loudspeaker on which each is heard."""
    sides = click.Choice(("both", "left", "right"))
    words = click.option(
        "--words-to",
        type=sides,
        default="both",
        help="Where the words are heard: `left` goes to your ear, with `--chimes-to right` to the room.",
    )
    chimes = click.option("--chimes-to", type=sides, default="both", help="Where chimes, bells and music are heard.")
    return words(chimes(function))


def made_controls(order: "Callable[[Order], None]") -> "Controls":
    """Keys as this person has them, which ask for orders."""
    from guide.live.controls import Controls
    from guide.live.key_bindings import bindings

    return Controls(order, bindings())


@contextmanager
def pressed(pedal: str | None, midi: str | None, pins: tuple[int, ...], controls: "Keys") -> Iterator[None]:
    """Pedals, a MIDI controller and buttons ask for orders meanwhile."""
    with ExitStack() as closing:
        for device in devices_called(pedal, midi, pins):
            device.start(controls.pressed)
            closing.callback(device.stop)
        yield


def devices_called(pedal: str | None, midi: str | None, pins: Collection[int]) -> "list[Device]":
    """What is pressed, besides the keys of a terminal."""
    made: list[Device] = []
    if pedal is not None:
        from guide.live.devices.pedals import Pedal

        made.append(Pedal(pedal))
    if midi is not None:
        from guide.live.devices.midi import Midi

        made.append(Midi(midi))
    if pins:
        from guide.live.devices.button import Button

        made += map(Button, pins)
    return made


SceneT = TypeVar("SceneT", bound="Showable")


def show(
    led: "Led[SceneT]",
    controls: "Keys",
    lines: "Callable[[Callable[[], str]], View[SceneT]]",
    plain: bool,
    reach: Path | None = None,
) -> None:
    """Lead a class that has begun on the screen, or in lines, until it is over.

    `lines` makes what writes lines, given what waits for what is typed. Where views from elsewhere come to is written
    to `reach`.
    """
    from guide.live.lead_loop import lead
    from guide.live.line_view import typed
    from guide.live.scene_server import SceneServer
    from guide.live.screen.process import ScreenProcess

    with ExitStack() as closing:

        def plainly() -> "View[SceneT]":
            return lines(closing.enter_context(typed(sys.stdin)))

        server = SceneServer(led.scene, lambda key: controls.typed([key]))
        is_open = server.start()
        closing.callback(server.stop)
        if is_open and reach is not None:
            closing.enter_context(server.within_reach(reach))
        if not is_open or not draws(plain):
            lead(led, controls, plainly(), plainly)
            return
        screen = ScreenProcess(server.address, server.key)
        screen.start()
        closing.callback(screen.stop)

        def instead() -> "View[SceneT]":
            screen.stop()
            return plainly()

        lead(led, controls, screen, instead)


def take_up(reach: Path, plain: bool) -> None:
    """Show a class here that runs in another terminal, or in none, until it is over; keys are for it.

    Raises:
        UnusableChoice: no such class runs.
    """
    from guide.live.line_view import Lines, typed
    from guide.live.scene import Scene
    from guide.live.scene_server import RemoteClass, reached
    from guide.live.screen.process import ScreenProcess

    address, key = reached(reach)
    if draws(plain):
        screen = ScreenProcess(address, key)
        screen.start()
        while not screen.is_gone:
            screen.wait()
        screen.stop()
        return
    led = RemoteClass(address, key)
    with closing(led), typed(sys.stdin) as keys, suppress(EOFError, OSError):
        view = Lines(said, keys, led.press)
        while isinstance(scene := led.scene(), Scene) and not scene.is_over:
            view.show(scene)
            view.wait()


def draws(plain: bool) -> bool:
    """Whether there is a screen; what it needs is told, where only that is missing."""
    from guide.live.screen.process import can_draw, has_terminal

    is_wanted = not plain and has_terminal()
    if is_wanted and not can_draw():
        tell("for the screen: python -m pip install 'practice-guide[screen]'", err=True)
    return is_wanted and can_draw()


def said(line: str) -> None:
    """A line on the terminal, which may have gone: the class goes on without it."""
    with suppress(OSError):
        tell(line)


def said_aside(line: str) -> None:
    """A line beside what a program is to read."""
    with suppress(OSError):
        tell(line, err=True)


@contextmanager
def asked_to_end(controls: "Controls", ends: Collection[int] = (signal.SIGINT, signal.SIGTERM)) -> Iterator[None]:
    """The signals in `ends` end the class with the sound faded; a terminal that goes does not, unless it is there."""

    from guide.live.orders import Order

    def end(number: int, frame: FrameType | None) -> None:
        controls.later(Order.END)

    before = {number: signal.signal(number, end) for number in ends}
    if hasattr(signal, "SIGHUP") and signal.SIGHUP not in before:
        before[signal.SIGHUP] = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
