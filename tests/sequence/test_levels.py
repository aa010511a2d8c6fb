"""A level of a class is the class whose file says nothing of the other levels."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from guide.plan.checker import breaches
from guide.plan.estimate import EstimatedLengths
from guide.plan.fitting.fit import fit
from guide.plan.scheduler import plan
from guide.problem import UnusableChoice
from guide.ready.load import LoadedClass, load, load_text
from guide.sequence.model import ClassLevel
from guide.sequence.shipped_folder import shipped_classes
from guide.sequence.steps import Step

HEAD = "title: T\nslot: 10 min\nblocks:\n  b:\n"


def loaded(text: str, level: str | None = None) -> LoadedClass:
    return load_text(text, "t.yaml", Path(), level)


def steps(opened: LoadedClass) -> list[Step]:
    """The steps of a class without where they were written, but with which of them are twins."""
    assert opened.steps is not None and opened.problems == ()
    pairs: dict[str | None, int] = {}
    return [_unplaced(step, str(pairs.setdefault(step.pair, len(pairs)))) for step in opened.steps.steps]


def _unplaced(step: Step, pair: str) -> Step:
    place = replace(step.place, line=1, column=1)
    entry, words = (tuple(replace(one, place=place) for one in each) for each in (step.entry, step.words))
    return replace(step, place=place, pair=pair, entry=entry, words=words, told=())


MARKS = st.sampled_from([(), ("gentle",), ("strong",), ("middle", "strong"), ("gentle", "middle")])
CUES = st.lists(st.tuples(st.sampled_from(["Stand tall.", "Let your shoulders drop."]), MARKS), max_size=2)
ENTRIES = st.recursive(
    st.tuples(st.sampled_from(["pose: tree", "pose: mountain", "silence: 5 s", "exhale: Down."]), CUES, MARKS),
    lambda inner: st.tuples(st.sampled_from(["rounds: 2", "both sides:"]), st.lists(inner, min_size=1), MARKS),
    max_leaves=6,
)


def written(entries: list[tuple[str, list[object], tuple[str, ...]]], indent: int, level: str | None) -> list[str]:
    """The entries as lines: with all marks, or without what is marked for other levels."""
    pad, lines = " " * indent, []
    for head, inside, marks in entries:
        if level is not None and marks and level not in marks:
            continue
        mark = [f"{pad}  level: [{', '.join(marks)}]"] if marks and level is None else []
        if head in ("rounds: 2", "both sides:"):
            group = written(inside, indent + 4, level)
            of = [f"{pad}  of:"] if head == "rounds: 2" else []
            lines += [f"{pad}- {head}", *of, *group, *mark] if group else []
        else:
            own = inside if head.startswith("pose") else []
            said = written([(f"how: {text}", [], marks) for text, marks in own], indent + 4, level)
            lines += [f"{pad}- {head}", *([f"{pad}  say:", *said] if said else []), *mark]
    return lines


def _not_in_itself(entries: list[tuple[str, list[object], tuple[str, ...]]], sided: bool = False) -> bool:
    """Whether no `both sides` stands in another."""
    groups = [(head == "both sides:", inside) for head, inside, _ in entries if head in ("rounds: 2", "both sides:")]
    return all(not (sided and own) and _not_in_itself(inside, sided or own) for own, inside in groups)


@settings(deadline=None, max_examples=10)
@given(
    st.lists(ENTRIES, min_size=1, max_size=4).filter(_not_in_itself),
    st.sampled_from([each.value for each in ClassLevel]),
)
def test_a_level_is_what_its_file_would_be_without_the_others(entries, level) -> None:
    block = written(entries, 4, None)
    marked = "\n".join(
        [*HEAD.splitlines(), *block, "class:", "  - block: b", *written(entries, 2, None), "  - rest: 1 min"]
    )
    own = written(entries, 4, level)
    alone = "\n".join(
        [
            *(HEAD.splitlines() if own else HEAD.splitlines()[:2]),
            *own,
            "class:",
            *(["  - block: b"] if own else []),
            *written(entries, 2, level),
            "  - rest: 1 min",
        ]
    )
    every = loaded(marked)
    if level in [each.value for each in every.levels]:
        made = loaded(marked, level)
        assert steps(made) == steps(loaded(alone))
        assert made.steps is not None
        word_ms = EstimatedLengths(0.6)
        sound_ms = dict.fromkeys(made.steps.sound_names(), 2000)
        fitted = fit(made.steps, word_ms, sound_ms)
        assert breaches(fitted.steps, fitted.told(plan(fitted.steps, word_ms, sound_ms)), word_ms) == ()


@pytest.mark.parametrize("level", ["gentle", "middle", "strong"])
def test_every_level_of_the_shipped_class_that_has_them_fills_its_slot_and_keeps_every_promise(level: str) -> None:
    made = load(shipped_classes()["chair-by-the-window"], level)
    assert made.steps is not None and made.problems == ()
    word_ms = EstimatedLengths(0.6)
    sound_ms = dict.fromkeys(made.steps.sound_names(), 2000)
    fitted = fit(made.steps, word_ms, sound_ms)
    timeline = fitted.told(plan(fitted.steps, word_ms, sound_ms))
    assert breaches(fitted.steps, timeline, word_ms) == ()
    assert timeline.length_ms == 15 * 60_000
    stands = any(span.pose == "mountain" for span in timeline.spans)
    assert stands is (level != "gentle")
    assert any("without your hands" in cue.words for cue in timeline.cues) is (level == "strong")


CLASS = """title: T
class:
  - section: Warm
    level: gentle
  - pose: tree
  - section: Main
  - pose: mountain
    say:
      - how: Rise onto your toes.
        level: strong
  - rest: 1 min
