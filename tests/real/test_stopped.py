"""Processes that are stopped, killed or started without their streams: no traceback, no orphan, nothing half done."""

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hall import until

pytestmark = [pytest.mark.real, pytest.mark.skipif(os.name != "posix", reason="signals of another kind")]

REST = "title: Rest\nbells: {class: none}\nclass:\n  - rest: 2 s\n    say: none\n"

#: As many words as several workers speak side by side, none of them spoken before.
TALK = "title: Talk\nclass:\n" + "".join(
    f"  - rest: 9 s\n    say: Here are the words of step {number}, which nobody has spoken yet.\n"
    for number in range(80)
)

STOPPED = "stopped: 1 track of 3 written and whole, and nothing half\n"


@contextmanager
def speaking(folder: Path, *words: str) -> Iterator["subprocess.Popen[bytes]"]:
    """The program while it speaks, in a group of its own; the words go into `folder`."""
    (folder / "talk.yaml").write_text(TALK)
    own = {**os.environ, "GUIDE_CACHE": str(folder / "cache")}
    hears = (
        "import os, signal, sys; signal.signal(signal.SIGHUP, signal.SIG_DFL); os.execv(sys.executable, sys.argv[1:])"
    )
    # Whoever runs these tests may be deaf to a terminal that goes, and what it starts is so too.
    command = [sys.executable, "-c", hears, sys.executable, "-m", "guide", *words]
    with subprocess.Popen(command, cwd=folder, env=own, stderr=subprocess.PIPE, start_new_session=True) as program:
        try:
            until(lambda: next((folder / "cache").rglob("*.clip"), None) is not None, "nothing was spoken")
            yield program
        finally:
            if program.poll() is None:
                program.kill()


def left(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()} - {"cache", "talk.yaml"}


@pytest.mark.parametrize(("number", "to"), [(signal.SIGTERM, os.kill), (signal.SIGHUP, os.killpg)])
def test_stopped_while_it_speaks_it_says_so_in_a_line(
    tmp_path: Path, number: signal.Signals, to: Callable[[int, int], None]
) -> None:
    """By `kill`, and by a terminal that goes with all that was started in it."""
    with speaking(tmp_path, "render", "talk.yaml") as program:
        to(program.pid, number)
        # The end of what it says is the end of all that it started.
        _, told = program.communicate()
    assert told.decode() == "stopped: talk.mp3 was not written\n"
    assert program.returncode == 128 + number
    assert left(tmp_path) == set()


def test_killed_while_it_speaks_it_leaves_no_worker_that_complains(tmp_path: Path) -> None:
    with speaking(tmp_path, "render", "talk.yaml") as program:
        program.kill()
        _, told = program.communicate()
    assert told == b""


@pytest.mark.parametrize("closed", ["<&-", "<&- >&- 2>&-", ">/dev/full"])
def test_a_class_is_led_whatever_streams_it_was_started_without(tmp_path: Path, closed: str) -> None:
    (tmp_path / "rest.yaml").write_text(REST)
    line = f'exec "$0" -m guide play rest.yaml --plain --output silent --log led.jsonl {closed}'
    done = subprocess.run(["sh", "-c", line, sys.executable], cwd=tmp_path, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert '"ended"' in (tmp_path / "led.jsonl").read_text().splitlines()[-1]


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_several_that_are_rendered_and_stopped_leave_nothing_half(tmp_path: Path, number: signal.Signals) -> None:
    """By Ctrl-C, by `kill`, and by a kill that it never learns of, after which its processes end by themselves."""
    out = tmp_path / "out"
    out.mkdir()
    made = out / ".practice-guide-made.json"
    files = [f"{name}.yaml" for name in ("short", "one", "two")]
    for name, text in zip(files, (REST, *[REST.replace("2 s", "60 min")] * 2), strict=True):
        (tmp_path / name).write_text(text)
    command = [sys.executable, "-m", "guide", "render", *files, "-o", "out", "--format", "flac", "--captions", "none"]
    hears = (
        "import os, signal, sys; signal.signal(signal.SIGINT, signal.SIG_DFL); os.execv(sys.executable, sys.argv[1:])"
    )
    with subprocess.Popen(
        [sys.executable, "-c", hears, *command], cwd=tmp_path, stderr=subprocess.PIPE, start_new_session=True
    ) as program:
        until(lambda: made.exists() and len(list(out.glob(".*part*.flac"))) == 2, "they did not begin")
        os.killpg(program.pid, number) if number == signal.SIGINT else os.kill(program.pid, number)
        # The end of what it says is the end of all that it started.
        _, told = program.communicate()
    assert set(out.iterdir()) == {out / "short.flac", made}
    assert program.returncode == (-number if number == signal.SIGKILL else 128 + number)
    assert told.decode() == ("" if number == signal.SIGKILL else STOPPED)
