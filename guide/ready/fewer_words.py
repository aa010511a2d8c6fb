"""A class that is ready, with fewer words."""

from dataclasses import replace

from guide.plan.checker import prove_thinned
from guide.plan.thinning import WordsKept, thinned
from guide.ready.make_ready import Album, ReadyClass


def with_words(ready: ReadyClass, kept: WordsKept) -> ReadyClass:
    """The class with the words that are kept, and all else where it was, which is proved."""
    timeline = thinned(ready.timeline, kept)
    prove_thinned(ready.timeline, timeline)
    return replace(ready, timeline=timeline)


def week_of(ready: ReadyClass, kept: WordsKept, week: int, weeks: int) -> ReadyClass:
    """The class with the words of a week, one of so many, called so in its captions and its tags."""
    thin = with_words(ready, kept)
    said, lines = len(thin.timeline.cues), len(ready.timeline.cues)
    title = f"{ready.class_file.title}, week {week}"
    about = " ".join(
        filter(None, (f"Week {week} of {weeks}: {said} of {lines} lines are said.", ready.class_file.about))
    )
    return replace(
        thin,
        class_file=replace(ready.class_file, title=title, about=about),
        timeline=replace(thin.timeline, title=title),
        album=Album(ready.class_file.title, week, weeks),
    )
