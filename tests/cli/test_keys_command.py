"""`guide keys`: the table, what a device sends, and keys that are taught; read from a terminal of the tests' own."""

import os
import pty
import select
import signal
import subprocess
import sys
import termios
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from guide.cli import keys as keys_module
from guide.cli import main
from guide.cli.keys import shown, taught
from guide.live.devices import inputs as inputs_module
from guide.live.devices.inputs import Input
from guide.live.key_bindings import keys_path, learn, learned
from guide.live.orders import Order
from guide.problem import UnusableChoice

#: How long a test waits for what has to come; it never has to.
LONGEST_S = 120

USUAL = """\
pause         space, enter, f5, f17, play pause, button long
next          right, page down, n, next song, button
again         left, page up, a, previous song
previous      p
longer        up, +
stay          h
shorter       down, -
slower        s
quicker       f
side again    r
other side    o
voice up      v
voice down    V
chimes up     c
chimes down   C
music up      m
music down    M
fewer words   w
all words     W
hush          ., b
rest          e
undo          u
quit          q
end now       ctrl c
"""


@pytest.fixture(autouse=True)
def _own_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("HOME", str(tmp_path))


def keys(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["keys", *arguments])


class Pressed:
    """Keys that are pressed one after the other, a few at a time, and then Ctrl-C."""

    def __init__(self, *turns: Sequence[str]) -> None:
        self._turns = list(turns)

    def __call__(self) -> Sequence[str]:
        if not self._turns:
            raise KeyboardInterrupt
        return self._turns.pop(0)


def test_it_lists_the_keys_of_every_order() -> None:
    result = keys()
    assert result.exit_code == 0
    assert result.output == USUAL


def test_what_was_taught_is_marked() -> None:
    learn("page down", Order.LONGER)
    learn("b", None)
    learn("V", Order.VOICE_UP)
    lines = keys().output.splitlines()
    assert "next          right, n, next song, button" in lines
    assert "longer        page down*, up, +" in lines
    assert "voice up      v, V*" in lines
    assert "voice down    (no key)" in lines
    assert lines[-2:] == ["nothing       b*", f"* taught: {keys_path()}"]


def test_a_file_that_is_wrong_is_told_at_its_place() -> None:
    keys_path().parent.mkdir(parents=True)
    keys_path().write_text("page down: nxt\n")
    result = keys()
    assert result.exit_code == 2
    assert f"{keys_path()}:1:12: there is no order `nxt` (did you mean `next`?)" in result.stderr


def test_a_key_forgets() -> None:
    learn("page down", Order.LONGER)
    result = keys("--forget", "Page_Down")
    assert (result.exit_code, result.output) == (0, "page down asks for next, as usual\n")
    assert learned(keys_path()) == {}
    learn("f9", Order.LONGER)
    assert keys("--forget", "f9").output == "f9 asks for nothing, as usual\n"


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--forget", "z"], "`z` was taught nothing (no key was taught anything)"),
        (["--learn", "nxt"], "there is no order `nxt` (did you mean `next`?)"),
        (["--show", "--devices"], "--show, --learn, --forget and --devices each do one thing (write one of them)"),
        (["--learn", "next", "--forget", "z"], "each do one thing"),
        (["--pedal", "foot"], "say what is pressed (add --show, or --learn with an order)"),
        (["--devices", "--button", "17"], "--pedal, --midi and --button say what is pressed"),
        (
            ["--show"],
            "keys are read from a terminal of Linux or macOS, and this is none (type it in one)",
        ),
        (["--learn", "next"], "keys are read from a terminal of Linux or macOS, and this is none"),
    ],
)
def test_what_cannot_be_done_is_said(arguments: list[str], message: str) -> None:
    result = keys(*arguments)
    assert result.exit_code == 2
    assert message in result.stderr


