"""What is told of a comparison in words, in text and on the page: lengths, differences, how it was known, sums."""

import unicodedata
from collections.abc import Iterator

from guide.review.comparison import BothSides, Comparison, How, StepTaken
from guide.review.confidence import Basis
from guide.review.lead_of_words import LeadOfWords
from guide.sequence.steps import StepKind
from guide.units import clock, seconds_text, so_many
from guide.visible import visible

UNKNOWN = "–"

RESTS_ON = {
    Basis.OPENING: "its first words",
    Basis.LATER: "words in it",
    Basis.AROUND: "steps around it",
    Basis.VOICE: "a voice",
    Basis.PRESSED: "your key",
    Basis.SHARED: "keys around it",
    Basis.LED: "as it was led",
}

#: What rests on words or on a voice, in a recording or at a microphone.
BY_EAR = {Basis.OPENING, Basis.LATER, Basis.AROUND, Basis.VOICE}

#: Lengths that differ by less are alike: a start is right to within as much.
ALIKE_MS = 2000

#: A start is unsure below this.
SURE = 0.8

#: So many of the steps that ran over are named.
MOST_NAMED = 5


def was_by_ear(comparison: Comparison) -> bool:
    """Whether steps were found by what was heard; of a class of which no step is known, whether anything was."""
    known = {step.rests_on for step in comparison.steps} - {Basis.NOTHING}
    was_heard = comparison.heard is not None or comparison.speech is not None
    return bool(known & BY_EAR) if known else was_heard


def rests_on(comparison: Comparison, step: StepTaken) -> str:
    """What the start of a step rests on, or why it has none."""
    return unknown(comparison, step) if step.rests_on is Basis.NOTHING else RESTS_ON[step.rests_on]


def unknown(comparison: Comparison, step: StepTaken) -> str:
    """What is said of a step that is not known: nobody heard it, it was left out, or the class was broken off before.

    What comes after the last step that was led or rehearsed was left out only where the class went on to its end.
    """
    if was_by_ear(comparison):
        return "not heard"
    known = [one for one in comparison.steps if one.real_start_ms is not None]
    if not known:
        return "not known"
    return "not reached" if step.number > known[-1].number and known[-1].real_ms is None else "left out"


def sure_means(comparison: Comparison) -> str:
    """What stands under "sure", and from when the clock counts."""
    sure = "the chance that the start is right to within two seconds."
    lengths = "the lengths at the top run from the start of the first step to the end of the last."
    if comparison.how is How.TAUGHT and was_by_ear(comparison):
        return f"{sure} The clock is that of the recording; {lengths}"
    return f"{sure} The clock counts from the beginning, without what was kept out; {lengths}"


def length(ms: int) -> str:
    """A length in whole seconds, as near as starts are known: `4 s`, `1:30`."""
    return seconds_text(whole(ms))


def more(planned_ms: int, real_ms: int) -> str:
    """How much more or less than planned, of the lengths as they are shown: `+4 s`, `−1:10`, `0 s`."""
    differ_ms = whole(real_ms) - whole(planned_ms)
    sign = "+" if differ_ms > 0 else "−" if differ_ms < 0 else ""
    return sign + seconds_text(abs(differ_ms))


def whole(ms: int) -> int:
    """`ms` in the nearest whole second; halves go up."""
    return (ms + 500) // 1000 * 1000


def title_of(step: StepTaken) -> str:
    """What a step is called, as a sentence begins."""
    title = plain(step.title)
    return title[:1].upper() + title[1:]


def named(step: StepTaken) -> str:
    """A step with its side: `Low lunge, left`."""
    return f"{title_of(step)}, {step.side.value}" if step.side else title_of(step)


def plain(words: str) -> str:
    """`words` on one line, without control characters and what no text may hold."""
    return visible(" ".join("".join(map(_kept, words)).split()))


def _kept(char: str) -> str:
    """A character as it may stand in any text (Source: Unicode Standard 23.7, "Noncharacters")."""
    category, point = unicodedata.category(char), ord(char)
    if category == "Cc":
        return " "
    is_none = category == "Cs" or 0xFDD0 <= point <= 0xFDEF or point & 0xFFFE == 0xFFFE
    return "\ufffd" if is_none else char


def alike(differ_ms: int) -> str:
    """How the second side differs from the first."""
    if abs(differ_ms) < ALIKE_MS:
        return "they are alike"
    return f"the second is {length(abs(differ_ms))} {'longer' if differ_ms > 0 else 'shorter'}"


