"""Traps of YAML that would quietly change a teacher's words, each explained with the exact text to write.

Nothing here stops YAML from reading the file; what does is explained in `yaml_errors`.

- ` #` after words without quotes: YAML takes the rest of the line for a comment, and only the teacher knows whether it
  was meant to be said. So a comment after words is refused; after a length or a number it stays a comment.
- A dash without a space, or a `key:` without one, joins the text before it.
- `yes`, `null` and numbers are not text to YAML, and other programs that read the file would stumble.
- A comma in a list in brackets splits the words.
"""

import re
from collections.abc import Iterator

from guide.problem import Problem
from guide.sequence.length_text import clipped
from guide.sequence.nodes import DEEPEST, Odd, Oddity, Text
from guide.sequence.source import INVISIBLE, Source

#: Longer words are a pasted page, not a cue (a voice needs more than two minutes for them).
MOST_LETTERS = 2_000

#: Read as yes and no by older YAML programs.
OLD_YES_NO = frozenset({"yes", "no", "on", "off"})

_DASH = re.compile(r"\s*-[^-\s]")
_NESTED_DASH = re.compile(r"\s*-(\s|$)")
_GLUED_KEY = re.compile(r"\s*(?:- )?([a-z][a-z ]*):\S")
_ANGLE = re.compile(r"<([^<>]*)>")
_SIDE = re.compile(r"(other )?side", re.IGNORECASE)


def quoted(text: str) -> str:
    """`text` in the quotes that keep it as it is in YAML."""
    text = " ".join(text.split())
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'


def in_words(source: Source, text: Text, *, keys: frozenset[str]) -> Iterator[Problem]:
    """Every trap that these words fell into; `keys` are all keys of a sequence file."""
    if text.anchor:
        yield odd(source, Odd(text.oddity, text.line, text.column))
    if text.plain:
        yield from _not_text(source, text)
        yield from _comment(source, text)
        yield from _joined(source, text, keys)
    if len(text.value) > MOST_LETTERS:
        what = f"these words have {len(text.value):,} letters; {MOST_LETTERS:,} is the most"
        yield source.problem(text.line, text.column, what, "cut them into several cues")
    yield from _unspeakable(source, text)


def unknown_places(source: Source, text: Text) -> Iterator[Problem]:
    """What stands in angle brackets in words to say, and is no side."""
    for angle in _ANGLE.finditer(text.value):
        if not _SIDE.fullmatch(angle[1]):
            what = f"nothing is known to put in for `{clipped(angle[0])}`"
            yield source.problem(text.line, text.column, what, "write `<side>` or `<other side>`")


def _not_text(source: Source, text: Text) -> Iterator[Problem]:
    if text.null and text.value:
        what = f"`{text.value}` without quotes means nothing at all to YAML"
    elif text.boolean or text.value.lower() in OLD_YES_NO:
        what = f"`{text.value}` without quotes is a yes or no to programs that read YAML, not words"
    elif text.number:
        what = f"`{clipped(text.value)}` without quotes is a number to YAML, not words"
    else:
        return
    yield source.problem(text.line, text.column, what, f"write {quoted(clipped(text.value))}")


def comment_after(source: Source, text: Text) -> str:
    """The comment that YAML sees on the line where a text without quotes ends, or nothing."""
    rest = source.line(text.end_line)[text.end_column - 1 :]
    return rest.strip() if rest.lstrip().startswith("#") else ""


def _comment(source: Source, text: Text) -> Iterator[Problem]:
    comment = comment_after(source, text)
    if comment and text.value:
        column = source.line(text.end_line).index("#", text.end_column - 1) + 1
        whole = quoted(f"{text.value} {comment}")
        what = f"YAML takes `{clipped(comment)}` for a comment, so it would not be said"
        fix = f"if it is to be said, write {whole}; if it is a comment, put it on a line of its own"
        yield source.problem(text.end_line, column, what, fix)


def _joined(source: Source, text: Text, keys: frozenset[str]) -> Iterator[Problem]:
    """A first or following line that begins like a new cue or key, but was taken into the text."""
    if _DASH.match(text.value):
        line = source.line(text.line)[text.column :].strip()
        fix = f"write `- {clipped(line)}`; or, if the dash is to stay, {quoted(clipped('-' + line))}"
        yield source.problem(text.line, text.column, "a dash needs a space after it to begin a new entry", fix)
    key = _GLUED_KEY.match(text.value)
    if key and key[1] in keys:
        yield _glued(source, text.line, text.column, key[1])
    for number in range(text.line + 1, text.end_line + 1):
        line = source.line(number)
        column = len(line) - len(line.lstrip()) + 1
        key = _GLUED_KEY.match(line)
        if _DASH.match(line):
            what = f"a dash needs a space after it; as it is, this line is said as part of line {text.line}"
            yield source.problem(number, column, what, f"write `- {clipped(line.strip()[1:])}`")
        elif _NESTED_DASH.match(line):
            what = f"this line stands too far to the right and is said as part of line {text.line}"
            yield source.problem(number, column, what, "put its dash under the dash above")
        elif key and key[1] in keys:
            yield _glued(source, number, column, key[1])


def _glued(source: Source, line: int, column: int, key: str) -> Problem:
    fix = f"write `{key}: ` with a space, on a line of its own"
    return source.problem(line, column, f"`{key}:` needs a space after its colon; as it is, it is taken for words", fix)


def _unspeakable(source: Source, text: Text) -> Iterator[Problem]:
    found = None if text.plain else INVISIBLE.search(text.value)
    if found:
        what = f"the character U+{ord(found[0]):04X} in this text cannot be said or shown"
        yield source.problem(text.line, text.column, what, "delete it")


def swallowed(source: Source, line: int, column: int) -> str:
    """The words that a `#` right after a key has taken away, or nothing."""
    rest = source.line(line)[max(0, column - 1) :].strip()
    return rest if rest.startswith("#") and not rest.startswith("# ") else ""


_ODD_WORDS = {
    Oddity.ALIAS: "an alias of YAML, which a sequence file uses for lengths only",
    Oddity.ANCHOR: "an anchor of YAML, which a sequence file uses for lengths only",
    Oddity.TAG: "a tag of YAML, which a sequence file does not use",
}


def odd(source: Source, found: Odd) -> Problem:
    """The problem that tells of something which YAML allows and a sequence file does not use."""
    rest = source.line(found.line)[found.column - 1 :].strip()
    sign = clipped(rest.split()[0] if rest else "")
    what, fix = {
        Oddity.KEY: ("a list or a mapping cannot be a key", f"if these are words, write {quoted(clipped(rest))}"),
        Oddity.DOCUMENT: ("a second document begins here; a file holds one class", "remove the `---`"),
        Oddity.DEEP: (f"lists and mappings are nested more than {DEEPEST} deep", "use blocks to keep the file flat"),
        Oddity.LONG: ("the file holds too many keys and values to be one class", "move parts into block files"),
    }.get(found.oddity) or (
        f"`{sign}` is {_ODD_WORDS[found.oddity]}",
        f"if these are words, write {quoted(clipped(rest))}; to use steps twice, write a block instead",
    )
    return source.problem(found.line, found.column, what, fix)
