"""Any comparison at all, for Hypothesis: whatever may be None is None at times, and names are any text."""

from hypothesis import strategies as st

from guide.problem import Place
from guide.review.comparison import BothSides, Comparison, How, Slip, StepTaken
from guide.review.confidence import Basis
from guide.review.speech import Speech
from guide.sequence.steps import Side, StepKind

#: Three hours and more.
MOST_MS = 12_000_000

words = st.text(st.characters(exclude_categories=()), max_size=40) | st.sampled_from(
    ["<b>", "</style>", "]]>", "&amp;", "\"'", "שלום", "Śavāsana", "\x00\ufffe", "<!--", "x" * 300]
)
lengths_ms = st.integers(0, 60_000) | st.integers(0, MOST_MS)
maybe_ms = st.none() | lengths_ms
maybe_sides = st.none() | st.sampled_from(Side)
resting = st.sampled_from(list(Basis)[:-1])
titles = st.lists(words, max_size=3)
places = st.builds(Place, words, st.integers(1, 999), st.integers(1, 99))
speeches = st.none() | st.builds(Speech, st.none() | st.integers(0, 30_000), lengths_ms, lengths_ms, st.booleans())


@st.composite
def comparisons(draw: st.DrawFn) -> Comparison:
    """Steps one after the other as planned; what is known of them is anything."""
    sections = draw(titles)
    section = st.none() | st.integers(0, len(sections) - 1) if sections else st.none()
    count = draw(st.integers(0, 12))
    steps, at_ms = [], draw(lengths_ms)
    for number in range(count):
        planned_ms = draw(lengths_ms)
        start_ms = draw(maybe_ms)
        steps.append(
            StepTaken(
                number=number,
                kind=draw(st.sampled_from(StepKind)),
                title=draw(words),
                side=draw(maybe_sides),
                section=draw(section),
                place=draw(places),
                planned_start_ms=at_ms,
                planned_ms=planned_ms,
                real_start_ms=start_ms,
                real_ms=None if start_ms is None else draw(maybe_ms),
                sure=0.0 if start_ms is None else draw(st.floats(0, 1)),
                rests_on=Basis.NOTHING if start_ms is None else draw(resting),
                cues=draw(st.integers(0, 9)),
                heard=0,
            )
        )
        at_ms += planned_ms
    numbers = st.integers(0, max(count - 1, 0))
    heard = draw(st.none() | st.integers(0, 99))
    return Comparison(
        title=draw(words),
        how=draw(st.sampled_from(How)),
        recording=draw(words),
        sections=tuple(sections),
        planned_ms=sum(step.planned_ms for step in steps),
        slot_ms=draw(maybe_ms),
        real_ms=draw(maybe_ms),
        kept_out_ms=draw(lengths_ms),
        cues=draw(st.integers(0, 99)),
        heard=heard,
        steps=tuple(steps),
        both_sides=tuple(draw(st.lists(st.builds(BothSides, numbers, numbers), max_size=4 if count else 0))),
        speech=draw(speeches),
        slips=tuple(draw(st.lists(st.builds(Slip, numbers, lengths_ms, places, words, words), max_size=2))),
        is_another=heard is not None and draw(st.booleans()),
    )
