"""Counts which words are told in which pose, for `guide/draft/reading/told.json`.

    PYTHONPATH=.:tests:tests/review:tests/draft python tests/draft/learn_told.py

writes it anew. What is counted is `told.txt` beside it, the library's own words, and what was said in the classes of
`talks/built_with/`, in each pose and in none. A count without one teacher judges drafts of that teacher's classes.
"""

import json
import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

from talked import BUILT_WITH, names, talked

from guide.draft.reading.done import all_poses, number_of
from guide.draft.reading.told_words import COUNTED, ToldWords, telling, weighed
from guide.review.captions.transcript import folded

#: What is said in `told.txt` counts once, the words of the library and those of the classes so much.
LIBRARY, TALKED = 0.2, 0.5
#: What counts less than this in all is left out, and nothing in a sentence counts more than twice.
LEAST, MOST = 0.99, 2

_SENTENCE_END = re.compile(r"(?<=[.?!])\s+")


def told(teacher: str | None) -> Iterator[tuple[str, str, float]]:
    """Every pose, or "" for none, with words that are told in it and how much they count; none of this teacher's."""
    for part in COUNTED.with_suffix(".txt").read_text(encoding="utf-8").split("\n= ")[1:]:
        pose, _, words = part.partition("\n")
        yield pose, words.replace("\n", " "), 1.0
    for each in all_poses():
        for words in (*each.enter, *each.say):
            yield each.name, words.replace("<other side>", "").replace("<side>", ""), LIBRARY
    for name in names(BUILT_WITH):
        if not name.startswith(f"{teacher}-"):
            talk = talked(BUILT_WITH, name)
            for line in talk.said:
                middle_ms = (line.start_ms + line.end_ms) // 2
                done = (step.pose for step in talk.steps if step.at_ms <= middle_ms < step.until_ms)
                pose = next(done, None)
                yield pose if pose in number_of() else "", line.text, TALKED


def counted(teacher: str | None = None) -> Mapping[str, Mapping[str, float]]:
    """How often each word and pair is told in each pose, without what this teacher says."""
    found: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for pose, words, worth in told(teacher):
        for sentence in _SENTENCE_END.split(words):
            for each, count in telling(folded(sentence)).items():
                found[each][pose] += min(count, MOST) * worth
    return {each: by for each, by in found.items() if by.keys() - {""} and sum(by.values()) >= LEAST}


@cache
def learned_without(teacher: str) -> ToldWords:
    """What is learned without a teacher."""
    return weighed(counted(teacher), tuple(number_of()))


def as_text() -> str:
    """The counts as they are kept: the names of the poses, and for each word or pair numbers of poses with tenths."""
    poses = [*number_of(), ""]
    number = {name: at for at, name in enumerate(poses)}
    tenths = {
        each: [count for name, n in sorted(by.items()) if name in number for count in (number[name], round(10 * n))]
        for each, by in sorted(counted().items())
    }
    return json.dumps({"poses": poses, "tenths": tenths}, separators=(",", ":")) + "\n"


if __name__ == "__main__":
    Path(COUNTED).write_text(as_text(), encoding="utf-8")
