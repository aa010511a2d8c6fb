"""What was done is offered to be written back: shown, asked, written whole, and the old file kept."""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from guide.cli import write_back
from guide.cli.write_back import agreed, asked, offer, saved
from guide.problem import GuideError, MachineTrouble, UnusableChoice
from guide.review.comparison import Comparison
from guide.review.write_back.taught_hold import SidesKept

sys.path.append(str(Path(__file__).parents[1] / "review"))

from write_back_made import Made

CLASS = """\
title: By the lake
pace: {inhale: 4 s, exhale: 4 s}
class:
  - both sides:
      - pose: old willow
        hold: 5 breaths  # each
  - pose: old oak
  - block: sun salutation A once slowly
  - rest: 30 s
"""

DIFF = """\
--- class.yaml
+++ class.yaml (new)
@@ -5,4 +5,5 @@
       - pose: old willow
-        hold: 5 breaths  # each
+        hold: 7 breaths  # each
   - pose: old oak
+    hold: 3 breaths
   - block: sun salutation A once slowly
"""


@pytest.fixture(autouse=True)
def _place_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")


def made(text: str = CLASS, name: str = "class.yaml") -> Made:
    Path(name).write_bytes(text.encode())
    return Made.of(text, name, Path(name).parent)


def taught(class_: Made) -> Comparison:
    """Both sides of the willow held longer, the oak shorter, the dog of the block longer, the rest nobody knows."""
    breaths = dict(zip(class_.held, (6.5, 8, 3, 12), strict=False))
    return class_.done(breaths.get, lambda number: 0.5 if number == class_.held[-1] else 1.0)


def run(
    class_: Made,
    comparison: Comparison | list[Comparison],
    typed: str | None = None,
    sides: SidesKept = SidesKept.EQUAL,
    answer: Callable[[str], bool] = asked,
) -> Result:
    """What a command prints that offers to keep what was done, with a person who types."""

    several = comparison if isinstance(comparison, list) else [comparison]

    @click.command()
    def command() -> None:
        offer(class_.name, class_.raw, class_.steps, class_.timeline, several, sides, answer)

    return CliRunner().invoke(command, input=typed)


def before(number: str = "") -> Path:
    return Path(f"class.yaml.before{number}")


def test_what_changes_and_what_stays_is_shown_with_the_reason_and_then_the_diff() -> None:
    class_ = made()
    shown = run(class_, taught(class_)).stdout
    head, _, rest = shown.partition("\n\n")
    assert head == (
        "What was done otherwise than class.yaml has it:\n"
        "  line 5    old willow  5 breaths → 7 breaths  (right 6.5 breaths, left 8 breaths)\n"
        "  line 7    old oak     not written → 3 breaths  (done 3 breaths)\n"
        "Left as they are:\n"
        "  not sure enough when they began or ended: rest (line 9)\n"
        "  written in another file: downward dog (blocks/salutations.yaml:86)"
    )
    assert rest.startswith(DIFF)


def test_of_several_performances_what_is_usual_is_shown_and_in_how_many_it_was_seen() -> None:
    """Right 6 breaths, of 5, 6 and 10; left 7.5, of 8 and 7, because what came after the third is unsure."""
    class_ = made()
    right, left, oak, _, rest = class_.held

    def done(*breaths: float, unsure: tuple[int, ...] = ()) -> Comparison:
        by_number = dict(zip((right, left, oak, rest), breaths, strict=True))
        return class_.done(by_number.get, lambda number: 0.1 if number in unsure else 1.0)

    several = [done(5, 8, 3, 4), done(6, 7, 5, 4, unsure=(oak + 1, rest)), done(10, 9, 9, 9, unsure=(oak, rest))]
    shown = run(class_, several, "y\n").stdout
    head, _, diff = shown.partition("\n\n")
    assert head == (
        "What was done otherwise than class.yaml has it:\n"
        "  line 5    old willow  5 breaths → 7 breaths  (usually right 6 breaths, left 7.5 breaths, in 2 to\n"
        "            3 performances)\n"
        "Left as they are:\n"
        "  surely known in one performance only: old oak (line 7), rest (line 9)"
    )
    assert diff.startswith("--- class.yaml\n")
    assert Path("class.yaml").read_text() == CLASS.replace("5 breaths", "7 breaths")


