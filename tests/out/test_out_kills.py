"""A program that is killed while it writes leaves the old file or the new one, whole, under the name."""

import random
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from out_samples import blocks, lakeside, murmur, names

from guide.out.audio import write_audio
from guide.out.captions import write_captions
from guide.out.tags import Tags

#: Writes two versions of a file in turn, for ever, and a dot for each block it hands over.
WRITER = """
import os, sys
from dataclasses import replace
from pathlib import Path
sys.path.insert(0, sys.argv[1])
from out_samples import blocks, lakeside, murmur
from guide.out.audio import AUDIO, write_audio
from guide.out.captions import write_captions
from guide.out.tags import Tags

def dotted(of):
    for block in of:
        os.write(1, b".")
        yield block

target = Path(sys.argv[2])
sounds = [murmur(30_000, seed) for seed in (0, 1)]
while True:
    for version in (0, 1):
        if target.suffix in AUDIO:
            write_audio(target, dotted(blocks(sounds[version])), Tags(f"version {version}"))
        else:
            os.write(1, b"..")
            write_captions(target, replace(lakeside(), title=f"version {version}"))
"""


def versions(folder: Path, suffix: str) -> set[bytes]:
    """The bytes of both versions, whole."""
    found = set()
    for version in (0, 1):
        path = folder / f"version{suffix}"
        title = f"version {version}"
        if suffix == ".vtt":
            write_captions(path, replace(lakeside(), title=title))
        else:
            write_audio(path, blocks(murmur(30_000, version)), Tags(title))
        found.add(path.read_bytes())
        path.unlink()
    return found


def kill_in_the_middle(target: Path, dots: int) -> None:
    """Start the writer on `target` and kill it once it has handed over so many blocks."""
    command = [sys.executable, "-c", WRITER, str(Path(__file__).parent), str(target)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, bufsize=0) as writer:
        assert writer.stdout is not None
        for _ in range(dots):
            assert writer.stdout.read(1) == b"."
        writer.kill()
    assert writer.returncode == -signal.SIGKILL


def killed_so_often(tmp_path: Path, suffix: str, times: int) -> None:
    whole = versions(tmp_path, suffix)
    assert len(whole) == 2
    target = tmp_path / f"class{suffix}"
    chance = random.Random(f"{suffix} {times}")
    old = b"the file that was there before"
    met = set()
    for _ in range(times):
        target.write_bytes(old)
        kill_in_the_middle(target, chance.randint(1, 40))
        met.add(target.read_bytes())
        assert met <= whole | {old}
        left = [name for name in names(tmp_path) if name != target.name]
        assert all(name.startswith(".class.guide-part-") and name.endswith(suffix) for name in left)
        assert len(left) <= 1
    assert len(met) > 1, "the kills all fell into one moment"
    versions(tmp_path, suffix)
    assert names(tmp_path) == [target.name]


@pytest.mark.parametrize("suffix", [".mp3", ".vtt"])
def test_ten_kills(tmp_path: Path, suffix: str) -> None:
    killed_so_often(tmp_path, suffix, 10)


@pytest.mark.slow
@pytest.mark.parametrize("suffix", [".wav", ".flac", ".mp3", ".opus", ".ogg", ".m4a", ".vtt"])
def test_a_hundred_kills(tmp_path: Path, suffix: str) -> None:
    killed_so_often(tmp_path, suffix, 100)
