"""Recording line by line, as a pure state machine: what each key, the clock and what was heard make of it."""

import random

import pytest

from guide.problem import Place
from guide.record.lines import ReadingLine
from guide.record.session import (
    COUNT_MS,
    COUNTED_FROM,
    LONGEST_MS,
    SILENCE_MS,
    UNKEPT,
    Ask,
    Deed,
    Session,
    TakePhase,
    asked,
    begun,
    is_usable,
    played,
    stopped,
    ticked,
)
from guide.voice.takes.measuring import TakeMeasures

GOOD = TakeMeasures(3000, (500, 2500), -6.0, 0, -24.0, -60.0, 0.4)
SILENT = TakeMeasures(3000, None, -70.0, 0, -120.0, -75.0, None)
LONG = TakeMeasures(9000, (500, 8500), -6.0, 0, -24.0, -60.0, 0.4)
CLIPPED = TakeMeasures(3000, (500, 2500), 0.0, 40, -12.0, -60.0, 0.4)
NOISY = TakeMeasures(3000, (500, 2500), -6.0, 0, -24.0, -40.0, 0.4)


def line(words: str, room_ms: int | None = 4000) -> ReadingLine:
    return ReadingLine(words, "Standing", Place("a.yaml", 1, 1), 1, room_ms, (words,))


LINES = (line("Rise."), line("Fold."), line("Rest.", None))


def taken(session: Session, measures: TakeMeasures, at_ms: int = 10_000) -> tuple[Session, tuple[Deed, ...]]:
    """The session with its line recorded."""
    session, _ = asked(session, Ask.GO, at_ms)
    session, deeds = ticked(session, at_ms + COUNTED_FROM * COUNT_MS, None)
    assert (session.phase, deeds) == (TakePhase.RECORDING, (Deed.BEGIN,))
    session, deeds = asked(session, Ask.GO, at_ms + 5000)
    assert deeds == (Deed.STOP,)
    return stopped(session, measures, at_ms + 5000)


def test_one_key_counts_in_stops_keeps_and_goes_on() -> None:
    session, deeds = taken(begun(LINES, frozenset()), GOOD)
    assert (session.phase, session.told, deeds) == (TakePhase.TAKEN, (), ())
    session, deeds = asked(session, Ask.GO, 20_000)
    assert (session.phase, session.line.words, deeds) == (TakePhase.READY, "Fold.", (Deed.HUSH, Deed.KEEP))
    assert session.missing == 2


def test_she_is_counted_in_from_three() -> None:
    session, _ = asked(begun(LINES, frozenset()), Ask.GO, 1000)
    assert [session.counts(1000 + ms) for ms in (0, COUNT_MS, 2 * COUNT_MS, 3 * COUNT_MS - 1)] == [3, 2, 1, 1]
    assert ticked(session, 1000 + COUNTED_FROM * COUNT_MS - 1, None) == (session, ())
    assert asked(session, Ask.GO, 1500)[0].phase is TakePhase.READY


def test_it_goes_on_at_the_first_line_without_a_take() -> None:
    assert begun(LINES, frozenset({"rise"})).line.words == "Fold."
    assert begun(LINES, frozenset({"rise", "fold", "rest"})).line.words == "Rise."
    with pytest.raises(ValueError, match="says nothing"):
        begun((), frozenset())


def test_a_take_is_heard_and_recorded_again_without_being_kept() -> None:
    session, _ = taken(begun(LINES, frozenset()), GOOD)
    session, deeds = asked(session, Ask.HEAR, 20_000)
    assert (session.phase, deeds) == (TakePhase.PLAYING, (Deed.PLAY,))
    assert asked(session, Ask.HEAR, 20_500)[1] == (Deed.HUSH,)
    session = played(session, 22_000)
    assert session.phase is TakePhase.TAKEN
    session, deeds = asked(session, Ask.AGAIN, 23_000)
    assert (session.phase, deeds, session.kept) == (TakePhase.COUNTING, (Deed.HUSH,), frozenset())


def test_other_lines_are_gone_to_and_nothing_is_kept_of_that() -> None:
    session, _ = asked(begun(LINES, frozenset()), Ask.BACK, 0)
    assert session.line.words == "Rest."
    session, _ = asked(session, Ask.NEXT, 0)
    assert (session.line.words, session.kept) == ("Rise.", frozenset())