def held_pairs(comparison: Comparison) -> Iterator[tuple[StepTaken, StepTaken]]:
    """The two sides of all that is held, where both are known; moves of one breath only count in their sum."""
    for first, second in _both_known(comparison):
        if first.kind is not StepKind.MOVE:
            yield first, second


def _both_sums_ms(comparison: Comparison) -> tuple[int, int]:
    """How long the first and the second sides of everything took together, moves as well."""
    pairs = list(_both_known(comparison))
    return sum(first.real_ms or 0 for first, _ in pairs), sum(second.real_ms or 0 for _, second in pairs)


def both_sums(comparison: Comparison) -> str | None:
    """How both sides of everything compare together; None where no pair of them is known."""
    first_ms, second_ms = _both_sums_ms(comparison)
    if not first_ms and not second_ms:
        return None
    sums = f"first side {length(first_ms)}, second side {length(second_ms)}"
    return f"All that has two sides: {sums}; {alike(whole(second_ms) - whole(first_ms))}"


def beside(step: StepTaken) -> str:
    """One side of a pair: `left 1:08 (planned 46 s)`."""
    side = step.side.value if step.side else "no side"
    return f"{side} {length(step.real_ms or 0)} (planned {length(step.planned_ms)})"


def differ(first: StepTaken, second: StepTaken) -> str:
    """How two sides differ in length, as those are shown: `left 22 s longer`, or that they are alike."""
    differ_ms = whole(second.real_ms or 0) - whole(first.real_ms or 0)
    if abs(differ_ms) < ALIKE_MS:
        return "both alike"
    longer, other = (second, "the second") if differ_ms > 0 else (first, "the first")
    return f"{longer.side.value if longer.side else other} {length(abs(differ_ms))} longer"


def _both_known(comparison: Comparison) -> Iterator[tuple[StepTaken, StepTaken]]:
    for pair in comparison.both_sides if not comparison.is_another else ():
        first, second = _steps_of(comparison, pair)
        if first.real_ms is not None and second.real_ms is not None:
            yield first, second


def _steps_of(comparison: Comparison, pair: BothSides) -> tuple[StepTaken, StepTaken]:
    return comparison.steps[pair.first], comparison.steps[pair.second]


def over_ms(step: StepTaken) -> int:
    """How much longer a step took than planned, as it is shown; 0 where that is not known."""
    return 0 if step.real_ms is None else whole(step.real_ms) - whole(step.planned_ms)


def most_over(comparison: Comparison) -> tuple[StepTaken, ...]:
    """The steps that ran over most, the furthest first, and of two alike the earlier."""
    over = [step for step in comparison.steps if over_ms(step) >= ALIKE_MS]
    return tuple(sorted(over, key=lambda step: -over_ms(step))[:MOST_NAMED])


def doubt(step: StepTaken) -> str:
    """How sure the start of a step is, where it is unsure and so is how much it ran over: ` (49 % sure)`."""
    return f" ({round(100 * step.sure)} % sure)" if step.sure < SURE else ""


def over_words(step: StepTaken) -> str:
    """How much more a step took than planned: `+22 s`."""
    return UNKNOWN if step.real_ms is None else more(step.planned_ms, step.real_ms)


def in_place_of(step: StepTaken) -> str:
    """What a step took, and what was planned: `1:08 in place of 46 s`."""
    return f"{length(step.real_ms or 0)} in place of {length(step.planned_ms)}"


def is_known(comparison: Comparison) -> bool:
    """Whether the length of any step is known."""
    return not comparison.is_another and any(step.real_ms is not None for step in comparison.steps)


def would_take(comparison: Comparison) -> str:
    """How long the class would be, and how that fits the slot; else how it compares with the plan."""
    would_ms = whole(comparison.would_take_ms)
    unknown = sum(step.real_ms is None for step in comparison.steps)
    as_planned = f" ({so_many(unknown, 'step')} as planned)" if unknown else ""
    if comparison.slot_ms is not None:
        return f"The class would take {clock(would_ms)}{as_planned}, {against_slot(would_ms, comparison.slot_ms)}"
    against = _against_plan(would_ms, comparison.plan_ms or comparison.planned_ms)
    return f"The class would take {clock(would_ms)}{as_planned}, {against}"


def of_plan(comparison: Comparison) -> str:
    """How long the whole plan is, where its steps are shorter by what it has before and after them."""
    plan_ms = whole(comparison.plan_ms or 0)
    return f"of the plan's {clock(plan_ms)}" if plan_ms > whole(comparison.planned_ms) else ""


