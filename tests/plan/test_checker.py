"""The checker lets good plans pass and names every broken promise; the plans are written by hand."""

from dataclasses import replace

import pytest
from plans_by_hand import Plan, at_line, dips_of, lake, tight
from rows import each_row

from guide.plan.checker import Breach, BrokenPromise, breaches, prove
from guide.plan.timeline import Chapter, Dip, Dropped, Note, Ring, RingRole, Timeline
from guide.problem import GuideError
from guide.sequence.steps import AtTime, BellWhen, InBreaths, Sounds, Steps

LAKE, TIGHT = lake(), tight()


@pytest.mark.parametrize("plan", [LAKE, TIGHT], ids=["lake", "tight"])
def test_a_good_plan_passes(plan: Plan) -> None:
    assert breaches(plan.steps, plan.timeline, plan.word_ms) == ()
    prove(plan.steps, plan.timeline, plan.word_ms)


CHIME_FOR_TWO = Ring(45_300, 1500, "rising", RingRole.INHALE, 3)


def without_cue(plan: Plan, number: int) -> Plan:
    less = plan.without("cues", number)
    return less.having(dips=dips_of(less.timeline.cues))


#: What is done to a good plan, and all that the checker says of it.
BROKEN: dict[str, tuple[Plan, list[str]]] = {
    "a step is missing": (
        LAKE.without("spans", 5),
        [
            "promise 0: the class has 6 steps, the plan has 5",
            "lake.yaml:15:5: promise 0: the cue “Let the lake hold you.” belongs to step 5 of 5",
            "promise 0: the step ring at 1:31.300 belongs to step 5 of 5",
            "lake.yaml:16:5: promise 0: the dropped cue “Hear the water.” belongs to step 5 of 5",
        ],
    ),
    "the title is another": (
        LAKE.having(title="By the sea"),
        ["promise 0: the plan is called “By the sea”, the class “By the lake”"],
    ),
    "a step is shown as another": (
        LAKE.span(2, title="arms"),
        ["lake.yaml:9:5: promise 0: the plan shows “arms” where the class has “inhale”"],
    ),
    "a cue is shorter than its words": (
        LAKE.cue(2, length_ms=1990),
        ["lake.yaml:8:5: promise 0: the cue “Stand tall.” has 1990 ms in the plan, its words are 2000 ms"],
    ),
    "the class is cut short": (
        LAKE.having(length_ms=97_000, chapters=(Chapter("Arriving", 0, 97_000),)),
        ["promise 0: the plan is 1:37.000 long, the class ends at 1:37.800"],
    ),
    "a chapter begins late": (
        LAKE.having(chapters=(Chapter("Arriving", 2500, 97_800),)),
        ["promise 0: number 1 of the chapters reaches from 0:02.500 to 1:37.800, not from 0:00.000 to 1:37.800"],
    ),
    "a chime is turned down that need not be": (
        LAKE.having(dips=(*LAKE.timeline.dips[:1], Dip(11_300, 15_300), *LAKE.timeline.dips[2:])),
        ["promise 0: number 2 of the dips reaches from 0:11.300 to 0:15.300, not from 0:11.300 to 0:13.300"],
    ),
    "a ring belongs to no step": (
        LAKE.ring(2, step=None),
        ["promise 0: the inhale ring at 0:07.300 belongs to no step"],
    ),
    "two cues overlap": (
        TIGHT.cue(2, start_ms=8000),
        [
            "lake.yaml:7:5: promise 1: “Push the floor away.” and “Press the heels back.” at 0:08.000 "
            "overlap by 300 ms",
            "lake.yaml:7:5: promise 5: “Press the heels back.” at 0:08.000 begins neither on an "
            "inhale nor on an exhale",
        ],
    ),
    "two cues are 249 ms apart": (
        TIGHT.cue(2, start_ms=8549),
        [
            "lake.yaml:7:5: promise 1: “Push the floor away.” and “Press the heels back.” at 0:08.549 "
            "have only 249 ms between them",
            "lake.yaml:7:5: promise 5: “Press the heels back.” at 0:08.549 begins neither on an "
            "inhale nor on an exhale",
        ],
    ),
    "a name is said while the pose before is held": (
        LAKE.cue(7, start_ms=53_000),
        [
            "lake.yaml:11:5: promise 2: “Warrior two, left side.” begins at 0:53.000, before “warrior "
            "two” is over at 0:53.300",
            "lake.yaml:11:5: promise 3: the hold of “warrior two” begins at 0:55.300, its entry words end at 0:55.000",
        ],
    ),
    "entry words are given more than they need": (
        LAKE.span(1, start_ms=6200).span(0, end_ms=6200),
        [
            "lake.yaml:5:5: promise 0: “talk” ends 200 ms after its hold, not 300 ms",
            "lake.yaml:6:5: promise 2: the entry words of “mountain” have 1100 ms, they need 1000 ms",
        ],
    ),
    "a hold begins before its entry words are over": (
        LAKE.cue(1, start_ms=6301),
        ["lake.yaml:6:5: promise 3: the hold of “mountain” begins at 0:07.300, its entry words end at 0:07.301"],
    ),
    "a hold is a millisecond short": (
        LAKE.span(1, held_ms=31_299, end_ms=31_299),
        [
            "lake.yaml:9:5: promise 0: “inhale” begins at 0:31.300, it should follow at 0:31.299",
            "lake.yaml:6:5: promise 3: “mountain” is held 23999 ms; 3 breaths are 24000 ms, and the file asks for 3",
        ],
    ),
    "a hold has grown and nobody says so": (
        TIGHT.without("notes", 2),
        ["lake.yaml:8:5: promise 3: “boat” has grown by 1 breath, and no note says so"],
    ),
    "a timed hold has grown and nobody says so": (
        TIGHT.without("notes", 3),
        ["lake.yaml:11:5: promise 3: “rest” has grown by 1 breath, and no note says so"],
    ),
    "a move begins before its words": (
        LAKE.cue(3, start_ms=31_400),
        [
            "lake.yaml:9:5: promise 4: “Inhale, arms up.” begins at 0:31.400, it should begin at 0:31.300, "
            "for the breath at 0:31.300"
        ],
    ),
    "a stretched breath is not told": (
        TIGHT.without("notes", 0),
        ["lake.yaml:3:5: promise 4: this exhale is stretched by 1300 ms, and no note says so"],
    ),
    "a cue begins beside its exhale": (
        LAKE.cue(2, start_ms=11_301),
        ["lake.yaml:8:5: promise 5: “Stand tall.” at 0:11.301 does not begin on an exhale"],
    ),
    "a cue begins on an inhale though there is room": (
        LAKE.cue(2, start_ms=15_300),
        ["lake.yaml:8:5: promise 5: “Stand tall.” at 0:15.300 does not begin on an exhale"],
    ),
    "the last breath is not quiet": (
        LAKE.cue(2, start_ms=27_300),
        [
            "lake.yaml:8:5: promise 5: “Stand tall.” ends at 0:29.300, in the last breath of "
            "“mountain”, which is quiet from 0:23.300"
        ],
    ),
    "a cue comes before its place": (
        LAKE.cue(10, start_ms=75_300),
        [
            "lake.yaml:15:5: promise 5: “Let the lake hold you.” at 1:15.300 is said before the place "
            "that the file asks for (1:16.300)"
        ],
    ),
    "words stand close and nobody says so": (
        TIGHT.without("notes", 1),
        ["lake.yaml:4:5: promise 5: the words of “plank” have no room for one thought a breath, and no note says so"],
    ),
    "a bell has no time alone": (
        LAKE.ring(1, start_ms=2600),
        [
            "lake.yaml:5:5: promise 7: “Welcome.” begins 2400 ms after the section bell at 0:02.600",
            "promise 9: the section ring “gong” is missing at 0:02.500",
            "promise 9: nothing asks for the section ring “gong” at 0:02.600",
        ],
    ),
    "chimes are not turned down under a cue": (
        LAKE.without("dips", 1),
        [
            "promise 0: the plan has 7 dips, the class needs 8",
            "lake.yaml:8:5: promise 7: the bells and chimes are not turned down under “Stand tall.” at 0:11.300",
        ],
    ),
    "the slot is missed and nobody says so": (
        LAKE.without("notes", 2),
        ["promise 8: the class lasts 1:37.800, its slot is 1:35.000, and no note says so"],
    ),
    "a cue is missing": (
        without_cue(LAKE, 2),
        ["lake.yaml:8:5: promise 9: the how cue “Stand tall.” is missing from “mountain”"],
    ),
    "a cue is dropped that must be said": (
        LAKE.having(dropped=(Dropped(at_line(8), "Stand tall.", 1), *LAKE.timeline.dropped)),
        [
            "lake.yaml:8:5: promise 9: “Stand tall.” is listed as dropped, which the file does not allow",
            "lake.yaml:8:5: promise 9: “Stand tall.” was dropped, and no note says so",
            "lake.yaml:8:5: promise 9: “Stand tall.” was dropped though there is room for it",
        ],
    ),
    "a cue is neither said nor dropped": (
        LAKE.having(dropped=()),
        ["lake.yaml:16:5: promise 9: the offer cue “Hear the water.” is missing from “rest”"],
    ),
    "a chime is missing": (
        LAKE.without("rings", 4),
        ["lake.yaml:6:5: promise 9: the inhale ring “rising” is missing at 0:15.300"],
    ),
    "the bell at the end is missing": (
        LAKE.without("rings", 10),
        ["promise 9: the class ring “bowl” is missing at 1:33.800"],
    ),
    "a number is wrong": (
        replace(LAKE.cue(6, words="3"), word_ms={**LAKE.word_ms, "3": 500}),
        [
            "lake.yaml:11:5: promise 9: “3” at 0:45.550 counts nothing of “warrior two”",
            "lake.yaml:11:5: promise 9: “2” is not counted at 0:46.300, though there is room for it",
            "lake.yaml:11:5: promise 9: “2” is not counted in “warrior two”, and not listed as dropped",
            "lake.yaml:11:5: promise 9: numbers of “warrior two” are not counted aloud, and no note says so",
        ],
    ),
    "a number is left to a chime though there is room": (
        without_cue(LAKE, 6).having(rings=(*LAKE.timeline.rings[:9], CHIME_FOR_TWO, *LAKE.timeline.rings[9:])),
        [
            "lake.yaml:11:5: promise 9: “2” is not counted at 0:45.550, though there is room for it",
            "lake.yaml:11:5: promise 9: “2” is not counted in “warrior two”, and not listed as dropped",
            "lake.yaml:11:5: promise 9: numbers of “warrior two” are not counted aloud, and no note says so",
        ],
    ),
}


