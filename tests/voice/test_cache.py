"""Spoken words are kept whole or not at all, whatever else happens on the machine."""

import multiprocessing
import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Callable
from contextlib import chdir
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from voice_fakes import FullDisk

from guide.voice.cache import Cache, CachedClip, Freed, cache_folder, cache_key, packed, unpacked

KEY = cache_key("natural", "1", 1.0, "Inhale.", "1")


def clip(frames: int, seed: int = 0) -> CachedClip:
    random = np.random.default_rng(seed)
    return CachedClip(random.integers(-32768, 32767, frames).astype(np.int16), random.random(5).astype(np.float32))


def same(one: CachedClip | None, other: CachedClip) -> bool:
    return one is not None and np.array_equal(one.pcm, other.pcm) and np.array_equal(one.measures, other.measures)


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


@given(st.integers(0, 2000), st.integers(0, 9))
@settings(deadline=None, max_examples=30)
def test_what_is_kept_comes_back(frames: int, seed: int) -> None:
    assert same(unpacked(KEY, packed(KEY, clip(frames, seed))), clip(frames, seed))


@given(st.data())
@settings(deadline=None, max_examples=200)
def test_an_entry_with_any_byte_changed_or_missing_counts_as_absent(data: st.DataObject) -> None:
    whole = packed(KEY, clip(50))
    place = data.draw(st.integers(0, len(whole) - 1))
    changed = bytearray(whole)
    changed[place] ^= data.draw(st.integers(1, 255))
    assert unpacked(KEY, bytes(changed)) is None
    assert unpacked(KEY, whole[:place]) is None
    assert unpacked(KEY, whole + b"x") is None


def test_an_entry_copied_over_another_counts_as_absent(tmp_path: Path) -> None:
    """A valid clip under another name would say the wrong words."""
    cache, other = Cache(tmp_path), cache_key("natural", "1", 1.0, "Exhale.", "1")
    assert cache.store(KEY, clip(100)) and cache.store(other, clip(100, seed=1))
    shutil.copyfile(*(tmp_path / key[:2] / f"{key}.clip" for key in (KEY, other)))
    assert same(cache.load(KEY), clip(100)) and cache.load(other) is None
    assert cache.store(other, clip(100, seed=1))
    assert same(cache.load(other), clip(100, seed=1))


def made_pipe(path: Path) -> None:
    os.mkfifo(path)


def made_socket(path: Path) -> None:
    # The path of a socket is short.
    with chdir(path.parent), socket.socket(socket.AF_UNIX) as one:
        one.bind(path.name)


def made_link(path: Path) -> None:
    away = path.with_name("elsewhere")
    away.write_bytes(packed(KEY, clip(100)))
    path.symlink_to(away)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="only where there are pipes with a name")
@pytest.mark.parametrize("made", [made_pipe, made_socket, made_link, Path.mkdir])
def test_what_is_no_file_counts_as_absent_and_is_not_waited_for(tmp_path: Path, made: Callable[[Path], object]) -> None:
    cache, path = Cache(tmp_path), tmp_path / KEY[:2] / f"{KEY}.clip"
    path.parent.mkdir()
    made(path)
    assert cache.load(KEY) is None and not cache.has(KEY)
    # A folder stays in the way, and costs time.
    is_kept = cache.store(KEY, clip(100))
    assert is_kept is not path.is_dir()
    assert same(cache.load(KEY), clip(100)) is is_kept