"""


def told(level: str | None) -> tuple[str, list[str], list[str]]:
    opened = loaded(CLASS, level)
    assert opened.class_file is not None and opened.steps is not None
    titles = [step.title for step in opened.steps.steps if step.words or step.hold]
    return opened.class_file.title, [section.title for section in opened.steps.sections], titles


def test_the_class_without_a_level_is_the_middle_one() -> None:
    assert told(None) == told("middle") == ("T", ["Main"], ["mountain", "rest"])
    assert told("gentle") == ("T, gentle", ["Warm", "Main"], ["tree", "mountain", "rest"])
    assert told("strong") == ("T, strong", ["Main"], ["mountain", "rest"])


@pytest.mark.parametrize(
    ("text", "level", "sentence"),
    [
        (CLASS, "hard", "t.yaml: has no level `hard` (it has gentle, middle, strong)"),
        (
            CLASS.replace("strong", "gentle"),
            "strong",
            "t.yaml: has no level `strong` (it has gentle, middle)",
        ),
        (
            "title: T\nclass: [{pose: tree}]",
            "gentle",
            "t.yaml: has no levels (mark steps or cues with `level: gentle` or `level: strong`)",
        ),
    ],
)
def test_a_level_that_a_class_does_not_have_is_refused_with_those_it_has(text: str, level: str, sentence: str) -> None:
    with pytest.raises(UnusableChoice) as caught:
        loaded(text, level)
    assert str(caught.value) == sentence


def test_a_level_without_a_step_is_a_problem_whichever_is_asked_for() -> None:
    text = "title: T\nclass:\n  - pose: tree\n    level: strong\n  - rest: 1 min\n    level: [gentle, strong]\n"
    for level in ("gentle", "strong", None):
        (problem,) = loaded(text, level).problems
        assert str(problem) == (
            "t.yaml:3:5: every step of this class is marked for other levels, so the middle one has none (leave "
            "`level` out where a step is for all, or write `level: [middle, …]`)"
        )


def test_a_problem_of_one_level_is_told_at_every_other() -> None:
    text = CLASS.replace("Rise onto your toes.", "Lift your <side> foot.")
    for level in ("gentle", "strong", None):
        assert [problem.place.line for problem in loaded(text, level).problems] == [9]
