"""Where YAML cannot read on: why, in a teacher's words, and the line as it was probably meant.

A line that was mended for reading stays a problem; mending only lets one run find what else is wrong.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from ruamel.yaml.error import MarkedYAMLError, YAMLError

from guide.problem import Problem
from guide.sequence.length_text import clipped
from guide.sequence.nodes import Text
from guide.sequence.source import Source
from guide.sequence.yaml_pitfalls import quoted

#: `  - say: words`: the dashes and the key before a value, and the value.
_LINE = re.compile(r"""(\s*(?:-\s+)*(?:(?:[^\s:#"'\[\]{}&*!|>%@`-][^:#"'\[\]{}]*|"[^"]*"|'[^']*'):\s+)?)(.*)""")

_OPENERS = {
    "[": "opens a list",
    "{": "opens a mapping",
    "*": "calls an alias",
    "&": "sets an anchor",
    "!": "sets a tag",
    "%": "begins an order",
    "@": "is reserved",
    "`": "is reserved",
    "|": "opens a text of several lines",
    ">": "opens a text of several lines",
    ",": "parts the entries of a list",
    "?": "opens a key",
}


@dataclass(frozen=True, slots=True)
class YamlError:
    """Why YAML stopped; `line` and `mended` say how to read on, or `mended` is None."""

    problem: Problem
    line: int
    mended: str | None = None


@dataclass(frozen=True, slots=True)
class StopPoint:
    """What is known where YAML stopped: the file, its lines as read last, the place, YAML's reason, the last text."""

    source: Source
    lines: list[str]
    line: int
    column: int
    began: int
    reason: str
    last: Text | None

    def text(self, number: int) -> str:
        """A line of the file, "" where there is none of that number; lines count from 1."""
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""

    def split(self, number: int) -> tuple[str, str]:
        """What stands before the value of a line, and the value."""
        found = _LINE.fullmatch(self.text(number))
        return (found[1], found[2].rstrip()) if found else ("", self.text(number))


def explain(source: Source, lines: list[str], error: YAMLError, last: Text | None, keys: frozenset[str]) -> YamlError:
    """Why YAML stopped, by the first explanation that fits."""
    scene = _scene(source, lines, error, last)
    for explanation in EXPLANATIONS:
        found = explanation(scene, keys)
        if found:
            return found
    line = min(scene.line, max(1, len(lines)))
    what = f"YAML cannot read on from here: {scene.reason}"
    return YamlError(
        source.problem(line, scene.column, what, "see whether the lines above are lined up and closed"), line
    )


def _scene(source: Source, lines: list[str], error: YAMLError, last: Text | None) -> StopPoint:
    problem: Any = None
    context: Any = None
    reason = "it is not YAML"
    if isinstance(error, MarkedYAMLError):
        problem, context = error.problem_mark, error.context_mark
        reason = str(error.problem or error.context or reason)
        if context is not None and "simple key" in str(error.context):
            problem = context
    mark = problem or context
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    began = context.line + 1 if context is not None else line
    return StopPoint(source, lines, line, column, began, reason, last)


def _long_quote(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    """A quote that was closed by a quote meant to open another."""
    last = scene.last
    if last is None or last.plain or not last.line < last.end_line == scene.line:
        return None
    what = f"the quote that opens here is closed only on line {last.end_line}"
    head, value = scene.split(last.line)
    problem = scene.source.problem(last.line, last.column, what, _quote_fix(value))
    return YamlError(problem, last.line, f"{head}{quoted(value)}" if value else None)


def _open_quote(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    """A quote that is never closed, or closed before the words end."""
    never = "while scanning a quoted scalar" in scene.reason or "end of stream" in scene.reason
    number = scene.began if never else scene.line
    head, value = scene.split(number)
    mark = value[:1]
    if not mark or mark not in "\"'":
        return None
    column = len(head) + 1
    if value.find(mark, 1) < 0:
        what = f"the quote {mark} that opens here is never closed"
        problem = scene.source.problem(number, column, what, _quote_fix(value))
        return YamlError(problem, number, f"{head}{quoted(value[1:] or value)}")
    if never or scene.column <= column + 1:
        return None
    what = f"words go on after the quote {mark} that opens here is closed"
    problem = scene.source.problem(number, column, what, f"write {quoted(clipped(value))}")
    return YamlError(problem, number, f"{head}{quoted(value)}")


def _quote_fix(value: str) -> str:
    return f"write {quoted(clipped(value[1:]))}; or, if the mark is to stay, {quoted(clipped(value))}"


def _escape(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    if "escape" not in scene.reason and "hexdecimal" not in scene.reason:
        return None
    head, value = scene.split(scene.line)
    what = "a backslash in double quotes begins a special character, and this one is not known"
    inner = value[1:-1] if value[:1] == '"' == value[-1:] and len(value) > 1 else value.strip('"')
    problem = scene.source.problem(scene.line, scene.column, what, f"write {quoted(clipped(inner))}")
    return YamlError(problem, scene.line, f"{head}{quoted(inner)}")


def _second_colon(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    """`say: Option: bend`, and a key that stands too far to the right."""
    if "mapping values are not allowed" not in scene.reason:
        return None
    head, value = scene.split(scene.line)
    if scene.column <= len(head):
        return _stray_key(scene, head, keys)
    column = len(head) + 1
    what = "a colon and a space inside words make YAML see a second key"
    fix = f"write `{head.lstrip()}{quoted(clipped(value))}`"
    return YamlError(scene.source.problem(scene.line, column, what, fix), scene.line, f"{head}{quoted(value)}")


def _stray_key(scene: StopPoint, head: str, keys: frozenset[str]) -> YamlError:
    """A `key:` on a line that YAML was reading as the rest of the text above."""
    key = head.strip(" -:")
    text = scene.text(scene.line)
    column = len(text) - len(text.lstrip()) + 1
    above = scene.last.line if scene.last and scene.last.line < scene.line else scene.line - 1
    glued = re.match(r"\s*(?:- )?([a-z][a-z ]*):(\S)", scene.text(above))
    if glued and glued[1] in keys:
        spaced = scene.text(above).replace(f"{glued[1]}:", f"{glued[1]}: ", 1)
        at = glued.start(1) + 1
        what = f"`{glued[1]}:` needs a space after its colon"
        return YamlError(scene.source.problem(above, at, what, f"write `{clipped(spaced.strip())}`"), above, spaced)
    colonless = _colonless(scene, above, keys)
    if colonless:
        return colonless
    if key in keys:
        what = f"`{key}` stands too far to the right, so it is read as part of the text on line {above}"
        front = re.match(r"\s*(?:-\s+)*", scene.text(above))
        lined_up = " " * len(front[0] if front else "") + text.strip()
        problem = scene.source.problem(scene.line, column, what, "line it up with the key above")
        return YamlError(problem, scene.line, lined_up if ":" in scene.text(above) else None)
    what = f"this line is read as part of the text on line {above}, and its colon makes YAML see a key"
    fix = "put quotes around the whole text, or put the colon elsewhere"
    return YamlError(scene.source.problem(scene.line, column, what, fix), scene.line, text.replace(":", ";"))


def _colonless(scene: StopPoint, number: int, keys: frozenset[str]) -> YamlError | None:
    """A key whose colon was forgotten: `- pose mountain`."""
    text = scene.text(number)
    rest = text.lstrip(" -")
    front = text[: len(text) - len(rest)]
    key = max((key for key in keys if rest.startswith(f"{key} ")), key=len, default="")
    if not key:
        return None
    meant = f"{key}: {rest[len(key) :].strip()}"
    problem = scene.source.problem(
        number, len(front) + 1, f"`{key}` needs a colon after it", f"write `{clipped(meant)}`"
    )
    return YamlError(problem, number, front + meant)


def _opener(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    """Words that begin with a sign that means something else to YAML."""
    for number in dict.fromkeys((scene.line, scene.began)):
        head, value = scene.split(number)
        sign = value[:1]
        if sign not in _OPENERS or not value:
            continue
        column = len(head) + 1
        shown = "a backtick" if sign == "`" else f"`{sign}`"
        what = f"words cannot begin with {shown} without quotes: to YAML it {_OPENERS[sign]}"
        problem = scene.source.problem(number, column, what, f"write `{head.lstrip()}{quoted(clipped(value))}`")
        return YamlError(problem, number, f"{head}{quoted(value)}")
    return None


def _no_space(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    """`-Stand` and `hold:5 breaths`."""
    for number in dict.fromkeys((scene.line, scene.line - 1)):
        text = scene.text(number)
        dash = re.match(r"(\s*)-([^-\s].*)", text)
        if dash:
            what = "a dash needs a space after it to begin a new entry"
            problem = scene.source.problem(number, len(dash[1]) + 1, what, f"write `- {clipped(dash[2])}`")
            return YamlError(problem, number, f"{dash[1]}- {dash[2]}")
        key = re.match(r"(\s*(?:- )?)([a-z][a-z ]*):(\S.*)", text)
        if key and key[2] in keys:
            what = f"`{key[2]}:` needs a space after its colon"
            problem = scene.source.problem(number, len(key[1]) + 1, what, f"write `{key[2]}: {clipped(key[3])}`")
            return YamlError(problem, number, f"{key[1]}{key[2]}: {key[3]}")
    return None


def _after_comment(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    """A text that goes on after ` #` on the line above."""
    above = scene.text(scene.line - 1)
    at = above.find(" #")
    if at < 0 or "scalar" not in scene.reason:
        return None
    what = f"YAML takes `{clipped(above[at + 1 :])}` for a comment, so the text cannot go on below it"
    return YamlError(scene.source.problem(scene.line - 1, at + 2, what, "put quotes around the whole text"), scene.line)


def _no_key(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    text = scene.text(scene.line)
    if "could not find expected ':'" not in scene.reason or not text.strip():
        return None
    colonless = _colonless(scene, scene.line, keys)
    if colonless:
        return colonless
    column = len(text) - len(text.lstrip()) + 1
    what = "this line has neither a dash in front nor a key with a colon"
    return YamlError(scene.source.problem(scene.line, column, what, "write `- …` or `say: …`"), scene.line)


def _dash_in_line(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    if "sequence entries are not allowed" not in scene.reason:
        return None
    head, value = scene.split(scene.line)
    whole = f"{head.lstrip()}{quoted(clipped(value))}"
    fix = f"put the entry on a line of its own; or, if it is words, write `{whole}`"
    what = "a list cannot begin on the same line as its key"
    problem = scene.source.problem(scene.line, scene.column, what, fix)
    return YamlError(problem, scene.line, f"{head}{quoted(value)}")


def _not_lined_up(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    text = scene.text(scene.line)
    if "expected <block end>" not in scene.reason or not text.strip():
        return None
    column = len(text) - len(text.lstrip()) + 1
    what = "this line is not lined up with any line above it"
    fix = "give it as many spaces in front as the line it belongs with"
    return YamlError(scene.source.problem(scene.line, column, what, fix), scene.line)


def _unclosed(scene: StopPoint, keys: frozenset[str]) -> YamlError | None:
    if "',' or ']'" not in scene.reason and "',' or '}'" not in scene.reason:
        return None
    what = f"the list or mapping opened on line {scene.began} is not closed before this"
    fix = "close it with `]` or `}`, and put quotes around words with a colon in them"
    return YamlError(scene.source.problem(scene.line, scene.column, what, fix), scene.line)


#: Tried in this order; each returns None when it does not fit.
EXPLANATIONS: tuple[Callable[[StopPoint, frozenset[str]], YamlError | None], ...] = (
    _long_quote,
    _escape,
    _open_quote,
    _second_colon,
    _opener,
    _no_space,
    _after_comment,
    _no_key,
    _dash_in_line,
    _not_lined_up,
    _unclosed,
)
