"""What a sentence shows of its sides by itself: that it is true on either side, or that it contradicts itself."""

import re
from collections.abc import Iterator, Sequence

from guide.plan.advice.sides.words import Mention, Sentence, shown, words_of
from guide.sequence.steps import Side

#: Words that join two sides without saying that one does something to the other.
_EVEN = words_of(
    """and or nor then the your both neither , as than like equally a little high low much well first one now not only
    but also once again"""
)

#: Words that set one side against the other in thought.
_COMPARING = re.compile(r"\b(?:differ\w*|compar\w*|unlike|than|alike|same as|either|whichever|difference)\b")

#: Advice that has a side of its own, whichever pass is under way (common practice: pregnant people lie on the left).
_BODILY = re.compile(r"\b(?:pregnan\w*|trimester|heartburn|reflux|handed)\b")

_SPLIT = re.compile(r"\s*(?:,|\b(?:and|then|or)\b)\s*")


def is_even(sentence: Sentence, said: Sequence[Mention]) -> bool:
    """Whether what a sentence says with these of its mentions is as true on the other side: it names both in one
    breath, compares them, does the same with each, or gives an advice that has its own side."""
    text = " ".join(sentence.words)
    if _BODILY.search(text):
        return True
    if len({mention.side for mention in said}) < 2:
        return False
    return bool(_COMPARING.search(text)) or _in_pairs(sentence, said) or _is_its_own_mirror(text)


def _in_pairs(sentence: Sentence, said: Sequence[Mention]) -> bool:
    pairs = list(zip(said[::2], said[1::2], strict=False))
    return len(said) % 2 == 0 and all(_are_joined(sentence, first, second) for first, second in pairs)


def _are_joined(sentence: Sentence, first: Mention, second: Mention) -> bool:
    """Whether two mentions are of the same part, one of each side, with nothing but joining words between them."""
    vague = ("one", "way", "side")
    repeated = set(sentence.words[max(0, first.first - 2) : first.first])
    between = set(sentence.words[first.last : second.first])
    alike = first.limb == second.limb or "one" in (first.limb, second.limb)
    if first.limb in vague and second.limb in vague:
        alike = True
        between.discard("to")
    elif {"and", "or", "then"} & between:
        alike |= first.limb in vague or second.limb in vague
    return first.side is not second.side and alike and between <= _EVEN | repeated


def _is_its_own_mirror(text: str) -> bool:
    """Whether the sentence has the same clauses with right and left changed over."""
    clauses = [clause for clause in _SPLIT.split(text) if clause]
    swapped = {"right": "left", "left": "right"}
    mirror = [re.sub(r"\b(?:right|left)\b", lambda found: swapped[found[0]], clause) for clause in clauses]
    return sorted(clauses) == sorted(mirror)


#: Parts of a leg that cannot be laid on, over or outside these parts of the same leg.
_LOW = {"foot", "ankle", "heel", "shin", "calf"}
_HIGH = {"thigh", "knee", "shin", "leg"}

#: Parts of an arm that cannot hold, meet or lie on these parts of the same arm.
_HELD = {("hand", "wrist"), ("hand", "elbow"), ("hand", "forearm"), ("finger", "wrist"), ("hand", "hand")}
_HELD |= {("wrist", "hand"), ("elbow", "hand"), ("forearm", "hand"), ("wrist", "wrist"), ("finger", "hand")}

_LAYING = {"over", "on", "onto", "across", "outside", "against", "to", "above", "top"}
_TOUCHING = {"over", "under", "on", "onto", "across", "beneath", "with", "meets", "holds", "hold", "around", "against"}
_TOUCHING |= {"outside", "below", "behind", "front"}


def contradiction(sentence: Sentence) -> str:
    """What in a sentence cannot be done, whatever the pose; nothing where all can."""
    found = (*_crossings(sentence), *_opposites(sentence), *_nostrils(sentence), *_bent_and_straight(sentence))
    return found[0] if found else ""


def _crossings(sentence: Sentence) -> Iterator[str]:
    for first, second in zip(sentence.mentions, sentence.mentions[1:], strict=False):
        between = sentence.words[first.last : second.first]
        if {",", "and", "then", "or"} & set(between):
            continue
        same = first.side is second.side
        limb = first.limb if second.limb == "one" else second.limb
        pair = first.limb, limb
        laid = _LAYING & set(between) and pair[0] in _LOW and limb in _HIGH
        touched = _TOUCHING & set(between) and (pair[0] == limb not in ("way", "side", "room") or pair in _HELD)
        impossible = same and (laid or touched or _is_held(sentence, first, second, pair))
        if impossible or (not same and pair == ("ear", "shoulder") and "to" in "".join(between)):
            yield f"“{shown(sentence, first)} {' '.join(between)} {shown(sentence, second)}” cannot be done"


def _is_held(sentence: Sentence, first: Mention, second: Mention, pair: tuple[str, str]) -> bool:
    """`hold the right wrist with the right hand`, and the like."""
    words = sentence.words[: second.first]
    return pair in _HELD and bool({"hold", "holds", "clasp", "grab", "take", "catch"} & set(words))


def _opposites(sentence: Sentence) -> Iterator[str]:
    """`opposite arm and leg: right arm, right leg`."""
    if "opposite" not in sentence.words:
        return
    arms = {mention.side for mention in sentence.mentions if mention.limb in ("arm", "hand", "elbow")}
    legs = {mention.side for mention in sentence.mentions if mention.limb in ("leg", "foot", "knee", "thigh")}
    if len(arms) == len(legs) == 1 and arms == legs:
        yield "an arm and a leg of the same side are no opposites"


_CLOSING = {"close", "block", "seal", "closing", "cover", "closed"}
_THROUGH = {"through", "in", "out"}


def _nostrils(sentence: Sentence) -> Iterator[str]:
    """`close the right nostril, and breathe in through the right`."""
    closed = next((each for each in sentence.mentions if each.limb == "nostril"), None)
    if closed is None or not _CLOSING & set(sentence.words[: closed.first]):
        return
    for later in sentence.mentions:
        before = set(sentence.words[max(0, later.first - 2) : later.first])
        breathes = before & _THROUGH and later.limb in ("nostril", "one", "way")
        if later.first > closed.first and later.side is closed.side and breathes:
            yield f"the {closed.side.value} nostril is closed"


def _bent_and_straight(sentence: Sentence) -> Iterator[str]:
    """`bend the right knee, and straighten the right leg`."""
    done: dict[str, set[tuple[Side, str]]] = {"bend": set(), "straighten": set()}
    for mention in sentence.mentions:
        for word in sentence.words[max(0, mention.first - 2) : mention.first]:
            if word in done and mention.limb in ("knee", "leg", "arm", "elbow"):
                limb = "leg" if mention.limb in ("knee", "leg") else "arm"
                done[word].add((mention.side, limb))
    if done["bend"] & done["straighten"]:
        yield "a limb cannot be bent and straightened at once"
