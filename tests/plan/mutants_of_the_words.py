"""Breaks of promises 3, 4, 5, 6 and 9: holds, moves, the cues in them, both sides, and all that is said and rung."""

from collections import Counter
from dataclasses import replace
from random import Random

from mutant_tools import breaks, cue_moved, drawn, held, later, some, without_step, written_in_hold
from plans_by_hand import Plan

from guide.plan.beats import by_the_clock
from guide.plan.breath_counting import given_way
from guide.plan.timeline import Cue, CuePart, Dropped, Note, Ring, RingRole, Span
from guide.sequence.steps import BeforeEnd, CueKind, InBreaths, Numbers, StepKind
from guide.units import whole_ms


@breaks(3)
def a_hold_is_some_milliseconds_longer(plan: Plan, random: Random) -> Plan | None:
    number = held(plan, random)
    return None if number is None else later(plan, plan.timeline.spans[number].held_ms, random.choice([1, 7, 500]))


@breaks(3)
def a_hold_is_some_milliseconds_shorter(plan: Plan, random: Random) -> Plan | None:
    number = held(plan, random)
    return None if number is None else later(plan, plan.timeline.spans[number].held_ms, -random.choice([1, 7, 200]))


@breaks(3)
def a_hold_loses_a_breath(plan: Plan, random: Random) -> Plan | None:
    number = held(plan, random, lambda one: has_not_grown(plan, one) and plan.timeline.spans[one].breaths >= 3)
    if number is None:
        return None
    span, period_ms = plan.timeline.spans[number], plan.steps.steps[number].pace.period_ms
    less_ms = whole_ms(span.breaths * period_ms) - whole_ms((span.breaths - 1) * period_ms)

    def stays(item: Cue | Ring) -> bool:
        return not (item.step == number and span.held_ms - less_ms <= item.start_ms < span.held_ms)

    shorter = plan.having(
        cues=tuple(filter(stays, plan.timeline.cues)),
        rings=tuple(filter(stays, plan.timeline.rings)),
    )
    return later(shorter.span(number, breaths=span.breaths - 1), span.held_ms, -less_ms)


@breaks(3)
def a_hold_gains_a_breath_without_need(plan: Plan, random: Random) -> Plan | None:
    """With a note that says so, and all its chimes: only the need is missing."""
    number = held(plan, random, lambda one: is_plain_hold(plan, one))
    if number is None:
        return None
    span, step = plan.timeline.spans[number], plan.steps.steps[number]
    hold = step.hold
    assert isinstance(hold, InBreaths)
    end_ms = whole_ms((hold.usual + 1) * step.pace.period_ms)
    longer = later(plan, span.held_ms, end_ms - span.held_ms + span.hold_ms).span(number, breaths=hold.usual + 1)
    said = f"“{step.title}” is held {hold.usual + 1} breaths instead of {hold.usual}, because its words need them"
    rings = list(longer.timeline.rings)
    if step.count.chimes:
        starts_ms = (hold.usual * step.pace.period_ms, hold.usual * step.pace.period_ms + step.pace.inhale_ms)
        for start_ms, role in zip(starts_ms, (RingRole.INHALE, RingRole.EXHALE), strict=True):
            like = next(ring for ring in rings if ring.step == number and ring.role is role)
            rings.append(replace(like, start_ms=span.hold_ms + whole_ms(start_ms)))
    return drawn(longer.having(notes=(*longer.timeline.notes, Note(step.place, said)), rings=tuple(rings)))


def has_not_grown(plan: Plan, number: int) -> bool:
    return plan.timeline.spans[number].breaths == getattr(plan.steps.steps[number].hold, "usual", None)


def is_plain_hold(plan: Plan, number: int) -> bool:
    step = plan.steps.steps[number]
    plain = step.kind is StepKind.POSE and not step.pace.full_ms and step.pair is None
    counted = step.count.numbers is None and isinstance(step.hold, InBreaths)
    return plain and counted and has_not_grown(plan, number)


@breaks(3)
def a_hold_begins_late(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.part is CuePart.ENTRY)
    if number is None or plan.steps.steps[plan.timeline.cues[number].step].kind is StepKind.TALK:
        return None
    step = plan.timeline.cues[number].step
    return later(plan, plan.timeline.spans[step].hold_ms, random.randint(1, 900))


