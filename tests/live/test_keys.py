"""One name for each key, whatever sends it: a terminal, the screen, the kernel, or a person who writes it down."""

import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rows import each_row
from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual._xterm_parser import XTermParser
from textual.events import Key

from guide.live.key_names import key_of_evdev, key_of_textual
from guide.live.keys import KEYS, key_as_written, order_of
from guide.live.orders import Order
from guide.live.terminal_keys import KeyStream, key_of_sequence, keys_in

#: What terminals send. Source: the terminal descriptions of ncurses 6 (xterm, linux, rxvt, tmux, screen, vt220) and
#: xterm's control sequences.
SEQUENCES = {
    "\x1b[A": "up",
    "\x1bOA": "up",
    "\x1b[B": "down",
    "\x1bOB": "down",
    "\x1b[C": "right",
    "\x1bOC": "right",
    "\x1b[D": "left",
    "\x1bOD": "left",
    "\x1b[5~": "page up",
    "\x1b[6~": "page down",
    "\x1b[15~": "f5",
    "\x1b[[E": "f5",
    "\x1b[15;2~": "f17",
    "\x1bOP": "f1",
    "\x1b[11~": "f1",
    "\x1b[[A": "f1",
    "\x1b[24~": "f12",
    "\x1b[31~": "f17",
    "\x1b[H": "home",
    "\x1bOH": "home",
    "\x1b[1~": "home",
    "\x1b[7~": "home",
    "\x1b[F": "end",
    "\x1bOF": "end",
    "\x1b[4~": "end",
    "\x1b[8~": "end",
    "\x1b[2~": "insert",
    "\x1b[3~": "delete",
    "\x1bOM": "enter",
    "\x1bOk": "+",
    "\x1bOy": "9",
    "\x1b[1;5C": "ctrl right",
    "\x1b[1;2A": "shift up",
    "\x1b[1;7D": "ctrl alt left",
    "\x1b[a": "shift up",
    "\x1bOd": "ctrl left",
    "\x1b[5;2~": "shift page up",
    "\x1b[5$": "shift page up",
    "\x1b[6^": "ctrl page down",
    "\x1b[6@": "ctrl shift page down",
    "\x1b[Z": "shift tab",
    "\x1b[118;2u": "V",
    "\x1b[13u": "enter",
    "\x1b[27;5;118~": "ctrl v",
    "\x1b": "esc",
    " ": "space",
    "\r": "enter",
    "\n": "enter",
    "\t": "tab",
    "\x7f": "backspace",
    "\x01": "ctrl a",
    "\x1c": "ctrl \\",
    ".": ".",
    "b": "b",
    "V": "V",
    "é": "é",
}

#: Names of ncurses for the keys of the descriptions.
CAPABILITIES = {
    "kcuu1": "up",
    "kcud1": "down",
    "kcuf1": "right",
    "kcub1": "left",
    "kpp": "page up",
    "knp": "page down",
    "khome": "home",
    "kend": "end",
    "kich1": "insert",
    "kdch1": "delete",
    "kf1": "f1",
    "kf5": "f5",
    "kf12": "f12",
    "kf17": "f17",
}

TERMINALS = ("xterm", "xterm-256color", "linux", "rxvt", "tmux", "tmux-256color", "screen", "vt220")

#: Asked in a process of its own: curses knows one terminal in each.
ASK = """
import curses, sys
curses.setupterm(sys.argv[1], 1)
for name in sys.argv[2:]:
    print(name, (curses.tigetstr(name) or b"").hex())
"""


@each_row("raw, key", SEQUENCES.items())
def test_a_sequence_is_a_key(raw: str, key: str) -> None:
    assert key_of_sequence(raw) == key
    assert keys_in(raw) == (key,)


@pytest.mark.real
@pytest.mark.parametrize("terminal", TERMINALS)
def test_keys_are_what_the_descriptions_of_terminals_say(terminal: str) -> None:
    asked = [sys.executable, "-c", ASK, terminal, *CAPABILITIES]
    lines = subprocess.run(asked, capture_output=True, text=True, check=True).stdout.splitlines()
    sent = {name: bytes.fromhex(raw).decode() for name, raw in (line.split(" ") for line in lines)}
    known = {name: raw for name, raw in sent.items() if raw}
    assert len(known) >= 10
    assert {name: key_of_sequence(raw) for name, raw in known.items()} == {name: CAPABILITIES[name] for name in known}