@each_row("name", BROKEN)
def test_a_broken_promise_is_named(name: str) -> None:
    plan, said = BROKEN[name]
    assert plan.found() == said


def test_a_breath_more_than_the_words_need_is_named() -> None:
    """Three breaths for words that fit into two, with a note that says three."""
    spans, notes = TIGHT.timeline.spans, TIGHT.timeline.notes
    rest = replace(spans[3], start_ms=37_300, hold_ms=37_300, held_ms=51_300, end_ms=51_300)
    boat = replace(spans[2], held_ms=37_300, end_ms=37_300, breaths=3)
    grown = replace(notes[2], what="“boat” is held 3 breaths instead of 1, because its words need them")
    longer = TIGHT.cue(4, start_ms=41_300).having(
        spans=(*spans[:2], boat, rest), notes=(*notes[:2], grown, notes[3]), length_ms=51_300
    )
    assert longer.found() == [
        "lake.yaml:8:5: promise 3: “boat” has grown by 2 breaths, though its words fit with one less"
    ]


def test_two_cues_in_one_breath_are_named_where_there_is_room() -> None:
    """The second cue may be said at 6 s, but then it shares the first breath with the one before."""
    steps = TIGHT.steps.steps
    later = replace(steps[1].words[1], at=AtTime(6000))
    roomy = replace(steps[1], words=(steps[1].words[0], later), hold=InBreaths(3, 3, 3))
    plan = replace(
        TIGHT, steps=replace(TIGHT.steps, steps=(steps[0], roomy)), word_ms=TIGHT.word_ms | {later.text: 500}
    )
    plan = plan.having(
        spans=(TIGHT.timeline.spans[0], replace(TIGHT.timeline.spans[1], held_ms=29_300, end_ms=29_300, breaths=3)),
        cues=(*TIGHT.timeline.cues[:1], replace(TIGHT.timeline.cues[1], start_ms=9300, length_ms=1500)),
        notes=TIGHT.timeline.notes[:1],
        length_ms=29_300,
    )
    plan = replace(plan, word_ms=plan.word_ms | {roomy.words[0].text: 1500})
    both = (*plan.timeline.cues, replace(TIGHT.timeline.cues[2], start_ms=11_300, length_ms=500))
    crowded = plan.having(cues=both, dips=dips_of(both))
    assert crowded.found() == [
        "lake.yaml:7:5: promise 5: “Press the heels back.” at 0:11.300 shares its breath with another"
    ]


