"""What the network tells of phrases: words in pieces, classes read in parts, and poses told by what to do."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from talked import PUT_AWAY, captions, names, talked
from test_draft_reading import TOLD

from guide.draft.phrases import Phrase, phrases
from guide.draft.reading import encoder
from guide.draft.reading.all_poses import all_poses, number_of
from guide.draft.reading.encoder import AT_ONCE, as_read, firsts_of, pieces_of, told_of, windows
from guide.review.captions.transcript import read_raw


def a_class() -> tuple[Phrase, ...]:
    return phrases(captions(talked(PUT_AWAY, names(PUT_AWAY)[0]), "eight words"))


def test_a_word_is_read_in_the_longest_pieces() -> None:
    """The example with which the authors of BERT explain word pieces (J. Devlin and others, 2018), from memory."""
    known = {piece: number for number, piece in enumerate(("un", "##aff", "##able", "##a", "##f", "u", "##n"))}
    assert pieces_of("unaffable", known) == [0, 1, 2]
    assert pieces_of("unaffables", known) == []
    assert pieces_of("un-un", known | {"-": 9}) == [0, 9, 0]


def test_all_is_read_and_each_phrase_with_what_is_around() -> None:
    read = [*as_read(a_class())]
    parts = [*windows(read)]
    assert parts[0][0] == 0
    assert parts[-1][1] == len(read)
    assert all(begun < over for (_, over), (begun, _) in pairwise(parts))
    assert all(sum(map(len, read[first:end])) <= AT_ONCE for first, end in parts)


def test_what_is_told_does_not_hang_on_what_is_read_beside_it(monkeypatch: pytest.MonkeyPatch) -> None:
    said = a_class()
    together = told_of(said)
    monkeypatch.setattr(encoder, "BATCH", 1)
    alone = told_of(said)
    assert together.likely == pytest.approx(alone.likely, abs=0.02)
    assert together.begins == pytest.approx(alone.begins, abs=0.02)
    assert np.exp(together.likely).sum(axis=1) == pytest.approx(1, abs=1e-4)


def test_phrases_that_are_cut_otherwise_are_told_the_same() -> None:
    said = a_class()
    told, longest = told_of(said), max(range(len(said)), key=lambda number: len(said[number].tokens))
    one = said[longest]
    cut = [*said[:longest], Phrase(one.tokens[:3]), Phrase(one.tokens[3:]), *said[longest + 1 :]]
    again = told.cut_as(cut)
    assert (again.firsts == firsts_of(cut)).all()
    assert (again.likely[longest + 1] == told.likely[longest]).all()
    assert again.begins[longest + 1] == 0
    assert (again.begins[longest + 2 :] == told.begins[longest + 1 :]).all()


@pytest.mark.parametrize("pose", TOLD)
def test_a_pose_is_among_the_likeliest_where_people_are_told_to_do_it(pose: str) -> None:
    told = told_of(phrases(read_raw(f"0:01 {TOLD[pose]}.\n0:20 Stay.\n".encode(), "a pose.txt")))
    first = np.argsort(-told.likely[0, : len(all_poses())])[:3]
    assert number_of()[pose] in first


def test_words_that_are_not_known_are_read_as_nothing() -> None:
    said = phrases(read_raw("0:01 Ωμέγα 山 stay.\n".encode(), "a word.txt"))
    assert np.isfinite(told_of(said).likely).all()


def test_a_pose_that_was_never_learned_is_as_little_likely_as_the_least(monkeypatch: pytest.MonkeyPatch) -> None:
    first, *others = all_poses()
    known = encoder.heads()
    monkeypatch.setattr(encoder, "all_poses", lambda: (replace(first, name="a new pose"), *others))
    found = encoder.heads.__wrapped__()
    assert known.biases[found.columns[0]] == known.biases[: known.likely - 3].min()
    assert (found.columns[1:] == known.columns[1:]).all()
