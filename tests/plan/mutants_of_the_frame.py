"""Breaks of promises 0, 1, 2 and 7: the form of the plan, one voice, entries, dips and bells."""

from collections import Counter
from dataclasses import replace
from random import Random

from mutant_tools import breaks, cue_moved, drawn, later, some
from plans_by_hand import Plan

from guide.plan.timeline import CuePart, Dip, RingRole
from guide.sequence.steps import BellWhen, Breath, CueKind, Side, StepKind


@breaks(0)
def the_title_is_lost(plan: Plan, random: Random) -> Plan | None:
    return plan.having(title="")


@breaks(0)
def the_end_is_moved(plan: Plan, random: Random) -> Plan | None:
    return plan.having(length_ms=plan.timeline.length_ms + random.choice([-1, 1, 5000]))


@breaks(0)
def a_chapter_is_lost(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.chapters, random)
    return None if number is None else plan.without("chapters", number)


@breaks(0)
def a_chapter_is_moved(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.chapters, random)
    if number is None:
        return None
    chapters = [*plan.timeline.chapters]
    chapters[number] = replace(chapters[number], start_ms=chapters[number].start_ms + random.randint(1, 900))
    return plan.having(chapters=tuple(chapters))


@breaks(0)
def a_step_is_lost(plan: Plan, random: Random) -> Plan | None:
    return plan.without("spans", random.randrange(len(plan.timeline.spans)))


@breaks(0)
def a_step_is_doubled(plan: Plan, random: Random) -> Plan | None:
    spans = plan.timeline.spans
    number = random.randrange(len(spans))
    return plan.having(spans=(*spans[: number + 1], *spans[number:]))


@breaks(0)
def a_side_is_swapped(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.spans, random, lambda span: span.side is not None)
    if number is None:
        return None
    return plan.span(number, side=(plan.timeline.spans[number].side or Side.LEFT).other)


@breaks(0)
def a_breath_is_said_to_be_longer(plan: Plan, random: Random) -> Plan | None:
    return plan.span(random.randrange(len(plan.timeline.spans)), period_ms="8001")


@breaks(0)
def a_step_is_said_to_be_breathed_the_other_way(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.spans, random, lambda span: span.breath is not None)
    if number is None:
        return None
    was_in = plan.timeline.spans[number].breath is Breath.INHALE
    return plan.span(number, breath=Breath.EXHALE if was_in else Breath.INHALE)


@breaks(0)
def a_step_is_said_to_be_another_pose(plan: Plan, random: Random) -> Plan | None:
    number = random.randrange(len(plan.timeline.spans))
    return plan.span(number, pose="mountain" if plan.timeline.spans[number].pose != "mountain" else None)


@breaks(0)
def two_cues_are_not_sorted(plan: Plan, random: Random) -> Plan | None:
    cues = list(plan.timeline.cues)
    if len(cues) < 2:
        return None
    number = random.randrange(len(cues) - 1)
    cues[number], cues[number + 1] = cues[number + 1], cues[number]
    return plan.having(cues=tuple(cues))


@breaks(0)
def a_cue_has_another_length(plan: Plan, random: Random) -> Plan | None:
    number = random.randrange(len(plan.timeline.cues))
    return plan.cue(number, length_ms=plan.timeline.cues[number].length_ms + random.choice([-200, -1, 1, 100]))


@breaks(0)
def a_cue_belongs_to_no_step(plan: Plan, random: Random) -> Plan | None:
    return plan.cue(random.randrange(len(plan.timeline.cues)), step=random.choice([-1, len(plan.timeline.spans)]))


@breaks(0)
def nothing_happens_for_a_while(plan: Plan, random: Random) -> Plan | None:
    spans = plan.timeline.spans
    number = random.randrange(len(spans))
    if number == 0:
        return None
    late = later(plan, spans[number].start_ms, random.randint(1, 3000))
    return late.having(spans=(*spans[:number], *late.timeline.spans[number:]))


@breaks(0)
def a_dip_is_too_long(plan: Plan, random: Random) -> Plan | None:
    dips = plan.timeline.dips
    number = random.randrange(len(dips))
    dip = replace(dips[number], end_ms=dips[number].end_ms + random.randint(1, 400))
    return plan.having(dips=(*dips[:number], dip, *dips[number + 1 :]))