def test_a_damaged_entry_is_replaced_by_the_next_one(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    assert cache.store(KEY, clip(100))
    (path,) = files(tmp_path)
    path.write_bytes(path.read_bytes()[:-7])
    assert cache.load(KEY) is None
    assert cache.store(KEY, clip(100))
    assert same(cache.load(KEY), clip(100))


def test_a_key_changes_with_everything_that_the_sound_depends_on() -> None:
    facts = ("natural", "1", 1.0, "Inhale.", "1")
    others = [("system", *facts[1:]), ("natural", "2", *facts[2:]), (*facts[:2], 1.1, *facts[3:])]
    others += [(*facts[:3], "Exhale.", "1"), (*facts[:4], "2")]
    assert len({cache_key(*one) for one in (facts, *others)}) == 6
    assert cache_key("natural", "1", 1, "Inhale.", "1") == KEY


def test_a_full_disk_is_told_and_leaves_nothing_behind(tmp_path: Path) -> None:
    disk = FullDisk(room=len(packed(KEY, clip(100))) + 10)
    cache = Cache(tmp_path, disk)
    other = cache_key("natural", "1", 1.0, "Exhale.", "1")
    assert cache.store(KEY, clip(100))
    assert not cache.store(other, clip(100, seed=1))
    assert cache.load(other) is None
    assert [path.name for path in files(tmp_path)] == [f"{KEY}.clip"]


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    cache = Cache(tmp_path / "file")
    assert not cache.store(KEY, clip(10))
    assert cache.load(KEY) is None
    assert cache.clear() == Freed(0, 0)


def test_clearing_takes_what_is_ours_and_says_how_much_it_freed(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    for number in range(3):
        assert cache.store(cache_key("natural", "1", 1.0, str(number), "1"), clip(100))
    left = tmp_path / KEY[:2] / f".{KEY}.1.ab.part"
    left.parent.mkdir(exist_ok=True)
    left.write_bytes(b"half")
    mine = tmp_path / "mine.txt"
    mine.write_text("not ours")
    assert cache.clear() == Freed(3 * len(packed(KEY, clip(100))) + 4, 3)
    assert list(tmp_path.iterdir()) == [mine]
    assert cache.clear() == Freed(0, 0)


def test_the_cache_is_where_the_environment_says(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("GUIDE_CACHE", str(tmp_path / "here"))
    assert cache_folder() == tmp_path / "here"
    monkeypatch.delenv("GUIDE_CACHE")
    assert cache_folder().parts[-2:] == ("practice-guide", "speech")


def store_often(folder: Path, seed: int) -> bool:
    """Write one of two clips over and over, reading what is there in between; True when it was always whole."""
    cache = Cache(folder)
    good = [clip(40_000, 0), clip(40_000, 1)]
    for _ in range(60):
        stored = cache.store(KEY, good[seed])
        found = cache.load(KEY)
        if not stored or not any(same(found, one) for one in good):
            return False
    return True


def test_two_programs_that_keep_the_same_words_never_read_half_of_them(tmp_path: Path) -> None:
    with multiprocessing.get_context("spawn").Pool(2) as pool:
        assert pool.starmap(store_often, [(tmp_path, 0), (tmp_path, 1)]) == [True, True]
    assert len(files(tmp_path)) == 1


KILLED = """
import os, signal, sys
from pathlib import Path
import numpy as np
from guide.voice.cache import Cache, CachedClip
def half(path, content):
    path.write_bytes(content[: len(content) // 2])
    os.kill(os.getpid(), signal.SIGKILL)
Cache(Path(sys.argv[1]), half).store(sys.argv[2], CachedClip(np.ones(1000, np.int16), np.ones(1, np.float32)))
"""


def test_a_program_killed_while_it_writes_leaves_the_old_entry_whole(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    assert cache.store(KEY, clip(100))
    done = subprocess.run([sys.executable, "-c", KILLED, str(tmp_path), KEY], check=False)
    assert done.returncode == -signal.SIGKILL
    assert same(cache.load(KEY), clip(100))
    assert len(files(tmp_path)) == 2
    assert cache.clear().count == 1
    assert files(tmp_path) == []


@pytest.mark.real
def test_a_disk_that_really_is_full_is_survived(tmp_path: Path, needs: Callable[[bool, str], None]) -> None:
    disk = tmp_path / "small"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=200k", "tmpfs", str(disk)]
    mounted = os.name == "posix" and subprocess.run(mount, check=False, capture_output=True).returncode == 0
    needs(mounted, "a small disk can be made only by the administrator of the machine")
    try:
        cache = Cache(disk)
        keys = [cache_key("natural", "1", 1.0, str(number), "1") for number in range(4)]
        stored = [cache.store(key, clip(40_000, seed)) for seed, key in enumerate(keys)]
        assert stored == [True, True, False, False]
        assert [same(cache.load(key), clip(40_000, seed)) for seed, key in enumerate(keys)] == stored
        assert len(files(disk)) == 2
        assert cache.clear().count == 2
        assert cache.store(keys[3], clip(40_000, 3))
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_part_of_a_voice_comes_back_whole_or_not_at_all(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    other = cache_key("natural", "1", 1.0, "Exhale.", "1")
    assert cache.store_part(KEY, b"model") and cache.store_part(other, b"words")
    assert cache.load_part(KEY) == b"model"
    path = tmp_path / KEY[:2] / f"{KEY}.voice"
    whole = path.read_bytes()
    for place in range(len(whole)):
        path.write_bytes(whole[:place] + bytes([whole[place] ^ 1]) + whole[place + 1 :])
        assert cache.load_part(KEY) is None
    path.write_bytes(whole[:-1])
    assert cache.load_part(KEY) is None
    path.write_bytes((tmp_path / other[:2] / f"{other}.voice").read_bytes())
    assert cache.load_part(KEY) is None


def test_what_a_voice_keeps_of_itself_is_thrown_away_with_its_words(tmp_path: Path) -> None:
    cache = Cache(tmp_path)
    cache.store_part(KEY, b"model")
    assert cache.clear().count == 0
    assert cache.load_part(KEY) is None and not list(tmp_path.iterdir())
