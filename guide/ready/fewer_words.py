"""A class that is ready, with fewer words."""

from dataclasses import replace

from guide.plan.checker import prove_thinned
from guide.plan.thinning import WordsKept, thinned
from guide.ready.make_ready import ReadyClass


def with_words(ready: ReadyClass, kept: WordsKept) -> ReadyClass:
    """The class with the words that are kept, and all else where it was, which is proved."""
    timeline = thinned(ready.timeline, kept)
    prove_thinned(ready.timeline, timeline)
    return replace(ready, timeline=timeline)