def test_several_keys_read_at_once_are_told_apart() -> None:
    assert keys_in("\x1b[C\x1b[C b\x1b[[EV\x1bOA\x1b[6~") == (
        *("right", "right", "space", "b", "f5", "V", "up", "page down"),
    )


def test_esc_before_another_key_is_a_key_of_its_own() -> None:
    assert keys_in("\x1bb") == ("esc", "b")
    assert keys_in("\x1b\x1b[6~") == ("esc", "page down")


@pytest.mark.parametrize("raw", ["\x1b[99~", "\x1b[?1;2c", "\x1b[200~", "\x1b[57441u", "\x1bO?", "\x1b[M"])
def test_a_sequence_without_a_name_is_called_by_its_bytes_and_asks_for_nothing(raw: str) -> None:
    assert keys_in(raw) == (f"bytes {raw.encode().hex(' ')}",)
    assert order_of(keys_in(raw)[0], KEYS) is None


@settings(deadline=None)
@given(st.lists(st.sampled_from(sorted(SEQUENCES.keys() - {"\x1b"})), max_size=12), st.data())
def test_it_does_not_matter_where_reading_was_interrupted(keys: list[str], data: st.DataObject) -> None:
    raw, stream = "".join(keys), KeyStream()
    found: list[str] = []
    while raw:
        length = data.draw(st.integers(1, len(raw)))
        found += stream.keys(raw[:length])
        raw = raw[length:]
    assert tuple(found) + stream.keys("") == tuple(SEQUENCES[key] for key in keys)


def test_esc_alone_is_known_once_nothing_follows() -> None:
    stream = KeyStream()
    assert stream.keys("\x1b") == ()
    assert stream.keys("") == ("esc",)
    assert stream.keys("") == ()


def keys_of_the_screen(raw: str) -> list[str]:
    """The keys that Textual makes of what a terminal sends."""
    parser = XTermParser()
    events = [*parser.feed(raw), *parser.feed("")]
    return [key_of_textual(event.key, event.character) for event in events if isinstance(event, Key)]


#: What Textual does not know, or takes for something else: none of it asks for anything.
UNKNOWN_TO_THE_SCREEN = {"\x1b[31~", "\x1b[1;7D", "\x1b[5$", "\x1b[6@"}


@each_row("raw", sorted(SEQUENCES.keys() - UNKNOWN_TO_THE_SCREEN))
def test_the_screen_knows_a_key_by_the_same_name(raw: str) -> None:
    assert keys_of_the_screen(raw) == [SEQUENCES[raw]]


def test_every_plain_key_of_the_screens_table_has_the_name_that_a_terminal_gives_it() -> None:
    """Source: Textual's own table of sequences, for the keys that a person presses without holding another."""
    plain = {
        raw: keys[0].value
        for raw, keys in ANSI_SEQUENCES_KEYS.items()
        if isinstance(keys, tuple)
        and len(keys) == 1
        and raw.startswith(("\x1b[", "\x1bO"))
        and "+" not in keys[0].value
    }
    odd = {"\x1b[62~", "\x1b[63~"}  # The wheel of a mouse under Windows.
    differ = {
        raw: (key, key_of_sequence(raw))
        for raw, key in plain.items()
        if raw not in odd and key_of_textual(key, None) != key_of_sequence(raw)
    }
    assert len(plain) > 60
    assert differ == {}


@each_row(
    "key, character, name",
    [
        ("pageup", None, "page up"),
        ("full_stop", ".", "."),
        ("full_stop", None, "."),
        ("upper_v", "V", "V"),
        ("upper_v", None, "V"),
        ("V", "V", "V"),
        ("plus", "+", "+"),
        ("minus", None, "-"),
        ("question_mark", "?", "?"),
        ("hyphen_minus", None, "-"),
        ("space", " ", "space"),
        ("delete", None, "delete"),
        ("enter", "\r", "enter"),
        ("ctrl+j", "\n", "enter"),
        ("escape", "\x1b", "esc"),
        ("tab", "\t", "tab"),
        ("shift+tab", None, "shift tab"),
        ("ctrl+shift+pagedown", None, "ctrl shift page down"),
        ("shift+f5", None, "f17"),
        ("ctrl+c", "\x03", "ctrl c"),
        ("ctrl+at", "\x00", "ctrl space"),
        ("left", None, "left"),
        ("\x1f", "\x1f", "ctrl _"),
    ],
)
def test_a_key_of_the_screen_has_the_name_of_all_others(key: str, character: str | None, name: str) -> None:
    assert key_of_textual(key, character) == name


