"""A real terminal for a test: a pane of tmux, typed into and read."""

import os
import secrets
import subprocess
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from hall import PATIENCE_S, need, until

from guide.live.screen import letters
from guide.live.screen.letters import Size


@dataclass(frozen=True, slots=True)
class Pane:
    """A pane of a tmux server of its own; `session` is the number of the process in it, and of all that it starts."""

    server: str
    session: str = ""

    def tmux(self, *arguments: str) -> str:
        command = ["tmux", "-u", "-L", self.server, *arguments]
        return subprocess.run(command, capture_output=True, text=True, check=True, timeout=PATIENCE_S).stdout

    def type(self, *keys: str) -> None:
        """Keys by the names that tmux has for them: `Right`, `PPage`, `Space`, `Escape`, `q`."""
        self.tmux("send-keys", *keys)

    def end(self) -> None:
        """Ask for the end of a class, and once more when that is asked back."""
        self.type("q")
        asked = "once more to end"
        until(lambda: any(asked in row for row in self.rows()) or self.shows_large(asked), f"“{asked}” on the screen")
        # Sooner, it would be one key that is held down.
        time.sleep(1)
        self.type("q")

    @contextmanager
    def keyboard(self) -> Iterator[Callable[[str], None]]:
        """Types a key without starting a program for it, which would take as long as the machine likes."""
        command = ["tmux", "-u", "-L", self.server, "-C", "attach"]
        with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, bufsize=0) as control:
            assert control.stdin is not None
            yield lambda key: control.stdin.write(f"send-keys {key}\n".encode())

    def processes(self, words: str) -> list[int]:
        """The processes of this pane that have these words on their command line."""
        asked = ["pgrep", "-s", self.session, "-f", "--", words]
        return [int(number) for number in subprocess.run(asked, capture_output=True, check=False).stdout.split()]

    def rows(self) -> list[str]:
        """What is shown, without spaces at the ends of rows."""
        return [row.rstrip() for row in self.tmux("capture-pane", "-p").splitlines()]

    def styled(self) -> str:
        """What is shown, with the sequences that colour it."""
        return self.tmux("capture-pane", "-p", "-e")

    def wait_for(self, words: str, patience_s: float = PATIENCE_S) -> None:
        """Until these words are shown somewhere."""
        until(lambda: any(words in row for row in self.rows()), f"“{words}” on the screen", patience_s)

    def shows_large(self, text: str, least_high: int = 5) -> bool:
        """Whether a text is shown on one line in large letters, so many half rows high or higher."""
        pane = self.rows()
        sizes = (Size(high, wide) for high in range(least_high, 2 * len(pane)) for wide in range(1, high))
        fit = (size for size in sizes if letters.width(text, size) <= max(map(len, pane)))
        written = (letters.written(text, size) for size in fit)
        return any(_stands_in(pane, [row.strip() for row in rows]) for rows in written)

    def wait_for_large(self, text: str, patience_s: float = PATIENCE_S, least_high: int = 5) -> None:
        """Until a text is shown in large letters."""
        until(lambda: self.shows_large(text, least_high), f"“{text}” in large letters", patience_s)


def _stands_in(pane: list[str], rows: list[str]) -> bool:
    """Whether these rows are shown, one below the other."""
    tops = range(len(pane) - len(rows) + 1)
    return any(all(part in row for part, row in zip(rows, pane[top:], strict=False)) for top in tops)


@contextmanager
def pane(
    command: str, environment: Mapping[str, str], folder: Path, columns: int = 80, rows: int = 24
) -> Iterator[Pane]:
    """A pane in which a shell runs `command`, and then says with which code it ended and waits."""
    need("tmux", mend="sudo apt install tmux")
    made = Pane(f"guide-{os.getpid()}-{secrets.token_hex(4)}")
    script = folder / f"{made.server}.sh"
    environment = {"LC_ALL": "C.UTF-8", **environment}
    exports = "".join(f"export {name}='{value}'\n" for name, value in environment.items())
    # Ctrl-C is for the command alone.
    script.write_text(f"{exports}trap : INT\n{command}\necho ended with $?\nexec sleep 600\n")
    size = ("-x", str(columns), "-y", str(rows))
    told = made.tmux("-f", "/dev/null", "new-session", "-d", "-P", "-F", "#{pane_pid}", *size, f"sh {script}")
    made = replace(made, session=told.strip())
    try:
        yield made
    finally:
        # A class goes on when its terminal goes.
        subprocess.run(["pkill", "-TERM", "-s", made.session], capture_output=True, check=False)
        subprocess.run(["tmux", "-L", made.server, "kill-server"], capture_output=True, check=False)
