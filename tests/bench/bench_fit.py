"""What fitting a class of 1,000 steps to its slot costs.

    python tests/bench/bench_fit.py

Prints milliseconds of processor time, the best of five in this run on this machine; asserts nothing.
"""

import random
import time
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.plan.step_lengths import measured
from guide.plan.step_shape import shapes
from guide.problem import Place
from guide.sequence.steps import (
    BY_CHIMES,
    BellWhen,
    Breath,
    CueKind,
    InBreaths,
    InTime,
    Pace,
    PaceRoom,
    Side,
    Sounds,
    Step,
    StepKind,
    Steps,
    Words,
)

SOUNDS = Sounds("class", "inhale", "exhale", "pause")
SOUND_MS = dict.fromkeys(("class", "inhale", "exhale", "pause"), 3000)
STEPS = 1000


def pace(inhale_ms: int, exhale_ms: int) -> Pace:
    return Pace(Fraction(inhale_ms), Fraction(0), Fraction(exhale_ms), Fraction(0))


USUAL = pace(4000, 5000)
ROOM = PaceRoom(pace(3500, 4300), pace(4700, 6000))


def words(line: int, text: str) -> Words:
    return Words(text, CueKind.HOW, Place("bench.yaml", line, 1))


def step(line: int, kind: StepKind, more: dict[str, object]) -> Step:
    plain = Step(
        kind=kind,
        title=f"step {line}",
        place=Place("bench.yaml", 10 * line + 1, 1),
        section=None,
        side=None,
        pair=None,
        pace=USUAL,
        breath=None,
        hold=None,
        entry=(),
        words=(),
        count=BY_CHIMES,
        bell=BellWhen.NONE,
        bell_sound="class",
    )
    return replace(plain, **more)  # type: ignore[arg-type]


def pose(line: int, chance: random.Random, side: str = "") -> Step:
    least = chance.randint(2, 6)
    hold = InBreaths(least, least + chance.randint(1, 2), least + chance.randint(3, 6))
    said = tuple(words(10 * line + 3 + n, f"{line} {n} {side}") for n in range(line % 3))
    return step(
        line, StepKind.POSE, {"hold": hold, "entry": (words(10 * line + 2, f"{line} in {side}"),), "words": said}
    )


def move(line: int, side: str = "") -> Step:
    carried = (words(10 * line + 2, f"{line} {side}"),)
    return step(line, StepKind.MOVE, {"breath": list(Breath)[line % 2], "words": carried})


def rest(line: int) -> Step:
    return step(line, StepKind.REST, {"hold": InTime(300_000, 600_000, 3_600_000)})


def typical() -> list[Step]:
    """Salutations in rounds and standing poses on both sides, with a rest at the end."""
    chance = random.Random(1)
    salutation = [move(line) if line % 9 else pose(line, chance) for line in range(1, 10)]
    made = [one for _ in range(40) for one in salutation]
    line = 20
    while len(made) < STEPS - 1:
        group = random.Random(line)
        for side in Side:
            same = random.Random(group.random())
            for number in range(2):
                one = (
                    move(line + number, side.value) if number else pose(line + number, random.Random(line), side.value)
                )
                made.append(replace(one, side=side, pair=f"{line}/{number}"))
        del same
        line += 2
    return [*made[: STEPS - 1], rest(9999)]


def worst() -> list[Step]:
    """A place of its own for every step, and a pace that gives."""
    chance = random.Random(2)
    made = [pose(line, chance) if line % 3 else move(line) for line in range(1, STEPS)]
    return [replace(one, pace_room=ROOM) for one in (*made, rest(9999))]


def best_ms(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(5):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return 1000 * min(taken)


def main() -> None:
    classes = {"rounds and sides": typical(), "1,000 places and an elastic pace": worst()}
    classes["the same, and no rest to take what is left"] = classes["1,000 places and an elastic pace"][:-1]
    for name, made in classes.items():
        steps = Steps("Bench", tuple(made), (), SOUNDS, BellWhen.BOTH, None)
        lengths = random.Random(3)
        word_ms = {w.text: lengths.randint(800, 4000) for one in made for w in (*one.entry, *one.words)}
        usual_ms = plan(steps, word_ms, SOUND_MS).length_ms
        slot = replace(steps, slot_ms=usual_ms // 1000 * 1000 * 21 // 20)
        fitted = fit(slot, word_ms, SOUND_MS)
        off_ms = plan(fitted.steps, word_ms, SOUND_MS).length_ms - (slot.slot_ms or 0)
        plain_ms = best_ms(lambda made=made, word_ms=word_ms: shapes(measured(made, word_ms), SOUND_MS))  # type: ignore[misc]
        fit_ms = best_ms(lambda slot=slot, word_ms=word_ms: fit(slot, word_ms, SOUND_MS))  # type: ignore[misc]
        gave = f"ease {float(fitted.ease or 0):+.2f}, {len(fitted.notes)} notes, off by {off_ms} ms"
        print(f"{len(made)} steps, {name}: {fit_ms:.0f} ms, {fit_ms / plain_ms:.1f} times shaping it; {gave}")


if __name__ == "__main__":
    main()