def test_the_two_sides_must_last_the_same() -> None:
    """The left side is held a breath longer; its number and its note are there."""
    spans, cues, rings = LAKE.timeline.spans, LAKE.timeline.cues, LAKE.timeline.rings
    left = replace(spans[4], held_ms=79_300, end_ms=79_300, breaths=3)
    rest = replace(spans[5], start_ms=79_300, hold_ms=79_300, held_ms=99_300, end_ms=101_800)
    three = replace(cues[9], start_ms=71_550, words="3")
    said = (*cues[:10], three, replace(cues[10], start_ms=84_300))
    bells = (replace(rings[9], start_ms=99_300), replace(rings[10], start_ms=101_800))
    longer = "“warrior two” is held 3 breaths instead of 2, because its words need them"
    plan = LAKE.having(
        spans=(*spans[:4], left, rest),
        cues=said,
        dips=dips_of(said),
        rings=(*rings[:9], *bells),
        length_ms=105_800,
        chapters=(Chapter("Arriving", 0, 105_800),),
        notes=(*LAKE.timeline.notes, Note(left.place, longer)),
    )
    assert replace(plan, word_ms=plan.word_ms | {"3": 500}).found() == [
        "lake.yaml:11:5: promise 3: “warrior two” has grown by 1 breath, though its words fit with one less",
        "lake.yaml:11:5: promise 6: the hold of “warrior two” lasts 16000 ms on one side and 24000 ms on the other",
        "lake.yaml:11:5: promise 6: the whole of “warrior two” lasts 18000 ms on one side and 26000 ms on the other",
    ]


