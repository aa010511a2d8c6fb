"""Words that name the wrong side.

The rule reads the words of each step as they are said, `<side>` put in, and knows five ways in which a side gives
itself away, each from the class alone:

1. *By the sentence*: "cross the right thigh over the right", "close the right nostril, breathe in through the right".
2. *By the pose*: in warrior two on the left the left knee bends. Which limb does what in a pose is in
   `sides/pose_facts`, first of all from the words of the pose library; how words say what a limb does, in
   `sides/limb_facts`, alike for all poses. Where teachers name a pose by either side (tree, half moon), and both passes
   of a class agree with each other, either is right; a lying twist is named by the knees or by the gaze, and its words
   must only go together. The moves and talks right before a pose count too; words with an "if", or of another pass,
   or that lead to another pose, are left alone.
3. *By the name*: "Warrior two, right side" on the left.
4. *By both passes*: a side written out, and said on the right and on the left alike, is wrong on one of them.
5. *By the twin*: where the words of the two sides are alike, each side in them changes over.

It keeps quiet about sentences that are as true on either side ("right, then left": `sides/sentences`), about what is
no side at all ("right away", "two breaths left": `sides/words`), and about the head in a twist, which teachers turn as
they like. It knows no grammar beyond clauses; what it does not understand it lets pass.
"""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from guide.plan.advice.facts import named, quoted
from guide.plan.advice.sides.patterns import ToldFact, told_facts
from guide.plan.advice.sides.pose_facts import COMMON, PoseFacts, facts_in
from guide.plan.advice.sides.sentences import contradiction, is_even
from guide.plan.advice.sides.twins import Unchanged, is_twin, unchanged
from guide.plan.advice.sides.words import Mention, Sentence, mentions, sentences, shown
from guide.plan.advice.view import Advice, ClassView
from guide.problem import Place
from guide.sequence.steps import OUT_OF, CueKind, Side, Step, StepKind, Words

NAME = "wrong side"

REASON = (
    "Half of the room follows the words and the other half the body: a right that should be a left sends people into "
    "each other, and bends the wrong knee."
)

#: How far apart two single steps may stand and still be the two sides of one thing.
NEAR_STEPS = 12

#: How many moves and talks before a pose are taken for the way into it.
WAY_IN_STEPS = 8

#: What shows that a sentence speaks of another pass than this one.
_ELSEWHERE = re.compile(
    r"\b(?:moment|later|next(?! (?:to|exhale|inhale|breath))|soon|"
    r"then we|after ?wards?|as on|same as|was|were|did|(?:second|next) side|(?:for|to) the other side|like on|"
    r"compared?|than (?:on |in |the |your )*(?:right|left|other|first))\b"
)

#: What shows that a sentence offers something besides the pose, or leads out of it: no limb is wrong there.
_BESIDE = re.compile(
    r"(?<!as )\bif\b(?! (?:you (?:like|can|want|wish)|it reaches|possible))|\bfor (?:a|one) (?:breath|moment|second)\b"
    r"|\binstead\b|\bto (?:balance|undo|counter)\b|^(?:come (?:up|out)|(?:release|unwind)(?! (?:the|your)))\b"
    r"|\b(?:to|into) (?:(?:a|the|your) )?(?:down(?:ward)?|hands and|all fours|plank|mountain|standing|table|neutral)\b"
    r"|\b(?:(?:feet|foot|legs|heels) together|to (?:meet|join|stand|come (?:up|out))|(?:change|switch) sides)\b"
)

_ANNOUNCING = re.compile(r"^(?:and |so |now |here )*(?:this is|here we are|we are|we stay|we begin|begin|start|stay)\b")


@dataclass(frozen=True, slots=True)
class _Said:
    """Words said in a step, and the step's number."""

    words: Words
    step: int

    @property
    def is_own(self) -> bool:
        return not self.words.from_library


def advise(view: ClassView) -> Iterator[Advice]:
    told: set[Place] = set()
    for finding in (_by_sentence, _by_pose, _by_name, _by_both_passes, _by_twins):
        found = [advice for advice in finding(view) if advice.place not in told]
        told |= {advice.place for advice in found}
        yield from found


def _said(view: ClassView, number: int) -> tuple[_Said, ...]:
    step = view.step(number)
    return tuple(_Said(words, number) for words in (*step.entry, *step.words))