def test_on_a_narrow_terminal_no_word_is_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "72")
    class_ = made()
    head, _, _ = run(class_, taught(class_)).stdout.partition("\n\n")
    assert head.splitlines()[1:3] == [
        "  line 5    old willow  5 breaths → 7 breaths  (right 6.5 breaths, left",
        "            8 breaths)",
    ]
    assert max(map(len, head.splitlines())) <= 72


def test_nothing_is_written_unless_the_answer_is_yes() -> None:
    class_ = made()
    for typed in ("\n", "n\n", "no\n"):
        result = run(class_, taught(class_), typed)
        assert "Write this into class.yaml? [y/N]" in result.stdout
        assert result.stdout.endswith("Nothing was written.\n")
    assert Path("class.yaml").read_text() == CLASS
    assert list(Path().iterdir()) == [Path("class.yaml")]


def test_after_a_yes_it_is_written_and_the_old_file_kept() -> None:
    class_ = made()
    result = run(class_, taught(class_), "y\n")
    assert result.exit_code == 0
    assert result.stdout.endswith(f"Written into class.yaml. The old one is {before().absolute()}.\n")
    assert before().read_text() == CLASS
    assert Path("class.yaml").read_text() == CLASS.replace("5 breaths", "7 breaths").replace(
        "oak\n", "oak\n    hold: 3 breaths\n"
    )


def test_with_a_yes_given_before_nothing_is_asked() -> None:
    class_ = made()
    result = run(class_, taught(class_), answer=agreed)
    assert "Write this" not in result.stdout
    assert Path("class.yaml").read_text() != CLASS


def test_sides_left_as_taught_get_a_length_each() -> None:
    class_ = made()
    shown = run(class_, taught(class_), "y\n", SidesKept.AS_TAUGHT).stdout
    lengths = "{first side: 7 breaths, second side: 8 breaths}"
    told = f"line 5 old willow 5 breaths → {lengths} (right 6.5 breaths, left 8 breaths)"
    assert told in " ".join(shown.split())
    assert f"        hold: {lengths}  # each\n" in Path("class.yaml").read_text()


def test_times_by_the_clock_are_told_in_seconds() -> None:
    class_ = made("title: T\nclass:\n  - rest: 30 s\n  - pose: oak\n")
    shown = run(class_, class_.done({0: 7.6}.get)).stdout
    assert "  line 3    rest  30 s → 60 s  (done 1:00)\n" in shown


def test_where_nothing_changes_nothing_is_asked() -> None:
    class_ = made()
    result = run(class_, class_.done({}.get), "y\n")
    assert result.stdout == "There is nothing to change in class.yaml: all that is sure was done as it is written.\n"
    assert not before().exists()


def test_many_holds_that_stay_are_counted() -> None:
    class_ = made("title: T\nclass:\n" + "".join(f"  - pose: oak {chr(97 + n)}\n" for n in range(10)))
    shown = run(class_, class_.done({}.get, lambda number: 0.1)).stdout
    assert " ".join(shown.split()).endswith(
        "not sure enough when they began or ended: oak a (line 3), oak b (line 4), oak c (line 5), oak d (line 6), "
        "oak e (line 7), oak f (line 8) and 4 more"
    )


def test_a_class_from_standard_input_has_no_file() -> None:
    class_ = made()
    result = run(Made(class_.raw, "-", Path(), class_.steps, class_.timeline), taught(class_))
    assert isinstance(result.exception, UnusableChoice)
    assert str(result.exception) == "-: a class from standard input has no file to be written into (name its file)"


