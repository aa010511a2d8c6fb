"""The checker: proves on a finished plan, from the plan and the steps alone, that every promise is kept.

It shares no code with the scheduler: it works out for itself what each promise asks. To add a check, write a module
with `check(evidence) -> Iterator[Breach]` under `checks/` and name it in `CHECKS`.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping

from guide.plan.checks import (
    p0_between,
    p0_form,
    p0_laid,
    p0_music,
    p1_one_voice,
    p2_full_holds,
    p3_full_breaths,
    p4_moves,
    p5_calm,
    p6_sides,
    p7_bells,
    p8_slot,
    p9_counts,
    p9_rings,
    p9_thinned,
    p9_words,
    p10_by_turns,
)
from guide.plan.checks.breach import Breach
from guide.plan.checks.evidence import Evidence, gather
from guide.plan.timeline import Timeline
from guide.problem import GuideError
from guide.sequence.steps import Steps

__all__ = ["CHECKS", "Breach", "BrokenPromise", "breaches", "prove", "prove_thinned"]

#: Every check by its name; a promise may have several.
CHECKS: dict[str, Callable[[Evidence], Iterator[Breach]]] = {
    "form": p0_form.check,
    "between": p0_between.check,
    "laid": p0_laid.check,
    "music": p0_music.check,
    "one voice": p1_one_voice.check,
    "full holds": p2_full_holds.check,
    "full breaths": p3_full_breaths.check,
    "moves": p4_moves.check,
    "calm": p5_calm.check,
    "sides": p6_sides.check,
    "bells": p7_bells.check,
    "slot": p8_slot.check,
    "words": p9_words.check,
    "rings": p9_rings.check,
    "counts": p9_counts.check,
    "by turns": p10_by_turns.check,
}

#: So many breaches are written out; a broken plan may have thousands.
MOST_SHOWN = 20


class BrokenPromise(GuideError):
    """A plan that does not keep what a plan promises: a fault of the program and not of the file."""

    exit_code = 1

    def __init__(self, found: Iterable[Breach]) -> None:
        self.breaches = tuple(found)
        shown = [f"    {breach}" for breach in self.breaches[:MOST_SHOWN]]
        if len(self.breaches) > MOST_SHOWN:
            shown.append(f"    and {len(self.breaches) - MOST_SHOWN} more")
        head = "the plan of this class is wrong, which is a fault of the program and not of the file"
        super().__init__("\n".join((f"{head} (please report it, with the file and these lines):", *shown)))


def breaches(steps: Steps, timeline: Timeline, word_ms: Mapping[str, int]) -> tuple[Breach, ...]:
    """Every breach of a promise in a plan of `steps`, by promise and then in the order of the class; none if all hold.

    `word_ms` is the length of each text that is said, in milliseconds.
    """
    unfit = tuple(p0_form.check_numbers(steps, timeline))
    if unfit:
        return unfit
    evidence = gather(steps, timeline, word_ms)
    found = (breach for check in CHECKS.values() for breach in check(evidence))
    return tuple(sorted(found, key=lambda breach: breach.promise))


def prove_thinned(whole: Timeline, thinned: Timeline) -> None:
    """Let a plan with fewer words pass where nothing but words has gone, and all that has is listed.

    Raises: BrokenPromise naming every breach.
    """
    found = tuple(p9_thinned.check(whole, thinned))
    if found:
        raise BrokenPromise(found)


def prove(steps: Steps, timeline: Timeline, word_ms: Mapping[str, int]) -> None:
    """Let a plan pass that keeps every promise.

    Raises: BrokenPromise naming every breach.
    """
    found = breaches(steps, timeline, word_ms)
    if found:
        raise BrokenPromise(found)
