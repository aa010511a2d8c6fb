"""Files that cannot be read, and files that a class brings in: nothing outside the folders allowed is ever opened."""

from pathlib import Path

import pytest
from class_texts import problems, read

from guide.problem import UnusableChoice
from guide.sequence.allowed_paths import NotAllowed, below
from guide.sequence.reader import look
from guide.sequence.source import MOST_BYTES

CLASS = "title: T\nclass:\n  - pose: mountain\n"


def test_a_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice, match=r"none\.yaml: there is no such file"):
        read(tmp_path / "none.yaml")


def test_a_folder_is_no_class(tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice, match="this is a folder, not a file"):
        problems(tmp_path)


def test_permission_refused_by_the_system_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Path, mode: str) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(UnusableChoice, match=r"class\.yaml: this file may not be read"):
        read(tmp_path / "class.yaml")


def test_a_name_with_a_null_is_no_traceback(tmp_path: Path) -> None:
    with pytest.raises(UnusableChoice, match="cannot be read"):
        read(tmp_path / "a\0b")


def test_a_file_without_end_is_read_only_as_far_as_needed() -> None:
    found = problems(Path("/dev/zero"))
    assert [problem.what for problem in found] == [f"the file is longer than {MOST_BYTES // 1024} kB"]


@pytest.mark.parametrize(
    "written", ["../out.yaml", "a/../../out.yaml", "/etc/passwd", "~/x", "C:\\x.yaml", "link.yaml", "a\0b"]
)
def test_no_path_leaves_the_folder(tmp_path: Path, written: str) -> None:
    (tmp_path / "out.yaml").write_text("secret")
    home = tmp_path / "home"
    (home / "a").mkdir(parents=True)
    (home / "link.yaml").symlink_to(tmp_path / "out.yaml")
    with pytest.raises(NotAllowed):
        below(home, written)


def test_a_path_inside_the_folder_is_found_whole(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "waves.yaml").write_text("blocks:")
    assert below(tmp_path, "a/../a/waves.yaml") == (tmp_path / "a" / "waves.yaml").resolve()


def test_a_block_file_outside_is_not_read_even_in_part(tmp_path: Path) -> None:
    (tmp_path / "out.yaml").write_text("top: secret words\n")
    home = tmp_path / "home"
    home.mkdir()
    (home / "class.yaml").write_text(CLASS + "blocks from: ../out.yaml\n")
    told = "\n".join(problem.shown() for problem in problems(home / "class.yaml"))
    assert "leads out of the folder" in told
    assert "secret" not in told


def test_a_changed_block_file_is_read_again(tmp_path: Path) -> None:
    waves = tmp_path / "waves.yaml"
    (tmp_path / "class.yaml").write_text("title: T\nblocks from: waves.yaml\nclass:\n  - block: wave\n")
    waves.write_text("blocks:\n  wave:\n    - inhale: Up.\n")
    assert read(tmp_path / "class.yaml").blocks["wave"].place.line == 2
    waves.write_text("\nblocks:\n  wave:\n    - inhale: Up the wave.\n")
    assert read(tmp_path / "class.yaml").blocks["wave"].place.line == 3


def test_a_sound_file_beside_the_class_is_known_by_its_whole_path(tmp_path: Path) -> None:
    (tmp_path / "gong.wav").write_bytes(b"RIFF")
    (tmp_path / "class.yaml").write_text("title: T\nsounds: {class: gong.wav}\nclass:\n  - pose: mountain\n")
    assert read(tmp_path / "class.yaml").sounds == {"class": str((tmp_path / "gong.wav").resolve())}


def test_every_line_end_gives_the_same_class(tmp_path: Path) -> None:
    text = "title: T\nclass:\n  - pose: mountain\n    say:\n      - Stand tall.\n      - Breathe.\n"
    made = [look(text.replace("\n", end), "t", tmp_path) for end in ("\n", "\r\n", "\r")]
    assert made[0] == made[1] == made[2]
    assert made[0].problems == ()


def test_text_and_bytes_give_the_same_problems(tmp_path: Path) -> None:
    text = "title: Été # là\nclass:\n  - pose: x\n    hold: 5\n"
    assert look(text, "t", tmp_path) == look(text.encode(), "t", tmp_path)


def test_a_column_counts_characters_not_bytes(tmp_path: Path) -> None:
    (found,) = look("title: ṣṭ🙏 # là\nclass:\n  - pose: x\n", "t", tmp_path).problems
    assert (found.place.line, found.place.column) == (1, 12)
