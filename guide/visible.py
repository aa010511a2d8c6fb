"""Text on its way out of the program: nothing in it moves a cursor, turns words round, or hides what stands there."""

import json
import re
from typing import Any

#: What is written as an escape, as a set of a regular expression: control characters but for tabs and line ends, the
#: separators of lines and paragraphs, marks that turn the order of words, halves of characters, and what is none.
#: Source: Unicode Standard 23.1 "Control Codes" and 23.7 "Noncharacters"; UAX #9 2.1 to 2.3 (embeddings, overrides,
#: isolates). The marks of 2.6, which every text in Hebrew or Arabic may have, turn nothing but what stands beside them.
UNSEEN = "\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff"

_UNSEEN = re.compile(f"[{UNSEEN}]")
_UNSEEN_OR_LAYOUT = re.compile(f"[{UNSEEN}\t\n]")


def visible(text: str) -> str:
    """`text` with an escape such as `\\x1b` for each character of `UNSEEN`; its tabs and line ends stay."""
    return _UNSEEN.sub(_escape, text)


def visible_in_line(text: str) -> str:
    """`text` that came from elsewhere and is to be part of a line: its tabs and line ends are escapes as well."""
    return _UNSEEN_OR_LAYOUT.sub(_escape, text)


def json_text(value: Any, indent: int | None = None) -> str:
    """`value` as JSON that is read back as it was, in letters of all writing; what is in `UNSEEN` stands as escapes."""
    return _UNSEEN.sub(lambda found: f"\\u{ord(found[0]):04x}", json.dumps(value, ensure_ascii=False, indent=indent))


def _escape(found: re.Match[str]) -> str:
    point = ord(found[0])
    return {9: "\\t", 10: "\\n", 13: "\\r"}.get(point) or (f"\\x{point:02x}" if point < 0x100 else f"\\u{point:04x}")
