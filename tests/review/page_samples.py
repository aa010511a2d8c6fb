"""Comparisons to make reports of: short and long, known in every way and not at all, with names of every kind."""

from dataclasses import replace
from functools import cache
from random import Random

from taught import LIGHT, shipped_plan, taught

from guide.problem import Place
from guide.review.by_words import compare_captions
from guide.review.captions.transcript import Transcript
from guide.review.comparison import BothSides, Comparison, How, Known, Slip, StepTaken, beside
from guide.review.confidence import Basis
from guide.review.speech import Speech
from guide.sequence.steps import Side, StepKind


@cache
def captioned(name: str, slips: int = 0) -> Comparison:
    """A shipped class taught with light noise, in captions of five seconds."""
    steps, timeline = shipped_plan(name)
    sided = [number for number, cue in enumerate(timeline.cues) if "<side>" in cue.words or "left" in cue.words]
    told = taught(timeline, LIGHT, 5000, 3, sided[:slips])
    return compare_captions(steps, timeline, Transcript(f"{name}.vtt", told.transcript.blocks))


@cache
def another() -> Comparison:
    """A class beside the captions of another."""
    steps, timeline = shipped_plan("breathing-practice")
    _, other = shipped_plan("lakeside-morning")
    return compare_captions(steps, timeline, replace(taught(other, LIGHT, 5000, 1).transcript, name="lakeside.srt"))


@cache
def unknown() -> Comparison:
    """A class of which nothing is known, and nobody listened."""
    steps, timeline = shipped_plan("evening-lake")
    return beside(steps, timeline, "Monday", [None] * len(timeline.spans))


@cache
def rehearsed(name: str = "lakeside-morning") -> Comparison:
    """A class rehearsed with keys: moves share what lies between two presses, and some steps were left out."""
    steps, timeline = shipped_plan(name)
    random, at_ms = Random(4), 0
    known: list[Known | None] = []
    for number, span in enumerate(timeline.spans):
        length_ms = round((span.end_ms - span.start_ms) * random.uniform(0.85, 1.35))
        if 40 <= number < 44:
            known.append(None)
            continue
        is_move = span.kind is StepKind.MOVE
        sure, rests = (0.5, Basis.SHARED) if is_move else (0.97, Basis.PRESSED)
        known.append(Known(at_ms, length_ms, sure, rests))
        at_ms += length_ms
    return beside(steps, timeline, "rehearsal of 25 November", known, kept_out_ms=83_000)


@cache
def three_hours() -> Comparison:
    """A long class: the same class seven times, each taking longer than planned."""
    one = captioned("lakeside-morning")
    steps: list[StepTaken] = []
    both: list[BothSides] = []
    length_ms, drift = one.planned_ms, 1.04
    for round_ in range(7):
        first = len(steps)
        both += [BothSides(pair.first + first, pair.second + first) for pair in one.both_sides]
        for step in one.steps:
            at_ms = step.planned_start_ms + round_ * length_ms
            real_ms = None if step.real_start_ms is None else round((step.real_start_ms + round_ * length_ms) * drift)
            took_ms = None if step.real_ms is None else round(step.real_ms * drift)
            moved = replace(step, number=first + step.number, planned_start_ms=at_ms, section=round_)
            steps.append(replace(moved, real_start_ms=real_ms, real_ms=took_ms))
    return replace(
        one,
        title="A long day at the lake",
        recording="day.vtt",
        sections=tuple(f"Round {number + 1} of the lake" for number in range(7)),
        steps=tuple(steps),
        both_sides=tuple(both),
        planned_ms=length_ms * 7,
        slot_ms=10_800_000,
        real_ms=round((one.real_ms or 0) * drift + 6 * length_ms * drift),
        slips=(),
    )


NAMES = (
    "Überquerung des Sees bei Föhn",
    "Adho Mukha Śvānāsana",
    "<b>bold</b> & \"quoted\" 'twice'",
    "התנוחה של הלוחם",
    "وضعية المحارب الثانية",
    "英雄式二",
    "Slow and steady side stretch in an easy seat, one arm over the head, breathing into the upper ribs",
    "x",
    "</script></style></svg>",
    "tree 🌳 pose",
)


