"""Files are whole or not there, whatever goes wrong, and every error names the path and what to do."""

import errno
import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from export_samples import names

from guide.export import atomic_write
from guide.export.atomic_write import atomic_file, trouble_writing, write_atomically, written_together
from guide.export.hidden_part import MARK, HiddenPart, open_part
from guide.problem import GuideError, MachineTrouble, UnusableChoice


def hidden(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir() if path.name.startswith(".")]


def test_the_file_is_made_beside_the_target_and_moved_into_place(tmp_path: Path) -> None:
    target = tmp_path / "class.mp3"
    target.write_text("old")
    with atomic_file(target) as part:
        assert part.parent == tmp_path
        assert part.name.startswith(".class") and part.suffix == ".mp3" and str(os.getpid()) in part.name
        part.write_text("new")
        assert target.read_text() == "old"
    assert target.read_text() == "new"
    assert names(tmp_path) == ["class.mp3"]


@pytest.mark.parametrize("error", [ValueError("slip"), KeyboardInterrupt(), OSError(errno.ENOSPC, "full")])
def test_a_failure_leaves_the_old_file_and_nothing_else(tmp_path: Path, error: BaseException) -> None:
    target = tmp_path / "class.mp3"
    target.write_text("old")
    with pytest.raises((type(error), GuideError)), atomic_file(target) as part:
        part.write_text("half")
        raise error
    assert target.read_text() == "old"
    assert names(tmp_path) == ["class.mp3"]


def test_a_signal_in_the_moment_in_which_a_file_is_made_leaves_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def made_and_asked(place: Path) -> HiddenPart:
        part = open_part(place)
        signal.raise_signal(signal.SIGINT)
        return part

    monkeypatch.setattr(atomic_write, "open_part", made_and_asked)
    with pytest.raises(KeyboardInterrupt), atomic_file(tmp_path / "class.mp3"):
        pass
    assert names(tmp_path) == []


def test_an_error_about_another_file_is_not_blamed_on_the_target(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match="bowl"), atomic_file(tmp_path / "class.mp3"):
        (tmp_path / "bowl.wav").read_bytes()


def test_the_permissions_of_an_old_file_are_kept(tmp_path: Path) -> None:
    target = tmp_path / "class.srt"
    target.write_text("old")
    target.chmod(0o640)
    write_atomically(target, "new")
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


def test_a_new_file_gets_the_permissions_that_any_new_file_gets(tmp_path: Path) -> None:
    (tmp_path / "any").touch()
    write_atomically(tmp_path / "class.srt", "new")
    assert (tmp_path / "class.srt").stat().st_mode == (tmp_path / "any").stat().st_mode


def test_a_link_stays_and_the_file_behind_it_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    real, link = tmp_path / "real" / "class.srt", tmp_path / "link.srt"
    real.write_text("old")
    link.symlink_to(real)
    write_atomically(link, "new")
    assert link.is_symlink() and real.read_text() == "new"


def test_what_a_killed_run_left_is_removed_by_the_next(tmp_path: Path) -> None:
    script = (
        "import os, signal, sys; from pathlib import Path; from guide.export.atomic_write import atomic_file\n"
        "with atomic_file(Path(sys.argv[1])) as part:\n"
        "    part.write_text('half'); os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    target = tmp_path / "class.mp3"
    assert subprocess.run([sys.executable, "-c", script, str(target)], check=False).returncode == -9
    assert len(hidden(tmp_path)) == 1 and not target.exists()
    write_atomically(tmp_path / "other.srt", "new")
    assert names(tmp_path) == ["other.srt"]


def test_the_file_of_a_run_under_way_is_left_alone(tmp_path: Path) -> None:
    with atomic_file(tmp_path / "class.mp3") as part:
        part.write_text("under way")
        write_atomically(tmp_path / "class.srt", "beside it")
        assert part.read_text() == "under way"
    assert (tmp_path / "class.mp3").read_text() == "under way"


def test_hidden_files_of_others_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / ".class.mp3").write_text("mine")
    (tmp_path / f"class{MARK}-1.mp3").write_text("mine too")
    write_atomically(tmp_path / "class.mp3", "new")
    assert names(tmp_path) == [".class.mp3", f"class{MARK}-1.mp3", "class.mp3"]


def refusal(target: Path) -> GuideError:
    with pytest.raises(GuideError) as caught:
        write_atomically(target, "words")
    assert str(caught.value).startswith(f"{target}: ")
    return caught.value


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    error = refusal(tmp_path / "none" / "class.mp3")
    assert isinstance(error, UnusableChoice)
    assert str(error).endswith(f"there is no folder {tmp_path / 'none'} (make it first, or name another)")


def test_a_target_that_is_a_folder(tmp_path: Path) -> None:
    (tmp_path / "class.mp3").mkdir()
    error = refusal(tmp_path / "class.mp3")
    assert isinstance(error, UnusableChoice)
    assert str(error).endswith("this is a folder (add the name of a file)")


def test_a_folder_that_is_really_a_file(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("words")
    error = refusal(tmp_path / "notes.txt" / "class.mp3")
    assert isinstance(error, UnusableChoice)
    assert "is a file, not a folder" in str(error)


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="only where /proc is")
def test_a_folder_that_takes_no_files() -> None:
    assert isinstance(refusal(Path("/proc/class.mp3")), MachineTrouble)


