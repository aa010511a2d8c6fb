"""What rules about words share: the file's own words of each step, and whether a phrase is meant as it stands."""

import re
from collections.abc import Iterator

from guide.plan.advice.facts import sentence
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.steps import CueKind, Words

_CLAUSE_ENDS = re.compile(r"[,.;:!?…–—()\n]|\bbut\b")

#: `never push through pain`, `without locking your knees`: the opposite advice, or a doubt.
_DENYING = re.compile(
    r"\b(?:never|not|no|none|nor|nothing|without|avoid|avoids|stop|rather than|instead of|nobody|neither|cannot|"
    r"beware|careful|before|may|might|perhaps|unlock|than|free of|keeps? you from|if you|whoever)\b|n['’]t\b",
    re.IGNORECASE,
)


def own_words(view: ClassView, number: int) -> tuple[Words, ...]:
    """What the file itself says in a step, a written name included."""
    step = view.step(number)
    return tuple(words for words in (*step.entry, *step.words) if words.from_library == 0)


def clause_before(text: str, start: int) -> str:
    """The clause of a text that leads up to a place in it."""
    return _CLAUSE_ENDS.split(text[:start])[-1]


def meant(pattern: re.Pattern[str], text: str) -> re.Match[str] | None:
    """The first place where a text says this and means it: no word before it in the clause denies it."""
    found = pattern.finditer(text)
    return next((each for each in found if not _DENYING.search(clause_before(text, each.start()))), None)


def told(view: ClassView, rule: str, pattern: re.Pattern[str], what: str, fix: str) -> Iterator[Advice]:
    """The same advice for every cue of the file that says this and means it, at its line."""
    for number in range(len(view.steps.steps)):
        for words in own_words(view, number):
            if words.kind is not CueKind.COUNT and (found := meant(pattern, words.text)):
                yield Advice(words.place, rule, f"{sentence(found[0])} {what}", fix, (number,))