def _advice(said: _Said, what: str, fix: str, *others: int) -> Advice:
    return Advice(said.words.place, NAME, what, fix, tuple(sorted({said.step, *others})))


def _by_sentence(view: ClassView) -> Iterator[Advice]:
    for number in range(len(view.steps.steps)):
        for said in filter(lambda said: said.is_own, _said(view, number)):
            for sentence in sentences(said.words.text):
                what = contradiction(sentence) or _against_itself(sentence)
                if what:
                    yield _advice(said, what, "change one of the two sides over")


def _against_itself(sentence: Sentence) -> str:
    """Two things told that no pose can have together: who leans to the right reaches the left arm over."""
    facts = PoseFacts(COMMON, firm=False)
    found = {facts.side_of_pose(each.fact, each.side): each for each in told_facts(sentence, tuple(facts.sign))}
    if len(found) < 2:
        return ""
    first, second = (shown(sentence, each.mention) for each in found.values())
    return f"“{first}” and “{second}” do not go together"


def _by_pose(view: ClassView) -> Iterator[Advice]:
    for number, step in enumerate(view.steps.steps):
        side, facts = _side_of(step), _facts(view, step)
        if side is None or not facts.sign or (step.kind is StepKind.MOVE and step.side is not None):
            continue
        if step.kind is not StepKind.TALK:
            alone = facts.usual and step.side is not None and not _has_other_pass(view, step)
            wrong = tuple(_not_of_this_side(view, number, side, facts)) if facts.firm or alone else ()
            yield from wrong if wrong or facts.firm else _disagreeing(view, number, facts)


def _has_other_pass(view: ClassView, step: Step) -> bool:
    return any(each.known == step.known and each.side is not step.side and each.side for each in view.steps.steps)


def _side_of(step: Step) -> Side | None:
    """The side of a step, or the one in the name of its pose: "warrior one, right"."""
    sides = {mention.side for mention in mentions(f"on the {_name_side(step)}")} if step.side is None else {step.side}
    return sides.pop() if len(sides) == 1 else None


def _name_side(step: Step) -> str:
    found = re.search(r"\b(?:right|left)\b", named(step) or "", re.IGNORECASE)
    return found[0] if found else ""


def _facts(view: ClassView, step: Step) -> PoseFacts:
    name = step.known or named(step)
    return facts_in(None if name is None else view.library.find(name))


def _not_of_this_side(view: ClassView, number: int, side: Side, facts: PoseFacts) -> Iterator[Advice]:
    """Words of a pose, or of the way into it, that are for its other side."""
    here = [(said, sentence, each) for said in _said(view, number) for sentence, each in _read(said, facts)]
    way_in = _way_in(view, number)
    front = [(said, sentence, each) for said in way_in for sentence, each in _read(said, facts) if each.fact == "front"]
    last = front[-1:] if not any(each.fact == "front" for _, _, each in here) else []
    for said, sentence, each in (*last, *here):
        if said.is_own and facts.side_of_pose(each.fact, each.side) is not side:
            words, pose = shown(sentence, each.mention), quoted(view.step(number))
            what = f"“{words}” is for {pose} on the {side.other.value} side, and this is the {side.value}"
            yield _advice(said, what, _instead(each.mention), number)


def _instead(mention: Mention) -> str:
    return f"the {mention.side.other.value} one, or the other of `<side>` and `<other side>`"


def _disagreeing(view: ClassView, number: int, facts: PoseFacts) -> Iterator[Advice]:
    """Words of a pose that may be named by either side, of which some mean one side and some the other."""
    read = [
        (said, sentence, each)
        for said in (*_way_in(view, number), *_said(view, number))
        for sentence, each in _read(said, facts)
    ]
    meant = [facts.side_of_pose(each.fact, each.side) for _, _, each in read]
    if len(set(meant)) < 2:
        return
    usual = max(Side, key=lambda side: (meant.count(side), meant[0] is side))
    for (said, sentence, each), side in zip(read, meant, strict=True):
        if said.is_own and side is not usual:
            words, pose = shown(sentence, each.mention), quoted(view.step(number))
            what = f"“{words}” in {pose} is not the side of the other words"
            yield _advice(said, what, _instead(each.mention), number)