def test_a_class_without_steps_has_only_its_bells() -> None:
    steps = Steps("Empty", (), (), Sounds("bowl", "rising", "falling", "wood"), BellWhen.NONE, None)
    empty = Timeline("Empty", 0, (), (), (), (), (), (), ())
    assert breaches(steps, empty, {}) == ()
    assert [str(breach) for breach in breaches(steps, replace(empty, length_ms=1), {})] == [
        "promise 0: the plan is 0:00.001 long, the class ends at 0:00.000"
    ]


def test_a_broken_plan_is_a_fault_of_the_program_to_be_reported() -> None:
    broken = LAKE.cue(2, start_ms=11_301)
    with pytest.raises(BrokenPromise) as raised:
        prove(broken.steps, broken.timeline, broken.word_ms)
    assert isinstance(raised.value, GuideError)
    assert raised.value.exit_code == 1
    assert raised.value.breaches == (Breach(5, at_line(8), "“Stand tall.” at 0:11.301 does not begin on an exhale"),)
    assert str(raised.value) == (
        "the plan of this class is wrong, which is a fault of the program and not of the file "
        "(please report it, with the file and these lines):\n"
        "    lake.yaml:8:5: promise 5: “Stand tall.” at 0:11.301 does not begin on an exhale"
    )


def test_thousands_of_breaches_are_counted_and_twenty_shown() -> None:
    many = BrokenPromise(Breach(1, None, f"number {number}") for number in range(3000))
    lines = str(many).splitlines()
    assert len(many.breaches) == 3000
    assert lines[20:] == ["    promise 1: number 19", "    and 2980 more"]