@breaks(3)
def the_only_entry_words_end_early(plan: Plan, random: Random) -> Plan | None:
    entries = Counter(cue.step for cue in plan.timeline.cues if cue.part is CuePart.ENTRY)
    cues, spans = plan.timeline.cues, plan.timeline.spans
    number = some(
        cues,
        random,
        lambda cue: entries[cue.step] == 1 and cue.part is CuePart.ENTRY and spans[cue.step].kind is not StepKind.TALK,
    )
    return None if number is None else cue_moved(plan, number, -random.randint(1, 200))


@breaks(3)
def breaths_are_counted_wrong(plan: Plan, random: Random) -> Plan | None:
    number = held(plan, random, lambda one: plan.timeline.spans[one].breaths > 0)
    if number is None:
        return None
    return plan.span(number, breaths=plan.timeline.spans[number].breaths + random.choice([-1, 1]))


@breaks(3)
def a_cue_runs_into_the_next_step(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, written_in_hold)
    if number is None:
        return None
    cue = plan.timeline.cues[number]
    held_ms = plan.timeline.spans[cue.step].held_ms
    return drawn(plan.cue(number, start_ms=held_ms - cue.length_ms + random.randint(-249, 900)))


@breaks(4)
def a_move_is_longer_than_its_breath(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.spans, random, lambda span: span.kind is StepKind.MOVE)
    return None if number is None else later(plan, plan.timeline.spans[number].held_ms, random.choice([1, 300]))


@breaks(4)
def a_move_is_shorter_than_its_breath(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.spans, random, lambda span: span.kind is StepKind.MOVE)
    return None if number is None else later(plan, plan.timeline.spans[number].held_ms, -random.choice([1, 300]))


@breaks(4)
def the_words_of_a_move_come_late(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.part is CuePart.MOVE)
    return None if number is None else cue_moved(plan, number, random.randint(1, 400))


@breaks(4)
def the_words_of_a_move_come_early(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.part is CuePart.MOVE and cue.start_ms > 400)
    return None if number is None else cue_moved(plan, number, -random.randint(1, 400))


@breaks(4)
def the_voice_leads_by_less_than_the_file_says(plan: Plan, random: Random) -> Plan | None:
    """The file asks for more where there is room for it: before a move that has a time of its own."""
    steps = plan.steps.steps
    number = some(tuple(range(len(steps))), random, lambda n: plan.timeline.spans[n].hold_ms > starts(plan, n))
    if number is None:
        return None
    changed = (*steps[:number], replace(steps[number], lead_ms=steps[number].lead_ms + 200), *steps[number + 1 :])
    return replace(plan, steps=replace(plan.steps, steps=changed))


def starts(plan: Plan, number: int) -> int:
    """Where a move begins; of any other step, where it ends."""
    span = plan.timeline.spans[number]
    return span.start_ms if span.kind is StepKind.MOVE else span.end_ms


@breaks(4)
def a_move_takes_a_time_before_its_breath(plan: Plan, random: Random) -> Plan | None:
    """More than it has for the words that lead it."""
    number = some(plan.timeline.spans, random, lambda span: span.kind is StepKind.MOVE and span.hold_ms > span.start_ms)
    return None if number is None else later(plan, plan.timeline.spans[number].hold_ms, random.choice([1, 300]))


@breaks(10)
def a_half_is_missing(plan: Plan, random: Random) -> Plan | None:
    numbers = tuple(range(1, len(plan.steps.steps) - 1))
    number = some(numbers, random, lambda n: in_a_run(plan.timeline.spans[n - 1 : n + 2]))
    return None if number is None else without_step(plan, numbers[number])


def in_a_run(spans: tuple[Span, ...]) -> bool:
    return {(span.kind, span.section) for span in spans} == {(StepKind.MOVE, spans[0].section)}


@breaks(10)
def a_half_that_was_given_is_missing(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.steps.steps, random, lambda step: step.given)
    return None if number is None else without_step(plan, number)


@breaks(10)
def a_half_is_given_that_nobody_misses(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.steps.steps, random, lambda step: step.kind is StepKind.MOVE and not step.given)
    if number is None:
        return None
    steps = plan.steps.steps
    given = (*steps[:number], replace(steps[number], given=True), *steps[number + 1 :])
    return replace(plan, steps=replace(plan.steps, steps=given))


@breaks(10)
def a_half_is_breathed_the_other_way(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.steps.steps, random, lambda step: step.given and step.breath is not None)
    if number is None:
        return None
    steps, breath = plan.steps.steps, plan.steps.steps[number].breath
    assert breath is not None
    turned = replace(steps[number], breath=breath.other, title=breath.other.value)
    other = plan.span(number, breath=breath.other, title=breath.other.value)
    return replace(other, steps=replace(plan.steps, steps=(*steps[:number], turned, *steps[number + 1 :])))


