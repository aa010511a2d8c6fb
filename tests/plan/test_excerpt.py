"""A part of a class as a class of its own: what was in it, at the same distances, and nothing else."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st
from plan_samples import Sample, samples
from plan_texts import planned, steps_of

from guide.plan.excerpt import excerpt
from guide.plan.scheduler import plan

TEXT = """\
title: T
bells: {class: both, section: both}
class:
  - pose: oak
    hold: 2 breaths
  - section: One
  - pose: ash
    hold: 2 breaths
  - pose: elm
    hold: 2 breaths
  - section: Two
  - inhale: Up.
  - exhale: Down.
"""


def test_all_of_a_class_is_the_class() -> None:
    timeline, _ = planned(steps_of(TEXT, Path()))
    assert excerpt(timeline, 0, len(timeline.spans) - 1) == timeline


def test_a_section_has_its_bells_its_chapter_and_its_words_from_zero_on() -> None:
    timeline, _ = planned(steps_of(TEXT, Path()))
    part = excerpt(timeline, 1, 2)
    assert [span.title for span in part.spans] == ["ash", "elm"]
    assert [(one.title, one.start_ms) for one in part.chapters] == [("One", 0)]
    assert next(ring.start_ms for ring in part.rings if ring.step is None) == 0
    assert len([ring for ring in part.rings if ring.step is None]) == 2
    assert [cue.words for cue in part.cues] == ["Ash.", "Elm."]
    assert [span.section for span in part.spans] == [0, 0]


def test_the_end_of_a_class_keeps_its_bell() -> None:
    timeline, _ = planned(steps_of(TEXT, Path()))
    part = excerpt(timeline, 4, 4)
    assert [(span.title, span.section) for span in part.spans] == [("exhale", 0)]
    # The words lead the breath: they come along, and begin the part.
    said = next(cue for cue in timeline.cues if cue.step == 4)
    assert (part.cues[0].start_ms, part.spans[0].start_ms) == (0, timeline.spans[4].start_ms - said.start_ms)
    assert part.length_ms == timeline.length_ms - said.start_ms
    assert [one.title for one in part.chapters] == ["Two"]


@given(samples(6), st.data())
def test_every_part_has_what_its_steps_have_at_the_same_distances(sample: Sample, data: st.DataObject) -> None:
    timeline = plan(sample.steps, sample.word_ms, sample.sound_ms)
    first = data.draw(st.integers(0, len(timeline.spans) - 1))
    last = data.draw(st.integers(first, len(timeline.spans) - 1))
    part = excerpt(timeline, first, last)
    away_ms = timeline.spans[first].start_ms - part.spans[0].start_ms
    assert [(cue.start_ms + away_ms, cue.words, cue.step + first) for cue in part.cues] == [
        (cue.start_ms, cue.words, cue.step) for cue in timeline.cues if first <= cue.step <= last
    ]
    own = [ring for ring in timeline.rings if ring.step is not None and first <= ring.step <= last]
    assert [(ring.start_ms + away_ms, ring.sound) for ring in part.rings if ring.step is not None] == [
        (ring.start_ms, ring.sound) for ring in own
    ]
    assert all(one.start_ms >= 0 and one.end_ms <= part.length_ms for one in (*part.cues, *part.rings, *part.spans))
    assert all(0 <= one.start_ms < one.end_ms <= part.length_ms for one in (*part.chapters, *part.dips))
    for span in part.spans:
        if span.section is not None:
            chapter = part.chapters[span.section]
            assert chapter.start_ms <= span.start_ms and span.end_ms <= chapter.end_ms