def at_least_ms(comparison: Comparison) -> int:
    """From the first start that a recording tells to the last, or to its last words, in whole seconds; or 0."""
    known = [step.real_start_ms for step in comparison.steps if step.real_start_ms is not None]
    if not known or comparison.how is not How.TAUGHT:
        return 0
    speech = comparison.speech
    return whole(max(*known, 0 if speech is None else speech.from_ms + speech.over_ms) - min(known))


def _against_plan(would_ms: int, planned_ms: int) -> str:
    differ_ms, planned = whole(would_ms) - whole(planned_ms), clock(whole(planned_ms))
    if not differ_ms:
        return f"as long as planned, {planned}"
    return f"{seconds_text(abs(differ_ms))} {'longer' if differ_ms > 0 else 'shorter'} than the {planned} planned"


def against_slot(would_ms: int, slot_ms: int) -> str:
    """`3:20 over the slot of 25:00`, `40 s short of the slot of 25:00`, or just that."""
    differ_ms, slot = whole(would_ms) - whole(slot_ms), clock(whole(slot_ms))
    if not differ_ms:
        return f"just the slot of {slot}"
    return f"{seconds_text(abs(differ_ms))} {'over' if differ_ms > 0 else 'short of'} the slot of {slot}"


def over_or_short(differ_ms: int) -> str:
    """`3:20 over`, `40 s short`, or that it is filled; `differ_ms` in whole seconds."""
    if not differ_ms:
        return "filled"
    return f"{seconds_text(abs(differ_ms))} {'over' if differ_ms > 0 else 'short'}"


def kept_out(comparison: Comparison) -> str | None:
    """How much time counts for no step, where there is any."""
    if not whole(comparison.kept_out_ms):
        return None
    return f"{length(comparison.kept_out_ms)} kept out: pauses, and what was gone back on"


#: A shorter quiet is a breath between two sentences.
LEAST_QUIET_MS = 10_000


def words_said(comparison: Comparison) -> Iterator[str]:
    """How much of the plan was heard, how much was spoken and how fast; nothing where nobody listened."""
    speech = comparison.speech
    if comparison.heard is not None:
        yield f"{comparison.heard} of the plan's {so_many(comparison.cues, 'cue')} were heard"
    if speech is None:
        return
    share = round(100 * speech.share)
    quiet_ms = max(0, whole(speech.over_ms) - whole(speech.spoken_ms))
    yield f"About {share} % of the time was spoken: {clock(whole(speech.spoken_ms))}, and {clock(quiet_ms)} was quiet"
    if speech.words_a_minute_in_all is not None:
        yield f"About {round(speech.words_a_minute_in_all)} words a minute, quiet and all"
    quiet = speech.longest_quiet
    if quiet is not None and quiet.length_ms >= LEAST_QUIET_MS:
        yield f"Longest quiet: about {length(quiet.length_ms)}, from {clock(quiet.from_ms)} on"
    if not comparison.is_another:
        yield lead_told(speech.lead)
    for what, often in (("Fillers", speech.fillers), ("Phrases", speech.phrases)):
        if often:
            yield f"{what} said most: {', '.join(f'“{one.words}” {one.times} times' for one in often)}"


def lead_told(lead: LeadOfWords | None) -> str:
    """How long before a move its words began; or why that is not known."""
    if lead is None:
        why = "only a key says when people moved (rehearse with --listen --each-move)"
        return f"How long before a move its words began cannot be told: {why}"
    least, most, planned = (_tenths(ms) for ms in (lead.least_ms, lead.most_ms, lead.planned_ms))
    side = "before" if lead.median_ms >= 0 else "after"
    began = f"Words began about {_tenths(abs(lead.median_ms))} s {side} their move, planned {planned} s before"
    return f"{began}: the median of {lead.moves} moves with a key, from {least} s to {most} s"


def _tenths(ms: int) -> str:
    return f"{ms / 1000:.1f}".replace("-", "−")


def another(comparison: Comparison) -> str:
    """That the recording is of another class; a voice without words is no captions."""
    is_voice = comparison.speech is not None and comparison.speech.words is None
    return (
        f"Of the plan's {so_many(comparison.cues, 'cue')} {comparison.heard} could be found in "
        f"{plain(comparison.recording)}: too few to be the same class, so nothing is told of its steps "
        f"(name {'a recording' if is_voice else 'the captions'} of this class)."
    )