def _way_in(view: ClassView, number: int) -> list[_Said]:
    """What the moves and talks right before a pose say, on the same pass."""
    first, side = number, view.step(number).side
    while number - first < WAY_IN_STEPS and first and _leads_on(view.step(first - 1), side):
        first -= 1
    return [said for each in range(first, number) for said in _said(view, each)]


def _leads_on(step: Step, side: Side | None) -> bool:
    return (
        step.kind in (StepKind.MOVE, StepKind.TALK) and not step.title.startswith(OUT_OF) and step.side in (None, side)
    )


def _read(said: _Said, facts: PoseFacts) -> Iterator[tuple[Sentence, ToldFact]]:
    for sentence in sentences(said.words.text):
        text = " ".join(sentence.words)
        if not (_ELSEWHERE.search(text) or _BESIDE.search(text) or is_even(sentence, sentence.mentions)):
            for each in facts.read(sentence):
                yield sentence, each


def _by_name(view: ClassView) -> Iterator[Advice]:
    for number, step in enumerate(view.steps.steps):
        for said in _said(view, number) if step.side is not None else ():
            for sentence, mention in _announced(said, _facts(view, step).firm):
                if said.is_own and mention.side is not step.side:
                    what = f"“{shown(sentence, mention)}” is announced, and this is the {mention.side.other.value} side"
                    yield _advice(said, what, _instead(mention))


def _announced(said: _Said, firm: bool) -> Iterator[tuple[Sentence, Mention]]:
    """The sides that are announced: in a name, or by "this is the left side", "we begin on the right"."""
    for sentence in sentences(said.words.text):
        text = " ".join(sentence.words)
        is_name = said.words.kind is CueKind.NAME
        announcing = _ANNOUNCING.search(text) and not _ELSEWHERE.search(text)
        for mention in sentence.mentions:
            on = mention.first > 1 and sentence.words[mention.first - 2] in ("on", "is")
            if mention.limb == "side" and (is_name or (announcing and on)):
                yield sentence, mention
            if mention.limb == "way" and ((is_name and firm) or (announcing and on)):
                yield sentence, mention


def _by_both_passes(view: ClassView) -> Iterator[Advice]:
    """Words written once and said on both passes, in which a side stays what it is."""
    for by_side in _written_once(view).values():
        if len(by_side) == 2:
            first, second = by_side.values()
            for found in unchanged(first.words.text, second.words.text):
                what = f"“{shown(found.mine, found.mention)}” is said on both sides"
                yield _advice(first, what, "write `<side>` or `<other side>`", second.step)


def _written_once(view: ClassView) -> dict[tuple[Place, int], dict[Side, _Said]]:
    """For each place in the file, what is said there on each side; its first time, where there are rounds."""
    spoken: dict[tuple[Place, int], dict[Side, _Said]] = defaultdict(dict)
    for number, step in enumerate(view.steps.steps):
        for said in _said(view, number):
            if step.side is not None and said.is_own:
                spoken[said.words.key].setdefault(step.side, said)
    return spoken


def _by_twins(view: ClassView) -> Iterator[Advice]:
    """Words of one side against those of its twin, where each is written for itself."""
    shared = {key for key, by_side in _written_once(view).items() if len(by_side) == 2}
    for first, second in _twins(view):
        mine = [said for said in _said(view, first) if said.is_own and said.words.key not in shared]
        theirs = [said for said in _said(view, second) if said.is_own and said.words.key not in shared]
        for said in theirs:
            other = next((each for each in mine if is_twin(said.words.text, each.words.text)), None)
            for found in unchanged(said.words.text, other.words.text) if other else ():
                yield _advice(said, _stays(found), "change it over too", first)


def _stays(found: Unchanged) -> str:
    return f"“{shown(found.mine, found.mention)}” is said on the other side as well"


def _twins(view: ClassView) -> Iterator[tuple[int, int]]:
    """The steps that are the two sides of one thing: by `both sides`, or by one pose done on both sides nearby."""
    waiting: dict[tuple[str, str], int] = {}
    for number, step in enumerate(view.steps.steps):
        if step.side is None:
            continue
        key = ("pair", step.pair) if step.pair else ("pose", step.known or named(step) or step.kind.value)
        first = waiting.get(key)
        near = first is not None and (step.pair or number - first <= NEAR_STEPS)
        if first is not None and near and view.step(first).side is step.side.other:
            del waiting[key]
            yield first, number
        else:
            waiting[key] = number
