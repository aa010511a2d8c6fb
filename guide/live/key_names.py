"""What the screen's library and the kernel call the keys, put into the names that they have here."""

import re
import unicodedata

from guide.live.keys import MODIFIERS, key_of_character, with_held

#: Names of Textual that are no names of characters, or not Unicode's.
_TEXTUAL = {
    "pageup": "page up",
    "pagedown": "page down",
    "escape": "esc",
    "return": "enter",
    "newline": "enter",
    "ctrl+j": "enter",
    "ctrl+m": "enter",
    "ctrl+i": "tab",
    "ctrl+at": "ctrl space",
    "slash": "/",
    "backslash": "\\",
    "at": "@",
    "minus": "-",
    "plus": "+",
    "underscore": "_",
}


def key_of_textual(key: str, character: str | None) -> str:
    """The name of a key as Textual tells it: its own name, and the character that it types, if any."""
    if key in _TEXTUAL:
        return _TEXTUAL[key]
    if len(key) == 1:
        return key_of_character(key)
    *held, last = key.split("+")
    if character is not None and len(character) == 1 and character.isprintable() and not set(held) - {"shift"}:
        return key_of_character(character)
    name = _TEXTUAL.get(last) or _sign(last) or last.replace("_", " ")
    return with_held(sum(MODIFIERS.get(word, 0) for word in held), name)


def _sign(name: str) -> str:
    """The character of a name such as `full_stop` or `upper_v`."""
    if re.fullmatch("upper_[a-z]", name):
        return name[-1].upper()
    for spaced in (name.replace("_", " "), name.replace("_", "-")):
        try:
            found = unicodedata.lookup(spaced)
        except KeyError:
            continue
        # Unicode also names characters without a sign, such as space, tab and delete.
        return found if found.isprintable() and found != " " else ""
    return ""


#: Keys whose name in the kernel is no plain word. Source: linux/input-event-codes.h.
KERNEL = {
    "PAGEUP": "page up",
    "PAGEDOWN": "page down",
    "LINEFEED": "enter",
    "KPENTER": "enter",
    "DOT": ".",
    "COMMA": ",",
    "MINUS": "-",
    "EQUAL": "=",
    "SLASH": "/",
    "BACKSLASH": "\\",
    "SEMICOLON": ";",
    "APOSTROPHE": "'",
    "GRAVE": "`",
    "LEFTBRACE": "[",
    "RIGHTBRACE": "]",
    "QUESTION": "?",
    "DOLLAR": "$",
    "EURO": "€",
    "KPDOT": ".",
    "KPCOMMA": ",",
    "KPPLUS": "+",
    "KPMINUS": "-",
    "KPASTERISK": "*",
    "KPSLASH": "/",
    "KPEQUAL": "=",
    "KPLEFTPAREN": "(",
    "KPRIGHTPAREN": ")",
    "NUMERIC_STAR": "*",
    "NUMERIC_POUND": "#",
    "NEXTSONG": "next song",
    "PREVIOUSSONG": "previous song",
    "PLAYPAUSE": "play pause",
    "PLAYCD": "play",
    "PAUSECD": "pause",
    "STOPCD": "stop",
    "FASTFORWARD": "fast forward",
    "VOLUMEUP": "volume up",
    "VOLUMEDOWN": "volume down",
    "CHANNELUP": "channel up",
    "CHANNELDOWN": "channel down",
    "BRIGHTNESSUP": "brightness up",
    "BRIGHTNESSDOWN": "brightness down",
    "SCROLLUP": "scroll up",
    "SCROLLDOWN": "scroll down",
    "CAPSLOCK": "caps lock",
    "NUMLOCK": "num lock",
    "SCROLLLOCK": "scroll lock",
    "HOMEPAGE": "home page",
    "WAKEUP": "wake up",
    "ZOOMIN": "zoom in",
    "ZOOMOUT": "zoom out",
}

#: Buttons of a mouse; the others are those of a game pad, of which some pedals are made.
_MOUSE = ("LEFT", "RIGHT", "MIDDLE", "SIDE", "EXTRA", "FORWARD", "BACK", "TASK")


def key_of_evdev(code_name: str) -> str:
    """The name of a key as the kernel has it: KEY_PAGEDOWN, BTN_LEFT, KEY_NEXTSONG."""
    kind, _, name = code_name.partition("_")
    if kind == "BTN":
        return f"{'mouse' if name in _MOUSE else 'pad'} {name.replace('_', ' ').lower()}"
    if kind != "KEY":
        return code_name.replace("_", " ").lower()
    if name in KERNEL:
        return KERNEL[name]
    digit = re.fullmatch("(?:KP|NUMERIC_)?([0-9])", name)
    if digit:
        return digit[1]
    sided = re.fullmatch("(LEFT|RIGHT)(SHIFT|CTRL|ALT|META)", name)
    return (f"{sided[1]} {sided[2]}" if sided else name.replace("_", " ")).lower()