@breaks(5)
def a_cue_begins_beside_its_breath(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, written_in_hold)
    return None if number is None else cue_moved(plan, number, random.choice([-1, 1]) * random.randint(2, 600))


@breaks(5)
def two_cues_change_places(plan: Plan, random: Random) -> Plan | None:
    cues = plan.timeline.cues
    numbers = [
        number
        for number in range(1, len(cues))
        if written_in_hold(cues[number - 1]) and written_in_hold(cues[number])
        if cues[number - 1].step == cues[number].step
    ]
    if not numbers:
        return None
    number = random.choice(numbers)
    one, other = cues[number - 1], cues[number]
    swapped = plan.cue(number - 1, start_ms=other.start_ms).cue(number, start_ms=one.start_ms)
    return drawn(swapped)


@breaks(5)
def the_last_breath_is_talked_over(plan: Plan, random: Random) -> Plan | None:
    spans = plan.timeline.spans
    number = some(plan.timeline.cues, random, lambda cue: written_in_hold(cue) and spans[cue.step].breaths >= 3)
    if number is None:
        return None
    cue = plan.timeline.cues[number]
    return drawn(plan.cue(number, start_ms=spans[cue.step].held_ms - cue.length_ms - random.randint(250, 400)))


@breaks(5)
def a_cue_comes_before_its_place(plan: Plan, random: Random) -> Plan | None:
    asked = {words.place for step in plan.steps.steps for words in step.words if words.at is not None}
    number = some(plan.timeline.cues, random, lambda cue: written_in_hold(cue) and cue.place in asked)
    if number is None:
        return None
    return drawn(plan.cue(number, start_ms=plan.timeline.spans[plan.timeline.cues[number].step].hold_ms + 300))


def pair_of(plan: Plan, random: Random, kinds: tuple[StepKind, ...]) -> int | None:
    """The number of one of two sides that have to last the same."""
    steps = plan.steps.steps
    twins = Counter(step.pair for step in steps if step.pair is not None)
    return some(tuple(range(len(steps))), random, lambda n: twins[steps[n].pair] == 2 and steps[n].kind in kinds)


@breaks(6)
def one_side_is_held_a_breath_longer(plan: Plan, random: Random) -> Plan | None:
    number = pair_of(plan, random, (StepKind.POSE,))
    if number is None:
        return None
    more_ms = whole_ms(plan.steps.steps[number].pace.period_ms)
    span = plan.timeline.spans[number]
    return later(plan.span(number, breaths=span.breaths + 1), span.held_ms, more_ms)


@breaks(6)
def one_side_moves_slower(plan: Plan, random: Random) -> Plan | None:
    number = pair_of(plan, random, (StepKind.MOVE,))
    return None if number is None else later(plan, plan.timeline.spans[number].held_ms, random.randint(1, 500))


@breaks(6)
def one_side_waits_longer(plan: Plan, random: Random) -> Plan | None:
    number = pair_of(plan, random, (StepKind.POSE, StepKind.REST))
    return None if number is None else later(plan, plan.timeline.spans[number].hold_ms, random.randint(1, 500))


@breaks(9)
def a_cue_is_lost(plan: Plan, random: Random) -> Plan | None:
    return drawn(plan.without("cues", random.randrange(len(plan.timeline.cues))))


@breaks(9)
def a_cue_is_said_twice(plan: Plan, random: Random) -> Plan | None:
    cues = plan.timeline.cues
    cue = random.choice(cues)
    span = plan.timeline.spans[cue.step]
    again = replace(cue, start_ms=max(cue.end_ms + 250, span.held_ms - cue.length_ms - 250))
    return drawn(plan.having(cues=(*cues, again)))


@breaks(9)
def a_cue_says_something_else(plan: Plan, random: Random) -> Plan | None:
    number = random.randrange(len(plan.timeline.cues))
    changed = plan.cue(number, words="Something else.")
    return replace(changed, word_ms={**plan.word_ms, "Something else.": plan.timeline.cues[number].length_ms})


@breaks(9)
def a_cue_is_of_another_kind(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.kind in (CueKind.HOW, CueKind.NAME))
    return None if number is None else plan.cue(number, kind=CueKind.OFFER)


@breaks(9)
def a_cue_belongs_to_another_step(plan: Plan, random: Random) -> Plan | None:
    number = random.randrange(len(plan.timeline.cues))
    step = plan.timeline.cues[number].step
    return plan.cue(number, step=step - 1 if step else 1) if len(plan.timeline.spans) > 1 else None


