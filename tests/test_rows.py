"""A folded table hides nothing: each row is tried, and each that fails is shown."""

import pytest
from rows import each_row


def test_every_row_that_fails_is_shown_with_what_was_expected_and_what_was_there() -> None:
    @each_row("given, wanted", [(1, 2), (2, 2), (3, "three")])
    def same(given: object, wanted: object) -> None:
        assert given == wanted

    with pytest.raises(pytest.fail.Exception) as told:
        same()
    first, *lines = str(told.value).splitlines()
    assert first == "2 of 3 rows fail"
    assert [line for line in lines if line.startswith(("---", "AssertionError"))] == [
        "--- given=1, wanted=2",
        "AssertionError: assert 1 == 2",
        "--- given=3, wanted='three'",
        "AssertionError: assert 3 == 'three'",
    ]


def test_a_row_that_breaks_does_not_end_the_table() -> None:
    @each_row("number", [0, 1, 2])
    def nothing_left(number: int) -> None:
        assert 1 % number == 0

    with pytest.raises(pytest.fail.Exception, match=r"2 of 3 rows fail(?s:.*)ZeroDivisionError(?s:.*)assert"):
        nothing_left()


@pytest.mark.parametrize("table", [[], list], ids=["given", "read"])
def test_a_table_without_rows_fails(table) -> None:
    @each_row("letter", table)
    def good(letter: str) -> None:
        pass

    with pytest.raises(AssertionError, match="the table of letter has no rows"):
        good()


def test_a_table_is_read_when_the_test_is_run() -> None:
    read, tried = [], []

    def letters() -> str:
        read.append("letters")
        return "ab"

    @each_row("letter", letters)
    def good(letter: str) -> None:
        tried.append(letter)

    assert read == []
    good()
    assert (read, tried) == (["letters"], ["a", "b"])


@each_row("number", [1, 2])
@each_row("letter", "ab")
def test_fixtures_and_a_second_table_are_given_to_each_row(tmp_path_factory, number: int, letter: str) -> None:
    assert (number in (1, 2), letter in ("a", "b"), tmp_path_factory.getbasetemp().is_dir()) == (True, True, True)