def test_a_device_is_never_replaced() -> None:
    error = refusal(Path("/dev/null"))
    assert isinstance(error, UnusableChoice)
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)


def test_a_name_that_is_too_long(tmp_path: Path) -> None:
    assert "too long" in str(refusal(tmp_path / ("a" * 300 + ".srt")))


def test_a_name_as_long_as_the_disk_allows(tmp_path: Path) -> None:
    target = tmp_path / ("a" * 251 + ".srt")
    write_atomically(target, "new")
    assert target.read_text() == "new"


@pytest.mark.parametrize(
    ("number", "kind", "says"),
    [
        (errno.ENOSPC, MachineTrouble, "the disk is full (make room, or write to another disk)"),
        (errno.EDQUOT, MachineTrouble, "the disk is full (make room, or write to another disk)"),
        (errno.EACCES, MachineTrouble, "no permission to write there (write to a folder of your own)"),
        (errno.EROFS, MachineTrouble, "no permission to write there (write to a folder of your own)"),
        (errno.EFBIG, MachineTrouble, "the file grows too large for this disk (write to another disk)"),
        (errno.EIO, MachineTrouble, "cannot be written: Input/output error (try another folder or disk)"),
    ],
)
def test_what_the_system_says_becomes_a_sentence(number: int, kind: type[GuideError], says: str) -> None:
    error = trouble_writing(Path("class.mp3"), OSError(number, os.strerror(number)))
    assert type(error) is kind
    assert str(error) == f"class.mp3: {says}"


@pytest.mark.skipif(os.name != "posix", reason="permissions of another kind")
def test_a_folder_without_permission(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    user = os.geteuid()
    if user == 0:
        # The superuser may write anywhere, so the test steps down to a user who owns nothing.
        os.seteuid(65534)
    try:
        error = refusal(tmp_path / "class.mp3")
    finally:
        os.seteuid(user)
        tmp_path.chmod(0o700)
    assert isinstance(error, MachineTrouble)
    assert str(error).endswith("no permission to write there (write to a folder of your own)")


#: Three files of a render, put in place together by a program that kills itself before one of the moves.
KILLED_IN_A_SWAP = """
import os, signal, sys
from pathlib import Path
from guide.export.atomic_write import written_together
folder, before, moved = Path(sys.argv[1]), int(sys.argv[2]), []
really = Path.replace
def replace(part, place):
    if len(moved) == before:
        os.kill(os.getpid(), signal.SIGKILL)
    moved.append(really(part, place))
Path.replace = replace
with written_together() as beside:
    for name in ("class.mp3", "class.vtt", "class.chapters.vtt"):
        with beside(folder / name) as part:
            part.write_text("new")
    if before < 0:
        os.kill(os.getpid(), signal.SIGKILL)
"""

TOGETHER = ("class.mp3", "class.vtt", "class.chapters.vtt")


@pytest.mark.parametrize("moves", [-1, 0, 1, 2])
def test_a_kill_in_a_swap_leaves_old_ones_that_the_next_run_makes_new(tmp_path: Path, moves: int) -> None:
    for name in TOGETHER:
        (tmp_path / name).write_text("old")
    done = subprocess.run([sys.executable, "-c", KILLED_IN_A_SWAP, str(tmp_path), str(moves)], check=False)
    assert done.returncode == -signal.SIGKILL
    assert [(tmp_path / name).read_text() for name in TOGETHER] == ["new"] * moves + ["old"] * (3 - max(moves, 0))
    write_atomically(tmp_path / "another.srt", "new")
    assert {(tmp_path / name).read_text() for name in TOGETHER} == {"old" if moves < 0 else "new"}
    assert names(tmp_path) == sorted((*TOGETHER, "another.srt"))


def test_an_error_in_one_of_several_leaves_all_the_old_ones(tmp_path: Path) -> None:
    (tmp_path / "class.mp3").write_text("old")
    (tmp_path / "class.vtt").mkdir()
    with pytest.raises(UnusableChoice, match=r"class\.vtt: this is a folder"), written_together() as beside:
        for name in TOGETHER:
            with beside(tmp_path / name) as part:
                part.write_text("new")
    assert (tmp_path / "class.mp3").read_text() == "old"
    assert names(tmp_path) == ["class.mp3", "class.vtt"]


def test_a_signal_in_a_swap_waits_until_all_are_in_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    really = Path.replace

    def disturbed(part: Path, place: Path) -> Path:
        signal.raise_signal(signal.SIGINT)
        return really(part, place)

    monkeypatch.setattr(Path, "replace", disturbed)
    # Whoever starts these tests behind a shell may have had the signal ignored.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        with pytest.raises(KeyboardInterrupt), written_together() as beside:
            for name in TOGETHER:
                with beside(tmp_path / name) as part:
                    part.write_text("new")
    finally:
        signal.signal(signal.SIGINT, before)
    assert names(tmp_path) == sorted(TOGETHER)


def test_a_journal_that_is_not_whole_moves_nothing(tmp_path: Path) -> None:
    (tmp_path / ".class.guide-part-1-ab.vtt").write_text("new")
    (tmp_path / ".class.guide-swap-1-ab.mp3").write_text('[[".class.guide-part-1-ab.vtt", "class.v')
    write_atomically(tmp_path / "class.mp3", "new")
    assert names(tmp_path) == ["class.mp3"]