def test_a_file_that_was_changed_while_the_question_stood_is_left_alone() -> None:
    class_ = made()

    def slow(question: str) -> bool:
        Path("class.yaml").write_text(CLASS + "# new\n")
        return True

    result = run(class_, taught(class_), answer=slow)
    assert isinstance(result.exception, UnusableChoice)
    what = "somebody has changed it meanwhile, so nothing was written (begin again)"
    assert str(result.exception) == f"class.yaml: {what}"
    assert Path("class.yaml").read_text() == CLASS + "# new\n"
    assert list(Path().iterdir()) == [Path("class.yaml")]


def test_a_file_that_is_changed_at_the_last_moment_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    Path("class.yaml").write_bytes(b"one")

    def between(place: Path, before: bytes) -> Path:
        old = kept_beside(place, before)
        place.write_bytes(b"new")
        return old

    kept_beside = write_back._kept_beside
    monkeypatch.setattr(write_back, "_kept_beside", between)
    with pytest.raises(UnusableChoice):
        saved(Path("class.yaml"), b"one", b"two")
    assert Path("class.yaml").read_bytes() == b"new"
    assert list(Path().iterdir()) == [Path("class.yaml")]


def test_no_old_file_is_ever_written_over() -> None:
    Path("class.yaml").write_bytes(b"one")
    olds = [
        saved(Path("class.yaml"), old, new) for old, new in ((b"one", b"two"), (b"two", b"three"), (b"three", b"4"))
    ]
    assert [old.name for old in olds] == ["class.yaml.before", "class.yaml.before-2", "class.yaml.before-3"]
    assert [old.read_bytes() for old in olds] == [b"one", b"two", b"three"]
    assert Path("class.yaml").read_bytes() == b"4"


@pytest.mark.skipif(os.name != "posix", reason="permissions of another kind")
def test_permissions_stay_on_both_files() -> None:
    path = Path("class.yaml")
    path.write_bytes(b"one")
    path.chmod(0o640)
    old = saved(path, b"one", b"two")
    assert (path.stat().st_mode & 0o777, old.stat().st_mode & 0o777) == (0o640, 0o640)


@pytest.mark.skipif(os.name != "posix", reason="links of another kind")
def test_a_link_stays_a_link_and_the_old_file_lies_beside_the_one_it_leads_to() -> None:
    Path("classes").mkdir()
    Path("classes/real.yaml").write_bytes(b"one")
    Path("class.yaml").symlink_to("classes/real.yaml")
    old = saved(Path("class.yaml"), b"one", b"two")
    assert Path("class.yaml").is_symlink()
    assert Path("classes/real.yaml").read_bytes() == b"two"
    assert old == Path("classes/real.yaml.before").absolute()


@pytest.fixture
def readable() -> Iterator[Path]:
    """A folder that everybody may read and nobody write into; the superuser steps down to one who owns nothing."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "class.yaml").write_bytes(b"one")
        folder.chmod(0o555)
        user = os.geteuid()
        if user == 0:
            os.seteuid(65534)
        try:
            yield folder
        finally:
            os.seteuid(user)
            folder.chmod(0o700)


@pytest.mark.skipif(os.name != "posix", reason="permissions of another kind")
def test_a_folder_that_may_not_be_written_to_is_told_of(readable: Path) -> None:
    path = readable / "class.yaml"
    with pytest.raises(MachineTrouble) as refused:
        saved(path, b"one", b"two")
    assert str(refused.value) == f"{path}: no permission to write there (write to a folder of your own)"
    assert [one.name for one in readable.iterdir()] == ["class.yaml"]


def test_a_file_that_is_gone_is_told_of() -> None:
    with pytest.raises(UnusableChoice) as refused:
        saved(Path("class.yaml"), b"one", b"two")
    assert str(refused.value) == "class.yaml: there is no such file"


def test_where_the_new_file_cannot_be_written_the_old_one_is_not_left_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    Path("class.yaml").write_bytes(b"one")

    def full(self: Path, raw: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(GuideError) as refused:
        saved(Path("class.yaml"), b"one", b"two")
    assert str(refused.value) == "class.yaml: the disk is full (make room, or write to another disk)"
    assert list(Path().iterdir()) == [Path("class.yaml")]
    assert Path("class.yaml").read_bytes() == b"one"
