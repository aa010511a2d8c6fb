"""How like the beginning of something new a place in a talk is, whatever is done there.

Where something new begins it has been quiet, the words before bring the last thing to its end, and the next ones move a
limb or the whole body; where people stay, they are told how it should feel, what they need not do, and numbers.
"""

from collections.abc import Iterator, Sequence
from math import log2

from guide.review.own_words.talk_places import Said

#: So many words after a place and before it tell; and none after so long a quiet.
WORDS_AFTER, WORDS_BEFORE = 10, 6
APART_MS = 2500

#: A longer quiet tells no more.
MOST_QUIET_MS = 30_000

LIMBS = frozenset({
    "leg", "legs", "knee", "knees", "foot", "feet", "toes", "hip", "hips", "arm", "arms", "hand", "hands", "palm",
    "palms", "elbow", "elbows", "forearm", "forearms", "thigh", "thighs", "belly", "back", "mat", "floor", "heel",
    "heels",
})  # fmt: skip
MOVING = frozenset({
    "sit", "sitting", "lie", "lying", "stand", "standing", "step", "turn", "roll", "bring", "take", "reach", "come",
    "lean", "lift", "lower", "fold", "tip", "walk", "stretch", "straighten", "bend", "cross", "slide", "tuck",
    "place", "put", "set", "kneel", "crawl", "hug", "hook", "wrap", "hinge", "press",
})  # fmt: skip
SECOND = frozenset({
    "other", "side", "sides", "same", "opposite", "second", "change", "switch", "swap", "both",
})  # fmt: skip
BEGINNING = frozenset({
    "now", "okay", "then", "good", "next", "lets", "and", "from", "so", "alright", "inhale", "exhale",
})  # fmt: skip
STAYING = frozenset({
    "if", "dont", "its", "thats", "i", "im", "my", "can", "feel", "notice", "maybe", "not", "nothing", "as", "like",
    "was", "theres", "stay", "hold", "keep", "here", "soft", "three", "four", "five", "two",
})  # fmt: skip
ENDING = frozenset({
    "middle", "centre", "center", "release", "shake", "down", "lower", "okay", "there", "good", "lovely", "back",
    "up", "come", "out", "time", "last", "more", "everything", "unwind", "undo", "thanks", "exhale", "four", "five",
    "one",
})  # fmt: skip

#: How much each sign tells, as the logarithm of odds, in the order of `signs`: fitted to the talked classes of the
#: tests, each with the signs alone.
WEIGHTS = (-5.35, 0.63, 0.46, 0.62, -1.12, 0.7, 0.58, 0.55, 0.71, -0.49, 0.48)


def opening(words: Sequence[Said], number: int) -> float:
    """The logarithm of the odds that something new begins with a word."""
    return sum(weight * sign for weight, sign in zip(WEIGHTS, signs(words, number), strict=True))


def signs(words: Sequence[Said], number: int) -> tuple[float, ...]:
    """What tells whether something new begins with a word."""
    before = [one.text for one in words[max(number - WORDS_BEFORE, 0) : number]]
    after = list(_after(words, number))
    quiet = log2(1 + min(words[number].quiet_ms, MOST_QUIET_MS) / 500)
    return (
        1.0,
        quiet,
        float(number == 0 or words[number - 1].ends_sentence),
        float(after[0] in BEGINNING),
        float(after[0] in STAYING),
        float(after[0] in MOVING),
        *(float(sum(word in kind for word in set(after))) for kind in (LIMBS, MOVING, SECOND, STAYING)),
        float(sum(word in ENDING for word in set(before))),
    )


def _after(words: Sequence[Said], number: int) -> Iterator[str]:
    """The words that follow, up to a quiet."""
    for place, one in enumerate(words[number : number + WORDS_AFTER]):
        if place and one.quiet_ms > APART_MS:
            return
        yield one.text