def test_every_key_shown_has_a_line_until_q_is_pressed_twice() -> None:
    lines: list[str] = []
    learn("b", None)
    shown(Pressed(["page down", "esc"], [], ["q", "b"], ["bytes 1b 5b 39"], ["q"], ["q"], ["n"]), lines.append)
    assert lines == [
        "Press a key to see its name and what it asks for (q twice, or Ctrl-C, leaves).",
        "page down         asks for next",
        "esc               asks for nothing",
        "q                 asks for quit",
        "b                 asks for nothing",
        "bytes 1b 5b 39    asks for nothing",
        "q                 asks for quit",
        "q                 asks for quit",
    ]


def test_ctrl_c_leaves() -> None:
    lines: list[str] = []
    shown(Pressed(["n"]), lines.append)
    assert lines[1:] == ["n                 asks for next"]


def test_a_key_is_taught_by_pressing_it() -> None:
    lines: list[str] = []
    taught(Order.LONGER, Pressed([], ["page down", "n"]), lines.append)
    assert lines == [
        "Press the key for longer (Ctrl-C leaves all as it is).",
        "page down asks for longer now; before, it asked for next",
    ]
    assert learned(keys_path()) == {"page down": Order.LONGER}
    taught(None, Pressed(["page down"]), lines.append)
    assert lines[-1] == "page down asks for nothing now; before, it asked for longer"


def test_a_key_that_is_only_held_is_not_the_one_meant() -> None:
    taught(Order.REST, Pressed(["left shift"], ["right ctrl", "V"]), [].append)
    assert learned(keys_path()) == {"V": Order.REST}


def test_esc_cannot_be_taught_to_end_a_class() -> None:
    with pytest.raises(UnusableChoice, match="Esc never ends a class"):
        taught(Order.QUIT, Pressed(["esc"]), [].append)
    assert not keys_path().exists()


DEVICES = (
    Input(Path("/dev/input/event0"), "Power Button", has_keys=True, readable=False),
    Input(Path("/dev/input/event4"), "Motion", has_keys=False, readable=True),
    Input(Path("/dev/input/event10"), "Foot Switch", has_keys=True, readable=True),
)


def test_devices_are_listed_with_what_lets_them_be_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(inputs_module, "inputs", lambda: DEVICES)
    monkeypatch.setattr("importlib.util.find_spec", lambda name: name)
    assert keys("--devices").output == (
        "/dev/input/event0   Power Button (may not be read)\n"
        "/dev/input/event4   Motion (no keys)\n"
        "/dev/input/event10  Foot Switch\n"
        "to be allowed to read them: sudo usermod -aG input $USER, then log in again\n"
    )
    monkeypatch.setattr(inputs_module, "inputs", lambda: DEVICES[2:])
    assert keys("--devices").output == "/dev/input/event10  Foot Switch\n"


def test_where_there_are_no_devices_that_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(inputs_module, "inputs", lambda: ())
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    assert keys("--devices").output == (
        "no pedal, remote or keyboard is plugged in here\nto read them: python -m pip install 'practice-guide[pedal]'\n"
    )
    monkeypatch.setattr(sys, "platform", "darwin")
    result = keys("--devices")
    assert (result.exit_code, result.stderr) == (
        1,
        "pedals are read by name on Linux only (elsewhere they type like a keyboard)\n",
    )


class Terminal:
    """`guide keys` in a terminal of its own."""

    def __init__(self, *arguments: str) -> None:
        self._mine, theirs = pty.openpty()
        self.mode = termios.tcgetattr(theirs)[3]
        self._theirs = theirs
        command = [sys.executable, "-m", "guide", "keys", *arguments]
        self.process = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True)
        self.shown = ""

    def press(self, raw: str) -> None:
        os.write(self._mine, raw.encode())

    def wait_for(self, text: str) -> None:
        before_s = time.monotonic() + LONGEST_S
        while text not in self.shown:
            assert time.monotonic() < before_s, self.shown
            if select.select([self._mine], [], [], 1)[0]:
                self.shown += os.read(self._mine, 4096).decode().replace("\r\n", "\n")

    def mode_now(self) -> int:
        mode: int = termios.tcgetattr(self._theirs)[3]
        return mode

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        os.close(self._mine)
        os.close(self._theirs)


