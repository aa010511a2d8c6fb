"""What the program does to the machine beside its job, as the kernel sees it: no network, and no file anywhere else."""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

pytestmark = [pytest.mark.real, pytest.mark.skipif(sys.platform != "linux", reason="strace is of Linux")]

ROOT = Path(__file__).resolve().parents[2]

CLASS = "title: Rest\nclass:\n  - section: Rest\n  - rest: 2 s\n    say: Let everything be heavy.\n"

#: Everything that opens a way out, or makes, changes or moves a file.
CALLS = "socket,connect,sendto,sendmsg,open,openat,openat2,creat,mkdir,mkdirat,rename,renameat,renameat2,link,linkat"

#: Kinds of sockets that stay within the machine.
WITHIN = {"AF_UNIX"}

#: The commands as a person types them, the first of them with nothing spoken yet.
COMMANDS = (
    ("check", "rest.yaml"),
    ("plan", "rest.yaml"),
    ("render", "rest.yaml"),
    ("doctor", "--quiet"),
    ("play", "rest.yaml", "--plain", "--output", "silent"),
)


def traced(folder: Path, *words: str) -> str:
    """What the kernel was asked for by a command that is run in `folder`, and by all that it started."""
    strace = shutil.which("strace")
    if strace is None:
        (pytest.fail if os.environ.get("CI") else pytest.skip)("strace is missing")
    trace = folder.parent / "trace"
    own = {
        "HOME": str(folder.parent / "home"),
        "TMPDIR": str(folder.parent / "passing"),
        "PATH": os.environ["PATH"],
        "PYTHONPATH": str(ROOT),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    look = [str(strace), "-f", "-qq", "-y", "-s", "400", "--seccomp-bpf", "-e", f"trace={CALLS}", "-o", str(trace)]
    done = subprocess.run(
        [*look, sys.executable, "-m", "guide", *words], cwd=folder, env=own, capture_output=True, check=False, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return trace.read_text(encoding="utf-8", errors="replace")


def sockets(trace: str) -> set[str]:
    """The kinds of sockets that were asked for, and of addresses that were named."""
    return set(re.findall(r"\bsocket\((\w+)", trace)) | set(re.findall(r"sa_family=(\w+)", trace))


def written(trace: str, folder: Path) -> Iterator[Path]:
    """Every file and folder that was made or changed, or one of its names."""
    for line in trace.splitlines():
        call = re.search(r"\b(open|creat|mkdir|rename|link)\w*\((.*)\)\s+= \d", line)
        if call is None or (call[1] == "open" and not re.search("O_(WRONLY|RDWR|CREAT)", call[2])):
            continue
        for place, path in re.findall(r'(?:<([^>]*)>, )?"([^"]*)"', call[2]):
            yield Path(os.path.normpath(Path(place or folder) / path))


def test_no_command_reaches_out_or_writes_anywhere_else() -> None:
    # The name of a socket has 108 bytes, of which a test's own folder may take too many.
    with tempfile.TemporaryDirectory() as short:
        look_at_all_commands(Path(short))


def look_at_all_commands(tmp_path: Path) -> None:
    folder, home = tmp_path / "classes", tmp_path / "home"
    for each in (folder, home, tmp_path / "passing"):
        each.mkdir()
    (folder / "rest.yaml").write_text(CLASS)
    ours = [home / ".cache" / "practice-guide", home / ".local" / "state" / "practice-guide"]
    # The machine's own voice has the library of the sound server with it, which looks for its settings.
    server = home / ".config" / "pulse"
    allowed = [folder, tmp_path / "passing", *ours, server, Path("/dev"), Path("/proc")]
    for words in COMMANDS:
        trace = traced(folder, *words)
        assert sockets(trace) <= WITHIN, f"{words}: {sockets(trace)}"
        files = {
            path
            for path in written(trace, folder)
            if not any(path.is_relative_to(place) or place.is_relative_to(path) for place in allowed)
        }
        assert not files, f"{words}: {sorted(files)}"
    assert {path.name for path in folder.iterdir()} == {"rest.yaml", "rest.mp3", "rest.vtt", "rest.chapters.vtt"}
    kept = {path for path in home.rglob("*") if path.is_file()}
    assert kept and all(any(path.is_relative_to(place) for place in ours) for path in kept)
    assert not [path for path in (tmp_path / "passing").rglob("*") if path.is_file()]


def test_the_look_finds_what_it_looks_for(tmp_path: Path) -> None:
    """The trace of a small program that does both, so that an empty trace means something."""
    program = "import socket; socket.socket(socket.AF_INET); open('new', 'w'); import os; os.mkdir('made')"
    strace = shutil.which("strace") or pytest.skip("strace is missing")
    look = [strace, "-f", "-qq", "-y", "--seccomp-bpf", "-e", f"trace={CALLS}", "-o", str(tmp_path / "trace")]
    subprocess.run([*look, sys.executable, "-B", "-c", program], cwd=tmp_path, check=True)
    trace = (tmp_path / "trace").read_text()
    assert "AF_INET" in sockets(trace)
    assert {tmp_path / "new", tmp_path / "made"} <= set(written(trace, tmp_path))
