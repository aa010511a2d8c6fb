"""How long before a move its words began: what is known of it, and what is not. Worked out by hand; no outside source.

The class has its words a second before each breath of four seconds (the usual lead, common practice, no source).
"""

from dataclasses import replace

import pytest
from rehearsals import class_of

from guide.live.record import LED, REHEARSED, Began, Ended, Event, Opened, Spoke
from guide.review.by_record import compare_record
from guide.review.comparison import Comparison
from guide.review.lead_of_words import LeadOfWords
from guide.review.report_phrases import lead_told, words_said

STEPS, TIMELINE = class_of(
    "title: T\nlead: 1 s\npace: {inhale: 4 s, exhale: 4 s}\nclass:\n" + "  - inhale: Up.\n  - exhale: Down.\n" * 3
)

#: The first move begins with its words; those after it have them in the breath before.
AT_MS = tuple(10_000 + 4_000 * number for number in range(6))


def told(leads_ms: dict[int, int], talk: tuple[Spoke, ...] = (), by: str = "", how: str = REHEARSED) -> Comparison:
    """Each move with a key at its moment, and words of a second so long before it."""
    events: list[Event] = [
        *(
            Began(number, span.title, None, span.start_ms, at_ms, by)
            for number, (span, at_ms) in enumerate(zip(TIMELINE.spans, AT_MS, strict=True))
        ),
        *(Spoke(AT_MS[number] - ms, AT_MS[number] - ms + 1_000) for number, ms in leads_ms.items()),
        *talk,
    ]
    events.sort(key=lambda event: event.real_ms)
    opened = Opened("T", "t.yaml", "0", "2026-11-29T18:00:00", TIMELINE.length_ms, how)
    return compare_record(STEPS, TIMELINE, "one.jsonl", (opened, *events, Ended(34_000)))


def lead(comparison: Comparison) -> LeadOfWords | None:
    return comparison.speech.lead if comparison.speech else None


def test_the_median_of_the_leads_is_told_beside_the_planned_one() -> None:
    found = lead(told({1: 1_200, 2: 700, 3: 400, 4: 1_500, 5: 900}))
    assert found == LeadOfWords(5, 900, 400, 1_500, 1_000)
    assert lead_told(found) == (
        "Words began about 0.9 s before their move, planned 1.0 s before: "
        "the median of 5 moves with a key, from 0.4 s to 1.5 s"
    )


def test_words_after_the_move_are_told_as_such() -> None:
    found = lead(told({1: -500, 2: -700, 3: 100}))
    assert found == LeadOfWords(3, -500, -700, 100, 1_000)
    assert lead_told(found).startswith("Words began about 0.5 s after their move, planned 1.0 s before: ")
    assert lead_told(found).endswith("from −0.7 s to 0.1 s")


@pytest.mark.parametrize(
    "comparison",
    [
        told({1: 1_000, 2: 1_000}),
        told({0: 1_000, 1: 1_000, 2: 1_000}),
        told({1: 1_000, 2: 1_000}, talk=(Spoke(18_000, 27_000),)),
        told({1: 1_000, 2: 1_000, 5: -1_600}),
        told({1: 1_000, 2: 1_000, 3: 1_000, 4: 1_000}, by="voice"),
    ],
    ids=["too few", "the first begins with its words", "talked on through moves", "long after", "no key"],
)
def test_what_cannot_be_known_is_said_to_be_so(comparison: Comparison) -> None:
    assert lead(comparison) is None
    assert list(words_said(replace(comparison, is_another=False)))[-1] == (
        "How long before a move its words began cannot be told: "
        "only a key says when people moved (rehearse with --listen --each-move)"
    )


def test_nothing_is_said_of_it_where_nobody_listened_or_of_another_class() -> None:
    assert not list(words_said(told({})))
    assert not list(words_said(told({}, how=LED)))
    heard = told({1: 1_000, 2: 1_000, 3: 1_000})
    assert len(list(words_said(heard))) == 1 + len(list(words_said(replace(heard, is_another=True))))