@pytest.fixture
def terminals() -> Iterator[list[Terminal]]:
    """Terminals whose programs hear Ctrl-C: a shell has what it runs in the background, tests too, begin deaf to it."""
    made: list[Terminal] = []
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield made
    for terminal in made:
        terminal.close()
    signal.signal(signal.SIGINT, before)


def test_a_real_terminal_shows_what_is_pressed_in_it(terminals: list[Terminal]) -> None:
    terminal = Terminal("--show")
    terminals.append(terminal)
    terminal.wait_for("leaves).\n")
    # A key held down, as many times as are read at once.
    terminal.press("\x1b[6~" * 15)
    terminal.press("\x1b[99~")
    terminal.press(".")
    terminal.wait_for("bytes 1b 5b 39 39 7e  asks for nothing\n.                 asks for hush\n")
    assert terminal.shown.count("page down") == 1
    terminal.process.send_signal(signal.SIGINT)
    assert terminal.process.wait(LONGEST_S) == 0
    assert terminal.mode_now() == terminal.mode


def test_a_real_terminal_is_left_with_q_twice(terminals: list[Terminal]) -> None:
    terminal = Terminal("--show")
    terminals.append(terminal)
    terminal.wait_for("leaves).\n")
    terminal.press("q")
    terminal.wait_for("q                 asks for quit\n")
    # The second comes so long after the first that it might be a key held down: nothing but time tells that it is not.
    with pytest.raises(subprocess.TimeoutExpired):
        terminal.process.wait(0.3)
    terminal.press("q")
    assert terminal.process.wait(LONGEST_S) == 0
    terminal.wait_for("q                 asks for quit\nq                 asks for quit\n")
    assert terminal.mode_now() == terminal.mode


def test_a_key_of_a_real_terminal_is_taught(terminals: list[Terminal]) -> None:
    terminal = Terminal("--learn", "Longer")
    terminals.append(terminal)
    terminal.wait_for("Press the key for longer (Ctrl-C leaves all as it is).\n")
    terminal.press("\x1bOC")
    assert terminal.process.wait(LONGEST_S) == 0
    terminal.wait_for("right asks for longer now; before, it asked for next\n")
    assert learned(keys_path()) == {"right": Order.LONGER}


@pytest.mark.real  # Needs evdev, which has to be built.
def test_a_pedal_that_is_not_there_is_told_before_anything_is_pressed(terminals: list[Terminal]) -> None:
    terminal = Terminal("--learn", "next", "--pedal", "a pedal of nobody's")
    terminals.append(terminal)
    assert terminal.process.wait(LONGEST_S) == 1
    terminal.wait_for("there is no device `a pedal of nobody's`")
    assert not keys_path().exists()


def test_a_device_is_heard_beside_the_terminal_and_closed_after(monkeypatch: pytest.MonkeyPatch) -> None:
    class Switch:
        """A device that is pressed as soon as it is opened."""

        name = "switch"
        is_open = False

        def start(self, press: object) -> None:
            assert callable(press)
            self.is_open = True
            press("page up")

        def stop(self) -> None:
            self.is_open = False

    mine, theirs = pty.openpty()
    switch = Switch()
    with os.fdopen(theirs, encoding="utf-8") as stream:
        monkeypatch.setattr(sys, "stdin", stream)
        found: list[str] = []
        with keys_module._hearing([switch]) as heard:
            os.write(mine, b"\x1b[C")
            before_s = time.monotonic() + LONGEST_S
            while len(found) < 2 and time.monotonic() < before_s:
                found += heard()
            assert switch.is_open
    os.close(mine)
    assert sorted(found) == ["page up", "right"]
    assert not switch.is_open
