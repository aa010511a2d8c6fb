"""Still promise 9: a plan with fewer words is the whole one, with what is left out listed; nothing else has moved."""

from collections.abc import Iterator
from dataclasses import replace

from guide.plan.checks.breach import Breach
from guide.plan.checks.p0_form import dips_of
from guide.plan.timeline import Timeline


def check(whole: Timeline, thinned: Timeline) -> Iterator[Breach]:
    """Every breach, from the two plans alone."""
    cues = sorted((*thinned.cues, *thinned.left_out), key=lambda cue: cue.start_ms)
    if tuple(cues) != whole.cues:
        yield Breach(9, None, "what is said and what is left out are not the words of the whole class")
    if thinned.dips != dips_of(thinned.cues):
        yield Breach(7, None, "bells and chimes are turned down where nothing is said, or are not where something is")
    if thinned.notes[: len(whole.notes)] != whole.notes or (thinned.left_out and thinned.notes == whole.notes):
        yield Breach(9, None, "words are left out, and no note says so")
    alike = replace(thinned, cues=whole.cues, dips=whole.dips, notes=whole.notes, left_out=whole.left_out)
    if alike != whole:
        yield Breach(9, None, "more than words has changed where words were left out")