@each_row(
    "code, name",
    [
        ("KEY_PAGEDOWN", "page down"),
        ("KEY_DOT", "."),
        ("KEY_SPACE", "space"),
        ("KEY_KPENTER", "enter"),
        ("KEY_ESC", "esc"),
        ("KEY_LEFT", "left"),
        ("KEY_B", "b"),
        ("KEY_5", "5"),
        ("KEY_KP5", "5"),
        ("KEY_F5", "f5"),
        ("KEY_NEXTSONG", "next song"),
        ("KEY_PLAYPAUSE", "play pause"),
        ("KEY_VOLUMEUP", "volume up"),
        ("KEY_LEFTSHIFT", "left shift"),
        ("KEY_CAMERA_FOCUS", "camera focus"),
        ("BTN_LEFT", "mouse left"),
        ("BTN_0", "pad 0"),
        ("BTN_TRIGGER_HAPPY7", "pad trigger happy7"),
    ],
)
def test_a_key_of_the_kernel_has_the_name_of_all_others(code: str, name: str) -> None:
    assert key_of_evdev(code) == name


@each_row(
    "written, key",
    [
        ("Page Down", "page down"),
        ("page_down", "page down"),
        ("PgDn", "page down"),
        (" pagedown ", "page down"),
        ("V", "V"),
        ("shift v", "V"),
        ("Shift+V", "V"),
        ("+", "+"),
        ("ctrl+right", "ctrl right"),
        ("Escape", "esc"),
        (" ", "space"),
        ("button 17 long", "button 17 long"),
        ("", ""),
    ],
)
def test_a_key_may_be_written_as_people_do(written: str, key: str) -> None:
    assert key_as_written(written) == key


@each_row("key", sorted({*KEYS, *SEQUENCES.values()}))
def test_a_name_is_written_as_it_is(key: str) -> None:
    assert key_as_written(key) == key


#: What was bound when each key was still known by its sequence.
BEFORE = {
    " ": Order.PAUSE,
    "\r": Order.PAUSE,
    "\n": Order.PAUSE,
    "\x1b[15~": Order.PAUSE,
    "\x1b[[E": Order.PAUSE,
    "\x1b[C": Order.NEXT,
    "\x1b[6~": Order.NEXT,
    "n": Order.NEXT,
    "p": Order.PREVIOUS,
    "\x1b[D": Order.AGAIN,
    "\x1b[5~": Order.AGAIN,
    "a": Order.AGAIN,
    "h": Order.STAY,
    "\x1b[A": Order.LONGER,
    "+": Order.LONGER,
    "\x1b[B": Order.SHORTER,
    "-": Order.SHORTER,
    "s": Order.SLOWER,
    "f": Order.QUICKER,
    "r": Order.SIDE_AGAIN,
    "o": Order.OTHER_SIDE,
    "v": Order.VOICE_UP,
    "V": Order.VOICE_DOWN,
    "c": Order.CHIMES_UP,
    "C": Order.CHIMES_DOWN,
    "w": Order.FEWER_WORDS,
    "W": Order.ALL_WORDS,
    ".": Order.HUSH,
    "b": Order.HUSH,
    "e": Order.REST,
    "q": Order.QUIT,
    "\x03": Order.END,
}


@each_row("raw, order", BEFORE.items())
def test_what_keys_usually_ask_for(raw: str, order: Order) -> None:
    assert order_of(key_of_sequence(raw), KEYS) is order


def test_every_order_has_a_key_and_esc_asks_for_nothing() -> None:
    assert set(KEYS.values()) == set(Order)
    assert order_of("esc", KEYS) is None


def test_a_button_asks_for_what_buttons_do_unless_it_has_something_of_its_own() -> None:
    assert order_of("button 17", KEYS) is Order.NEXT
    assert order_of("button 17 long", KEYS) is Order.PAUSE
    assert order_of("button 17", {**KEYS, "button 17": None}) is None
    assert order_of("button 4", {**KEYS, "button 17": None, "button": Order.HUSH}) is Order.HUSH
    assert order_of("button longer", KEYS) is None