@pytest.mark.parametrize("ask", [Ask.NEXT, Ask.BACK, Ask.END])
def test_a_take_that_is_not_kept_is_left_only_when_that_is_asked_for_twice(ask: Ask) -> None:
    session, _ = taken(begun(LINES, frozenset()), NOISY)
    session, _ = asked(session, Ask.HEAR, 20_000)
    session, deeds = asked(session, ask, 20_500)
    assert (session.phase, session.line.words, deeds) == (TakePhase.TAKEN, "Rise.", (Deed.HUSH,))
    assert session.told[0] == UNKEPT and session.told[1].startswith("too noisy")
    assert asked(session, Ask.GO, 21_000)[1] == (Deed.HUSH, Deed.KEEP)
    session, _ = asked(session, ask, 21_000)
    assert (session.line.words != "Rise.") or session.phase is TakePhase.DONE


def test_after_the_last_missing_line_it_is_over() -> None:
    session, _ = taken(begun(LINES, frozenset({"rise", "rest"})), GOOD)
    session, deeds = asked(session, Ask.GO, 20_000)
    assert (session.phase, session.told, session.missing) == (TakePhase.DONE, ("all lines are recorded",), 0)
    assert Deed.KEEP in deeds


def test_in_a_flow_a_line_ends_by_its_silence_and_the_next_begins() -> None:
    session, _ = asked(begun(LINES, frozenset(), flows=True), Ask.GO, 0)
    session, _ = ticked(session, COUNTED_FROM * COUNT_MS, None)
    assert ticked(session, 5000, None)[1] == ()
    assert ticked(session, 5000, SILENCE_MS - 1)[1] == ()
    assert ticked(session, 6000, SILENCE_MS)[1] == (Deed.STOP,)
    session, deeds = stopped(session, GOOD, 6000)
    assert (session.line.words, session.phase, deeds) == ("Fold.", TakePhase.COUNTING, (Deed.HUSH, Deed.KEEP))
    session, deeds = ticked(session, 7000, None)
    assert (session.phase, deeds) == (TakePhase.RECORDING, (Deed.BEGIN,))


def test_a_flow_waits_where_a_take_cannot_be_used_and_tells_why() -> None:
    for measures in (SILENT, CLIPPED, LONG):
        session, deeds = taken(begun(LINES, frozenset(), flows=True), measures)
        assert (session.phase, session.line.words, deeds) == (TakePhase.TAKEN, "Rise.", ())
        assert session.told
    session, deeds = taken(begun(LINES, frozenset(), flows=True), NOISY)
    assert (session.line.words, deeds) == ("Fold.", (Deed.HUSH, Deed.KEEP))
    assert session.told[0].startswith("too noisy: your voice is 16 dB above the noise")


def test_what_is_too_long_is_said_with_both_lengths() -> None:
    session, _ = taken(begun(LINES, frozenset()), LONG)
    assert session.told == ("too long: 8 s, and its place has 4 s (say it quicker)",)
    assert is_usable(LINES[2], LONG)


def test_a_forgotten_line_ends_by_itself() -> None:
    session, _ = asked(begun(LINES, frozenset()), Ask.GO, 0)
    session, _ = ticked(session, COUNTED_FROM * COUNT_MS, None)
    assert ticked(session, COUNTED_FROM * COUNT_MS + LONGEST_MS, None)[1] == (Deed.STOP,)


def test_whatever_is_pressed_and_heard_nothing_is_kept_but_what_was_recorded() -> None:
    """Random keys and moments: a line is kept only after it was begun, stopped and kept, and none is lost."""
    chance = random.Random(0)
    for _ in range(300):
        session, now_ms, has_sound, kept = begun(LINES, frozenset(), chance.random() < 0.5), 0, False, 0
        for _ in range(40):
            now_ms += chance.randrange(3000)
            before = session
            if chance.random() < 0.5:
                session, deeds = asked(session, chance.choice(list(Ask)), now_ms)
            else:
                session, deeds = ticked(session, now_ms, chance.choice([None, 0, 5000]))
            if Deed.STOP in deeds:
                session, more = stopped(session, chance.choice([GOOD, SILENT, LONG]), now_ms)
                deeds = (*deeds, *more)
            assert before.kept <= session.kept
            has_sound = has_sound or Deed.BEGIN in deeds
            if Deed.KEEP in deeds:
                assert has_sound
                assert before.line.key in session.kept
                kept += 1
            if session.phase is TakePhase.DONE:
                break
        assert kept >= len(session.kept)
