""" "Inhale" in an exhale, and the reverse."""

import re
from collections.abc import Iterator

from guide.plan.advice.facts import sentence
from guide.plan.advice.said import clause_before, own_words
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.steps import Breath, StepKind

NAME = "other breath"

REASON = (
    "The words of a move are said on its breath. Who hears “breathe in” while the chime and the room breathe out has "
    "to choose, and holds the breath meanwhile."
)


def _asking(verb: str, way: str, air: str) -> re.Pattern[str]:
    """Words that ask for one half of a breath now."""
    return re.compile(
        rf"(?:^|[,.;:!?–—]\s*|\b(?:and|then|now|to|slowly|deeply|again) ){verb}(?:ing)?\b"
        rf"|\bas you (?:{verb}|breathe {way})\b|\b{verb.removesuffix('e')}ing\b"
        rf"|\bbreath(?:e|ing) (?:deeply |slowly )?{way}\b(?! (?:and (?:in|out)|your own|peace|this|that|a rhythm)\b)"
        rf"|\b(?:on|with) (?:an?|the|your|this) (?:{verb}|{way}-?breath|breath {way}|{verb.removesuffix('e')}ation)\b"
        rf"|{air}",
        re.IGNORECASE,
    )


_A_BREATH = r"(?:(?:a|the|your|all|one|in|some|more|long|deep|big|full|slow|fresh|of) )*(?:breath|air)\b"
_ASKING = {
    Breath.INHALE: _asking(
        "inhale",
        "in",
        rf"\b(?:take|draw|suck|pull|sniff) {_A_BREATH}(?! out)|\bfill (?:your|both|the) (?:lungs|chest)\b",
    ),
    Breath.EXHALE: _asking(
        "exhale",
        "out",
        rf"\b(?:sigh|blow|push|press|let|puff|release) (?:out )?{_A_BREATH}(?: go)?(?: all)? ?out\b|"
        r"\bblow out\b|\bsigh it out\b|\bempty (?:your|both|the) (?:lungs|chest)\b",
    ),
}

#: `before you breathe in again`, `breathe out later`: another breath than this one.
_ANOTHER = re.compile(
    r"\b(?:before|after|until|than|when|next|last|ready|wait|later|soon|will|for|never|not|without|from|once)\b|n['’]t\b",
    re.IGNORECASE,
)


def advise(view: ClassView) -> Iterator[Advice]:
    for number, step in enumerate(view.steps.steps):
        if step.kind is not StepKind.MOVE or step.breath is None:
            continue
        other = step.breath.other
        for words in own_words(view, number):
            said = re.sub(rf"^{step.breath.value}, ", "", words.text, flags=re.IGNORECASE)
            found = next((each for each in _ASKING[other].finditer(said) if _is_now(said, each)), None)
            if found is not None and not _ASKING[step.breath].search(said):
                what = f"{sentence(said)} asks for the {other.value}, and the move is an {step.breath.value}"
                yield Advice(
                    words.place, NAME, what, f"write it under `{other.value}:`, or change the words", (number,)
                )


def _is_now(text: str, found: re.Match[str]) -> bool:
    around = clause_before(text, found.start()) + found[0] + re.split(r"[,.;:!?]", text[found.end() :])[0]
    return not _ANOTHER.search(around)