@breaks(9)
def a_number_comes_late(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.kind is CueKind.COUNT)
    return None if number is None else cue_moved(plan, number, random.randint(1, 200))


@breaks(9)
def a_number_is_lost_in_silence(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.kind is CueKind.COUNT)
    return None if number is None else drawn(plan.without("cues", number))


@breaks(9)
def a_number_is_dropped_though_there_is_room(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.kind is CueKind.COUNT)
    if number is None:
        return None
    cue = plan.timeline.cues[number]
    step = plan.steps.steps[cue.step]
    listed = plan.having(
        dropped=(*plan.timeline.dropped, Dropped(step.place, cue.words, cue.step, CueKind.COUNT)),
        notes=(*plan.timeline.notes, Note(step.place, given_way(step.title, [cue.words]))),
    )
    return drawn(listed.without("cues", number))


@breaks(9)
def a_number_is_said_in_the_second_after_its_own(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.cues, random, lambda cue: cue.kind is CueKind.COUNT)
    return None if number is None else cue_moved(plan, number, 1000)


@breaks(9)
def a_countdown_ends_before_the_end(plan: Plan, random: Random) -> Plan | None:
    """All of its numbers come as much too early."""
    steps = plan.steps.steps
    number = held(plan, random, lambda one: steps[one].count.numbers is Numbers.DOWN and by_the_clock(steps[one]))
    if number is None:
        return None
    by_ms = random.randint(1, 2200)
    cues = tuple(
        replace(cue, start_ms=cue.start_ms - by_ms) if cue.step == number and cue.kind is CueKind.COUNT else cue
        for cue in plan.timeline.cues
    )
    return drawn(plan.having(cues=cues))


@breaks(9)
def the_chimes_of_an_interval_drift(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.rings, random, lambda ring: ring.role is RingRole.INTERVAL)
    if number is None:
        return None
    return drawn(plan.ring(number, start_ms=plan.timeline.rings[number].start_ms + random.choice([-1, 1])))


@breaks(5)
def words_before_the_end_come_a_little_later(plan: Plan, random: Random) -> Plan | None:
    ending = {one.place for step in plan.steps.steps for one in step.words if isinstance(one.at, BeforeEnd)}
    number = some(plan.timeline.cues, random, lambda cue: written_in_hold(cue) and cue.place in ending)
    return None if number is None else cue_moved(plan, number, random.choice([-1, 1]))


@breaks(9)
def a_ring_is_lost(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.rings, random)
    return None if number is None else plan.without("rings", number)


@breaks(9)
def a_ring_is_moved(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.rings, random)
    if number is None:
        return None
    return drawn(plan.ring(number, start_ms=plan.timeline.rings[number].start_ms + random.randint(1, 1000)))


@breaks(9)
def a_chime_rings_twice(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.rings, random)
    if number is None:
        return None
    again = replace(plan.timeline.rings[number], start_ms=plan.timeline.rings[number].start_ms + random.randint(0, 900))
    return drawn(plan.having(rings=(*plan.timeline.rings, again)))


@breaks(9)
def an_inhale_sounds_like_an_exhale(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.rings, random, lambda ring: ring.role is RingRole.INHALE)
    return None if number is None else plan.ring(number, role=RingRole.EXHALE)


@breaks(9)
def a_cue_that_must_be_said_is_dropped(plan: Plan, random: Random) -> Plan | None:
    return dropped(plan, random, if_room=False)


@breaks(9)
def a_cue_is_dropped_though_there_is_room(plan: Plan, random: Random) -> Plan | None:
    return dropped(plan, random, if_room=True)


def dropped(plan: Plan, random: Random, *, if_room: bool) -> Plan | None:
    """The plan with one cue of a hold left out, listed and told."""
    may = {words.place for step in plan.steps.steps for words in step.words if words.if_room}
    timeline = plan.timeline
    number = some(timeline.cues, random, lambda cue: written_in_hold(cue) and (cue.place in may) is if_room)
    if number is None:
        return None
    cue = timeline.cues[number]
    listed = plan.having(
        dropped=(*timeline.dropped, Dropped(cue.place, cue.words, cue.step)),
        notes=(*timeline.notes, Note(cue.place, f"left out for want of room, as the file allows: “{cue.words}”")),
    )
    return drawn(listed.without("cues", number))


@breaks(9)
def a_dropped_cue_is_not_listed(plan: Plan, random: Random) -> Plan | None:
    number = some(plan.timeline.dropped, random)
    return None if number is None else plan.without("dropped", number)