def odd_names() -> Comparison:
    """Steps called by names of every kind, known from a voice; two are unsure, one has no end, one is gone."""
    steps, at_ms, real_ms = [], 5000, 12_000
    for number, name in enumerate(NAMES * 2):
        side = (Side.RIGHT, Side.LEFT)[number // len(NAMES)]
        planned_ms = 40_000 + 9000 * (number % 4)
        took_ms = round(planned_ms * (0.7, 1.0, 1.5)[number % 3])
        steps.append(
            StepTaken(
                number=number,
                kind=StepKind.POSE,
                title=name,
                side=side,
                section=number // 7,
                place=Place("odd.yaml", 10 + number, 5),
                planned_start_ms=at_ms,
                planned_ms=planned_ms,
                real_start_ms=None if number == 5 else real_ms,
                real_ms=None if number in (5, 9) else took_ms,
                sure=0.0 if number == 5 else 0.4 if number % 8 == 2 else 0.95,
                rests_on=Basis.NOTHING if number == 5 else Basis.VOICE,
                cues=2,
                heard=0,
            )
        )
        at_ms, real_ms = at_ms + planned_ms, real_ms + took_ms + (20_000 if number == 13 else 0)
    pairs = tuple(BothSides(number, number + len(NAMES)) for number in range(len(NAMES)))
    return Comparison(
        title='Føhn & <i>"Śānti"</i> – שלום',
        how=How.TAUGHT,
        recording="C:\\see\\<föhn>.wav",
        sections=("Ankommen & <em>Atmen</em>", "उत्तानासन", "Schluß"),
        planned_ms=at_ms - 5000,
        slot_ms=900_000,
        real_ms=real_ms - 12_000,
        kept_out_ms=0,
        cues=40,
        heard=None,
        steps=tuple(steps),
        both_sides=pairs,
        speech=Speech(None, 300_000, 1_100_000, True),
        slips=(Slip(2, 130_000, Place("<odd>.yaml", 3, 5), "left & <b>right</b>", "right … right"),),
    )


def short(rests: Basis = Basis.PRESSED) -> Comparison:
    """Eight steps by hand, each known from a key (or as said); a move shares its time, and one step was left out."""
    planned = (
        ("talk", StepKind.TALK, None, 0, 12_000, 14_400),
        ("mountain", StepKind.POSE, None, 0, 48_000, 61_600),
        ("Inhale", StepKind.MOVE, None, 1, 4000, 4500),
        ("low lunge", StepKind.POSE, Side.RIGHT, 1, 40_000, 42_000),
        ("low lunge", StepKind.POSE, Side.LEFT, 1, 40_000, 29_500),
        ("tree", StepKind.POSE, Side.RIGHT, 1, 30_000, None),
        ("final rest", StepKind.REST, None, 2, 180_000, 180_000),
        ("silence", StepKind.SILENCE, None, 2, 6000, 7000),
    )
    steps, at_ms, real_ms = [], 0, 0
    for number, (title, kind, side, section, planned_ms, took_ms) in enumerate(planned):
        is_known, is_move = took_ms is not None, kind is StepKind.MOVE
        shared = Basis.SHARED if rests is Basis.PRESSED and is_move else rests
        steps.append(
            StepTaken(
                number=number,
                kind=kind,
                title=title,
                side=side,
                section=section,
                place=Place("short.yaml", 8 + number, 7),
                planned_start_ms=at_ms,
                planned_ms=planned_ms,
                real_start_ms=real_ms if is_known else None,
                real_ms=took_ms,
                sure=(0.6 if is_move else 0.97) if is_known else 0.0,
                rests_on=shared if is_known else Basis.NOTHING,
                cues=1,
                heard=0,
            )
        )
        at_ms, real_ms = at_ms + planned_ms, real_ms + (took_ms or 0)
    return Comparison(
        title="Six minutes by the lake",
        how={Basis.PRESSED: How.REHEARSED, Basis.LED: How.LED}.get(rests, How.TAUGHT),
        recording="rehearsal.jsonl",
        sections=("Arriving", "Moving", "Rest"),
        planned_ms=at_ms,
        slot_ms=360_000,
        real_ms=real_ms,
        kept_out_ms=70_000,
        cues=8,
        heard=None,
        steps=tuple(steps),
        both_sides=(BothSides(3, 4),),
        speech=None,
        slips=(),
    )


def other() -> Comparison:
    """The same steps beside the captions of another class."""
    known = short()
    steps = tuple(
        replace(step, real_start_ms=None, real_ms=None, sure=0.0, rests_on=Basis.NOTHING) for step in known.steps
    )
    speech = Speech(900, 400_000, 1_000_000, False)
    return replace(
        known,
        how=How.TAUGHT,
        recording="a.vtt",
        steps=steps,
        real_ms=None,
        heard=1,
        speech=speech,
        kept_out_ms=0,
        is_another=True,
    )


def heard() -> Comparison:
    """The same steps known from captions, of which the last two have no end and no start, without a slot."""
    known = short(Basis.OPENING)
    steps = (
        *known.steps[:6],
        replace(known.steps[6], real_ms=None),
        replace(known.steps[7], real_start_ms=None, real_ms=None, sure=0.0, rests_on=Basis.NOTHING),
    )
    slip = Slip(3, 85_000, Place("short.yaml", 11, 9), "Bend the right knee", "bend the left knee")
    speech = Speech(420, 150_000, 330_000, True)
    made = replace(known, recording="short.vtt", steps=steps, slot_ms=None, real_ms=None, heard=7, kept_out_ms=0)
    return replace(made, speech=speech, slips=(slip,))


@cache
def led() -> Comparison:
    """A class led by the program, with a time in it that counts for no step."""
    steps, timeline = shipped_plan("starter")
    known: list[Known | None] = []
    for number, span in enumerate(timeline.spans):
        waited_ms = 30_000 if number > 6 else 0
        known.append(Known(span.start_ms + waited_ms, span.end_ms - span.start_ms, 0.99, Basis.LED))
    return beside(steps, timeline, "led on Monday", known, kept_out_ms=30_000)


#: Comparisons made by hand: nothing that plans or compares changes them. Their whole reports lie in `pages/`.
BY_HAND = {"short": short, "other": other, "heard": heard, "odd-names": odd_names}

SAMPLES = {
    **BY_HAND,
    "desk-break": lambda: captioned("desk-break"),
    "lakeside": lambda: captioned("lakeside-morning", 2),
    "three-hours": three_hours,
    "another": another,
    "unknown": unknown,
    "rehearsed": rehearsed,
    "led": led,
}
