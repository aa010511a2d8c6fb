"""What keys are called, whatever sends them, and what each asks for by itself.

A key has one name, in plain words: `space`, `page down`, `f5`, `.`, `V`. Terminals, the screen, pedals and buttons each
have a translation into it (`terminal_keys`, `key_names`).
"""

import re
from collections.abc import Mapping

from guide.live.orders import Order

#: What keys ask for. Presenter remotes send page up and down, `.` or `b`, and F5 (some with shift, which terminals call
#: F17) and Esc in turn; pedals send arrows, pages, space or enter; small remotes the keys of a music player (from
#: memory). Esc asks for nothing.
KEYS: Mapping[str, Order] = {
    "space": Order.PAUSE,
    "enter": Order.PAUSE,
    "f5": Order.PAUSE,
    "f17": Order.PAUSE,
    "play pause": Order.PAUSE,
    "button long": Order.PAUSE,
    "right": Order.NEXT,
    "page down": Order.NEXT,
    "n": Order.NEXT,
    "next song": Order.NEXT,
    "button": Order.NEXT,
    "left": Order.AGAIN,
    "page up": Order.AGAIN,
    "a": Order.AGAIN,
    "previous song": Order.AGAIN,
    "p": Order.PREVIOUS,
    "up": Order.LONGER,
    "+": Order.LONGER,
    "down": Order.SHORTER,
    "-": Order.SHORTER,
    "h": Order.STAY,
    "s": Order.SLOWER,
    "f": Order.QUICKER,
    "r": Order.SIDE_AGAIN,
    "o": Order.OTHER_SIDE,
    "v": Order.VOICE_UP,
    "V": Order.VOICE_DOWN,
    "c": Order.CHIMES_UP,
    "C": Order.CHIMES_DOWN,
    "m": Order.MUSIC_UP,
    "M": Order.MUSIC_DOWN,
    "w": Order.FEWER_WORDS,
    "W": Order.ALL_WORDS,
    ".": Order.HUSH,
    "b": Order.HUSH,
    "e": Order.REST,
    "u": Order.UNDO,
    "q": Order.QUIT,
    "ctrl c": Order.END,
}

#: What keys ask for, where a key may have been told to ask for nothing.
Bindings = Mapping[str, Order | None]


def order_of(key: str, bindings: Bindings) -> Order | None:
    """What a key asks for; `button 17` asks for what `button` does, unless it has something of its own."""
    if key in bindings:
        return bindings[key]
    return bindings.get(re.sub(r"^button [0-9]+", "button", key))


#: How characters without a sign are called; other control characters are `ctrl a` and so on.
_CHARACTERS = {
    " ": "space",
    "\r": "enter",
    "\n": "enter",
    "\t": "tab",
    "\x1b": "esc",
    "\x7f": "backspace",
    "\b": "backspace",
    "\0": "ctrl space",
}


def key_of_character(character: str) -> str:
    """The name of the key that types a character; one without a sign and a name is called by its bytes."""
    if character in _CHARACTERS:
        return _CHARACTERS[character]
    if character < " ":
        return f"ctrl {chr(ord(character) + 64).lower()}"
    return character if character.isprintable() else bytes_of(character)


def bytes_of(raw: str) -> str:
    """The name of a key that has none: `bytes 1b 5b 39`. So it can be learned all the same."""
    return f"bytes {raw.encode('utf-8', 'replace').hex(' ')}"


#: Keys held while another is pressed, in the order in which they are named, with xterm's numbers for them.
MODIFIERS = {"ctrl": 4, "alt": 2, "shift": 1, "super": 8}

#: What shift makes of the signs of a keyboard (United States).
_SHIFTED = dict(zip("`1234567890-=[]\\;',./", '~!@#$%^&*()_+{}|:"<>?', strict=True))


def with_held(modifiers: int, key: str) -> str:
    """A key pressed while others are held: `ctrl right`, `V`; their numbers are added up."""
    if modifiers & 15 == MODIFIERS["shift"]:
        return with_shift(key)
    return " ".join([*(word for word, bit in MODIFIERS.items() if modifiers & bit), key])


def with_shift(key: str) -> str:
    """A key pressed while shift is held: `V`, `+`, `f17` for f5 (as terminals call it), `shift page up`."""
    if re.fullmatch(r"f([1-9]|1[0-2])", key):
        return f"f{int(key[1:]) + 12}"
    if len(key) == 1:
        return _SHIFTED.get(key, key.upper())
    return f"shift {key}"


#: Other ways in which people write the names of keys.
_OTHERWISE = {
    "pageup": "page up",
    "pagedown": "page down",
    "pgup": "page up",
    "pgdn": "page down",
    "escape": "esc",
    "return": "enter",
    "spacebar": "space",
    "full stop": ".",
    "dot": ".",
    "comma": ",",
    "plus": "+",
    "minus": "-",
}


def key_as_written(text: str) -> str:
    """The name of a key that a person wrote: `Page Down`, `pgdn` and `page_down` are `page down`; `V` stays `V`."""
    bare = text if text == " " else text.strip()
    if len(bare) == 1:
        return key_of_character(bare)
    words = " ".join(re.split(r"[\s_]+|(?<=[^\s+])\+(?=[^\s+])", bare.lower()))
    if re.fullmatch("shift .", words):
        return with_shift(words[-1])
    return _OTHERWISE.get(words, words)