@breaks(0)
def a_chime_belongs_to_no_step(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.rings, random, lambda ring: ring.step is not None)
    return None if number is None else plan.ring(number, step=None)


@breaks(1)
def a_cue_overlaps_the_one_before(plan: Plan, random: Random) -> Plan | None:
    cues = plan.timeline.cues
    if len(cues) < 2:
        return None
    number = random.randrange(1, len(cues))
    before = cues[number - 1]
    start_ms = before.end_ms + random.randint(-before.length_ms + 1, 249)
    return None if start_ms == cues[number].start_ms else drawn(plan.cue(number, start_ms=start_ms))


@breaks(1)
def two_cues_stand_too_near(plan: Plan, random: Random) -> Plan | None:
    cues = plan.timeline.cues
    if len(cues) < 2:
        return None
    number = random.randrange(1, len(cues))
    # Two numbers of a count of seconds may stand closer.
    numbers = cues[number - 1].kind is cues[number].kind is CueKind.COUNT
    quiet_ms = random.choice([0, 50, 98, 99] if numbers else [0, 100, 248, 249])
    return drawn(plan.cue(number, start_ms=cues[number - 1].end_ms + quiet_ms))


@breaks(2)
def a_cue_comes_before_the_hold_before_is_over(plan: Plan, random: Random) -> Plan | None:
    firsts = {cue.step: number for number, cue in reversed([*enumerate(plan.timeline.cues)])}
    spans = plan.timeline.spans
    # In a run of moves words come in the breath before.
    number = some(
        plan.timeline.cues, random, lambda cue: cue.step > 0 and spans[cue.step - 1].kind is not StepKind.MOVE
    )
    if number is None:
        return None
    cue = plan.timeline.cues[firsts[plan.timeline.cues[number].step]]
    before = plan.timeline.spans[cue.step - 1]
    return drawn(plan.cue(firsts[cue.step], start_ms=before.held_ms - random.randint(1, 2000)))


@breaks(2)
def entry_words_get_more_time(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.part is CuePart.ENTRY)
    if number is None:
        return None
    span = plan.timeline.spans[plan.timeline.cues[number].step]
    return later(plan, span.start_ms + 1, random.randint(1, 2000))


@breaks(2)
def entry_words_begin_early(plan: Plan, random: Random) -> Plan | None:
    """Only where there are two at least, so that the last one still ends where the hold begins."""
    entry = [number for number, cue in enumerate(plan.timeline.cues) if cue.part is CuePart.ENTRY]
    steps = Counter(plan.timeline.cues[number].step for number in entry)
    firsts = {plan.timeline.cues[number].step: number for number in reversed(entry)}
    numbers = [number for step, number in firsts.items() if steps[step] > 1]
    return cue_moved(plan, random.choice(numbers), -random.randint(1, 200)) if numbers else None


@breaks(7)
def a_dip_is_lost(plan: Plan, random: Random) -> Plan | None:
    return plan.without("dips", random.randrange(len(plan.timeline.dips)))


@breaks(7)
def a_dip_begins_late(plan: Plan, random: Random) -> Plan | None:
    dips = plan.timeline.dips
    number = random.randrange(len(dips))
    late = Dip(dips[number].start_ms + random.randint(1, 100), dips[number].end_ms)
    return plan.having(dips=(*dips[:number], late, *dips[number + 1 :]))


@breaks(7)
def a_bell_is_hurried(plan: Plan, random: Random) -> Plan | None:
    """Everything after the bell comes sooner."""
    rings = plan.timeline.rings
    bells = (RingRole.SECTION, RingRole.CLASS)
    number = some(rings, random, lambda ring: ring.role in bells and ring.start_ms < plan.timeline.spans[-1].start_ms)
    return None if number is None else later(plan, rings[number].start_ms + 1, -random.randint(1, 199))


@breaks(7)
def a_closing_bell_is_hurried(plan: Plan, random: Random) -> Plan | None:
    numbers = tuple(range(len(plan.steps.steps)))
    ends = (BellWhen.END, BellWhen.BOTH)
    number = some(numbers, random, lambda one: plan.steps.steps[one].bell in ends)
    return None if number is None else later(plan, plan.timeline.spans[number].held_ms + 1, -random.randint(1, 199))
