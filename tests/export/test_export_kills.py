"""A program that is killed while it writes leaves the old file or the new one, whole, under the name."""

import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from export_samples import blocks, lakeside, murmur, names

from guide.export.atomic_write import clear_leftovers
from guide.export.audio import write_audio
from guide.export.registry import write
from guide.export.tags import Tags

#: So many renders are killed; the moments are others in every run.
RENDERS = int(os.environ.get("KILLED_RENDERS", "40"))

#: A class of half a minute.
CLASS = """title: By the lake
pace: {inhale: 2 s, exhale: 2 s}
class:
  - section: Standing
  - pose: mountain
    hold: 6 breaths
    say: Stand tall, and let your shoulders drop away from your ears.
"""


@dataclass(frozen=True, slots=True)
class Warm:
    """The process of `warm_writer.py`, whose copies are killed."""

    process: "subprocess.Popen[bytes]"

    def say(self, line: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(f"{line}\n".encode())

    def wait_for_dots(self, dots: int) -> None:
        assert self.process.stdout is not None
        for _ in range(dots):
            assert self.process.stdout.read(1) == b"."

    def kill(self) -> int:
        """Kill the copy; returns the code with which it ended: 0 where it was done already."""
        self.say("kill")
        assert self.process.stdout is not None
        self.process.stdout.readline()
        return int(self.process.stdout.readline())


@contextmanager
def warm(*words: str) -> Iterator[Warm]:
    command = [sys.executable, str(Path(__file__).parent / "warm_writer.py"), *words]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, bufsize=0) as process:
        yield Warm(process)


def versions(folder: Path, suffix: str) -> set[bytes]:
    """The bytes of both versions, whole."""
    found = set()
    for version in (0, 1):
        path = folder / f"version{suffix}"
        title = f"version {version}"
        if suffix == ".vtt":
            write(replace(lakeside(), title=title), path)
        else:
            write_audio(path, blocks(murmur(30_000, version)), Tags(title))
        found.add(path.read_bytes())
        path.unlink()
    return found


def kill_in_the_middle(writer: Warm, target: Path, dots: int) -> None:
    """Have `target` written, and kill what writes once it has handed over so many blocks."""
    writer.say(json.dumps(["versions", str(target)]))
    writer.wait_for_dots(dots)
    assert writer.kill() == -signal.SIGKILL


def killed_so_often(tmp_path: Path, suffix: str, times: int) -> None:
    whole = versions(tmp_path, suffix)
    assert len(whole) == 2
    target = tmp_path / f"class{suffix}"
    chance = random.Random(f"{suffix} {times}")
    old = b"the file that was there before"
    met = set()
    with warm() as writer:
        for _ in range(times):
            target.write_bytes(old)
            kill_in_the_middle(writer, target, chance.randint(1, 40))
            met.add(target.read_bytes())
            assert met <= whole | {old}
            left = [name for name in names(tmp_path) if name != target.name]
            assert all(name.startswith(".class.guide-part-") and name.endswith(suffix) for name in left)
            assert len(left) <= 1
    assert len(met) > 1, "the kills all fell into one moment"
    versions(tmp_path, suffix)
    assert names(tmp_path) == [target.name]


def test_ten_kills(tmp_path: Path) -> None:
    killed_so_often(tmp_path, ".vtt", 10)


@pytest.mark.slow
@pytest.mark.parametrize("suffix", [".wav", ".flac", ".mp3", ".opus", ".ogg", ".m4a", ".vtt"])
def test_a_hundred_kills(tmp_path: Path, suffix: str) -> None:
    killed_so_often(tmp_path, suffix, 100)


def rendering(file: Path, target: Path) -> list[str]:
    return ["render", str(file), "-o", str(target)]


def together(target: Path) -> list[bytes]:
    """The track, its captions and its chapters."""
    return [target.with_suffix(suffix).read_bytes() for suffix in (".mp3", ".vtt", ".chapters.vtt")]


def kill_a_start_of(words: list[str], after_s: float) -> int:
    """Start the program as a person does and kill it after so long; returns the code with which it ended."""
    with subprocess.Popen([sys.executable, "-m", "guide", *words], stdout=subprocess.DEVNULL) as program:
        try:
            program.wait(after_s)
        except subprocess.TimeoutExpired:
            program.kill()
    return program.returncode


def kill_a_copy_of(renderer: Warm, words: list[str], after_s: float) -> int:
    """Have a copy do the same, and kill it after so long; returns the code with which it ended."""
    renderer.say(json.dumps(["guide", *words]))
    time.sleep(after_s)
    return renderer.kill()


@pytest.mark.slow
def test_a_render_that_is_killed_leaves_the_old_track_or_the_new_one(tmp_path: Path) -> None:
    """Kills of the command itself, at random moments over a track with its captions and chapters that is there already:
    one in nine of the program as a person starts it, the others of a copy of it that need not start."""
    target = tmp_path / "folder" / "track.mp3"
    target.parent.mkdir()
    sides = []
    for place in ("lake", "river"):
        file = tmp_path / f"{place}.yaml"
        file.write_text(CLASS.replace("lake", place))
        sides.append(rendering(file, target))
    whole, took_s = [], []
    for side in sides:
        began_s = time.monotonic()
        subprocess.run([sys.executable, "-m", "guide", *side], check=True, stdout=subprocess.DEVNULL)
        took_s.append(time.monotonic() - began_s)
        whole.append(together(target))
    chance, seen, ended, codes = random.Random(5), [0, 0], 0, list[int]()
    with warm(*sides[1]) as renderer:
        began_s = time.monotonic()
        renderer.say(json.dumps(["guide", *sides[1]]))
        renderer.wait_for_dots(1)
        copy_s = time.monotonic() - began_s
        renderer.kill()
        for number in range(RENDERS):
            side = sides[number % 2]
            if number % 9 == 0:
                codes.append(kill_a_start_of(side, chance.uniform(0.3, 1.1) * took_s[1]))
            else:
                codes.append(kill_a_copy_of(renderer, side, chance.uniform(0, 1.1) * copy_s))
            if together(target) not in whole:
                # Killed between two moves, which the next run ends.
                clear_leftovers(target.parent)
                ended += 1
            seen[whole.index(together(target))] += 1
    subprocess.run([sys.executable, "-m", "guide", *sides[0]], check=True, stdout=subprocess.DEVNULL)
    killed = codes.count(-signal.SIGKILL)
    print(
        f"\n{RENDERS} renders, {killed} killed: {seen[0]} times one version, {seen[1]} times the other, nothing else; "
        f"{ended} killed between two moves"
    )
    assert set(codes) == {0, -signal.SIGKILL}
    assert names(target.parent) == ["track.chapters.vtt", "track.mp3", "track.vtt"]
