"""What is written down of a class while it runs, by a thread of its own: a slow disk never holds up the class.

What cannot be written is told once, and the class goes on.
"""

import threading
from collections.abc import Callable
from queue import SimpleQueue

from guide.live import steady_clock
from guide.live.journal import Bookmark, Journal
from guide.live.record import Event, Record
from guide.problem import MachineTrouble

#: Where the class is, is written at most so often: a memory card is not worn out.
EVERY_S = 1.0

#: A disk that does not answer is waited for so long at the end.
ENDS_S = 5.0


class Notebook:
    """Writes the record of a class, and where it is, in the order in which they come; either may be missing.

    `keeps_place` tells whether where the class is could be written so far. `tell` is told what cannot be written, once
    for each reason, from the thread that writes.
    """

    def __init__(self, record: Record | None, journal: Journal | None, tell: Callable[[str], None]) -> None:
        self._record, self._journal, self._tell = record, journal, tell
        self._jobs: SimpleQueue[Callable[[], None] | None] = SimpleQueue()
        self._thread: threading.Thread | None = None
        self._told: set[str] = set()
        self._kept: Bookmark | None = None
        self._next: Bookmark | None = None
        self._kept_s = -EVERY_S
        self.keeps_place = journal is not None

    def add(self, event: Event) -> None:
        """Write an event into the record."""
        if self._record is not None:
            record = self._record
            self._do(lambda: record.add(event))

    def keep(self, bookmark: Bookmark) -> None:
        """Write where the class is, soon; of several within a second, the last."""
        self._next = None if bookmark == self._kept else bookmark
        if steady_clock.now_s() - self._kept_s >= EVERY_S:
            self._keep_next()

    def _keep_next(self) -> None:
        if self._journal is not None and self._next is not None:
            journal, bookmark = self._journal, self._next
            self._kept, self._next, self._kept_s = bookmark, None, steady_clock.now_s()
            self._do(lambda: self._note(journal, bookmark))

    def _note(self, journal: Journal, bookmark: Bookmark) -> None:
        try:
            journal.note(bookmark)
        except MachineTrouble:
            self.keeps_place = False
            raise
        self.keeps_place = True

    def _do(self, job: Callable[[], None]) -> None:
        self._jobs.put(job)
        if self._thread is None:
            self._thread = threading.Thread(target=self._write, daemon=True, name="writing down")
            self._thread.start()

    def _write(self) -> None:
        while (job := self._jobs.get()) is not None:
            try:
                job()
            except MachineTrouble as trouble:
                if str(trouble) not in self._told:
                    self._told.add(str(trouble))
                    self._tell(str(trouble))

    def close(self) -> None:
        """Write what is still to be written, and close the record; not under a lock that `tell` waits for."""
        self._keep_next()
        if self._record is not None and self._thread is not None:
            self._do(self._record.close)
        thread, self._thread = self._thread, None
        if thread is not None:
            self._jobs.put(None)
            thread.join(ENDS_S)
