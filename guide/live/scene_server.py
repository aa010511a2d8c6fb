"""A class that runs, within reach of views in other processes: each asks for the scene, is answered, and sends keys.

Views come over a socket of this machine that only its owner can open, each in a thread of its own; one that hangs, with
its terminal, is never waited for.
"""

import contextlib
import json
import os
import secrets
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from multiprocessing import AuthenticationError
from multiprocessing.connection import Client, Connection, Listener
from pathlib import Path

from guide.live.scene import Showable
from guide.live.scene_data import data_of, scene_from
from guide.problem import UnusableChoice

#: What a view sends to be given the scene; anything else that it sends is the name of a key.
LOOK = None

#: How a folder is named that is made for a socket alone.
OWN_FOLDER = "guide-"

NOT_RUNNING = "this class is not being led here (lead it with `guide play`)"


class SceneServer:
    """Shows `look()` to every view, and passes on to `press` the name of each key; both are called from threads."""

    def __init__(self, look: Callable[[], Showable], press: Callable[[str], None]) -> None:
        self._look, self._press = look, press
        self._key = secrets.token_bytes(16)
        self._listener: Listener | None = None

    def start(self) -> bool:
        """Let views come; False where this machine has no place for that, and a class has to go on without any."""
        self._listener = _listener(self._key)
        if self._listener is None:
            return False
        threading.Thread(target=self._serve, args=(self._listener,), daemon=True, name="scenes").start()
        return True

    @property
    def address(self) -> str:
        """Where views come to."""
        assert self._listener is not None
        return str(self._listener.address)

    @property
    def key(self) -> str:
        """What opens the door to a view, as text."""
        return self._key.hex()

    def _serve(self, listener: Listener) -> None:
        while True:
            try:
                line = listener.accept()
            except (AuthenticationError, EOFError, ConnectionError):
                # Whoever that was has no key, or has gone.
                continue
            except OSError:
                return
            threading.Thread(target=self._answer, args=(line,), daemon=True, name="view").start()

    def _answer(self, line: "Connection[object, object]") -> None:
        with line, contextlib.suppress(EOFError, OSError):
            while True:
                match line.recv():
                    case str(key):
                        self._press(key)
                    case _:
                        line.send(data_of(self._look()))

    def stop(self) -> None:
        """Let no more views come."""
        if self._listener is None:
            return
        folder = Path(self.address).parent
        self._listener.close()
        self._listener = None
        if folder.name.startswith(OWN_FOLDER):
            with contextlib.suppress(OSError):
                folder.rmdir()

    @contextmanager
    def within_reach(self, path: Path) -> Iterator[None]:
        """Tell in a file that only its owner can read where views come to, for as long as the block lasts.

        Where that cannot be written, no view comes from elsewhere, and the class goes on.
        """
        with contextlib.suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.unlink(missing_ok=True)
            number = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(number, "w", encoding="utf-8") as file:
                json.dump({"address": self.address, "key": self.key}, file)
        try:
            yield
        finally:
            with contextlib.suppress(OSError):
                path.unlink(missing_ok=True)


def _listener(key: bytes) -> Listener | None:
    """A socket in the usual folder for what passes, or where its name would be too long there, in a shorter one."""
    for folder in (None, os.environ.get("XDG_RUNTIME_DIR"), "/tmp"):
        with contextlib.suppress(OSError):
            if folder is None:
                return Listener(authkey=key)
            own = Path(tempfile.mkdtemp(prefix=OWN_FOLDER, dir=folder))
            try:
                return Listener(str(own / "scenes"), authkey=key)
            except OSError:
                own.rmdir()
    return None


class RemoteClass:
    """A class that runs in another process: its scene, and keys for it."""

    def __init__(self, address: str, key: str) -> None:
        self._line = Client(address, authkey=bytes.fromhex(key))
        self._lock = threading.Lock()

    def tick(self) -> None:
        """Nothing to look after: the class does that itself."""

    def scene(self) -> Showable:
        """What there is to show now. Raises EOFError or OSError when the class has gone."""
        with self._lock:
            self._line.send(LOOK)
            return scene_from(self._line.recv())

    def press(self, keys: Iterable[str]) -> None:
        """Keys for the class, by their names; for nobody where it has gone, which `scene` tells."""
        with self._lock, contextlib.suppress(OSError):
            for key in keys:
                self._line.send(key)

    def close(self) -> None:
        """Leave the class to itself."""
        self._line.close()


def reached(path: Path) -> tuple[str, str]:
    """Where the views of a class come to that runs, and what opens the door; `path` is what `within_reach` wrote.

    Raises:
        UnusableChoice: no such class runs.
    """
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
        address, key = str(found["address"]), str(found["key"])
        RemoteClass(address, key).close()
    except (OSError, EOFError, ValueError, KeyError, TypeError, AuthenticationError) as error:
        raise UnusableChoice(NOT_RUNNING) from error
    return address, key
