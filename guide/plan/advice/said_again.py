"""The same words again and again."""

from collections import defaultdict
from collections.abc import Iterator

from guide.plan.advice.facts import INSTRUCTIONS, sentence, unsilenced
from guide.plan.advice.view import Advice, ClassView
from guide.sequence.steps import StepKind

NAME = "said again"

REASON = (
    "A line that comes word for word for the fifth time is not heard any more. After two or three times the pose is "
    "known, and quiet or another thought does more."
)

#: Said so often, a line is worn out (common practice, no source).
MOST_TIMES = 4


def advise(view: ClassView) -> Iterator[Advice]:
    said: dict[str, list[int]] = defaultdict(list)
    silent = set(range(len(view.steps.steps))).difference(unsilenced(view, NAME))
    for number, cue in enumerate(view.timeline.cues):
        # The words of moves are the moves: they come back with every round.
        moves = view.step(cue.step).kind is StepKind.MOVE
        # A block from a library is said as its writer meant it, round after round.
        own = cue.place.file == view.class_file.place.file
        if cue.kind in INSTRUCTIONS and own and not moves and cue.step not in silent:
            said[" ".join(cue.words.split()).casefold()].append(number)
    for numbers in said.values():
        if len(numbers) > MOST_TIMES:
            first = view.timeline.cues[numbers[0]]
            what = f"{sentence(first.words)} is said {len(numbers)} times, word for word"
            steps = tuple(dict.fromkeys(view.timeline.cues[number].step for number in numbers))
            yield Advice(first.place, NAME, what, "say it once or twice, then leave the quiet alone", steps)
