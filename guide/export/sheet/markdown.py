"""A sheet as Markdown: the same words as nested lists, without figures."""

import re
from collections.abc import Iterator, Sequence

from guide.export.sheet.content import FIXED_SPACE, Card, CardGroup, ClassSheet, PoseCard, SectionScript

#: What would be read as more than text. (Source: CommonMark 0.31, 2.4 "Backslash escapes".)
_MEANT = re.compile(r"([\\`*_\[\]<>#|~])")


def sheet_markdown(sheet: ClassSheet) -> str:
    """The text of a sheet."""
    return "\n".join(_lines(sheet)) + "\n"


def _lines(sheet: ClassSheet) -> Iterator[str]:
    yield from (f"# {_text(sheet.title)}", "", _text(sheet.facts), "")
    yield from (f"- **{label}:** {_text(things)}" for label, things in sheet.props)
    if sheet.legend:
        yield f"- {sheet.legend}"
    for section in sheet.sections:
        title = f"## {_text(section.title)}, " if section.title else "## "
        yield from ("", f"{title}{section.clock} ({section.length})", "")
        yield from _cards(section.cards, "")
    if sheet.cautions:
        yield from ("", "## With care for", "")
        yield from (f"- **{name}:** {_text(said)}" for name, said in sheet.cautions)
    yield from ("", _text(sheet.warning))
    if sheet.scripts:
        yield from ("", "## Every word that is said")
        for script in sheet.scripts:
            yield from _script(script)


def _cards(cards: Sequence[Card], indent: str) -> Iterator[str]:
    for card in cards:
        if isinstance(card, CardGroup):
            yield f"{indent}- {card.mark}"
            yield from _cards(card.cards, f"{indent}  ")
        elif isinstance(card, PoseCard):
            name = _text(card.titled) if card.breath else f"**{_text(card.titled)}**"
            facts = ", ".join(filter(None, (f"{card.clock} {name}", card.amount)))
            yield f"{indent}- {facts}" + (f": {_text(card.key)}" if card.key else "")
        else:
            yield from (f"{indent}- {_text(line)}" for line in card.lines)


def _script(script: SectionScript) -> Iterator[str]:
    if script.title:
        yield from ("", f"### {_text(script.title)}")
    for step in script.steps:
        yield from ("", f"{step.clock}" + (f" **{_text(step.name)}**" if step.name else ""), "")
        yield from (f"- {_text(words)}" for words in step.words)


def _text(words: str) -> str:
    return _MEANT.sub(r"\\\1", words.replace(FIXED_SPACE, " "))
