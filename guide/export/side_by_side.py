"""Jobs done side by side, each in a process that puts away what it began when it is asked to end."""

import multiprocessing
import signal
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from multiprocessing.connection import Connection, wait
from typing import Any, Generic, TypeVar

Job = TypeVar("Job")
Result = TypeVar("Result")

#: How much of a job is done, from 0 to 1.
Heard = Callable[[int, float], None]

#: A process that is asked to end puts away its files within so long, or is killed.
ENDS_WITHIN_S = 20.0


@dataclass(frozen=True, slots=True)
class Crashed:
    """A job whose process ended before it, or broke in a way that nobody foresaw, and how."""

    what: str


@dataclass(frozen=True, slots=True)
class _Share:
    """How much of a job is done, as it is told on the way."""

    done: float


@dataclass(slots=True)
class _Worker:
    process: Any
    pipe: Connection
    place: int | None = None


@dataclass(frozen=True, slots=True)
class SideBySide(Generic[Job, Result]):
    """Does `do(job, tell)` for every job in `workers` processes; `tell` takes the share of the job that is done.

    `do`, the jobs and what comes of them go from process to process, so they are picklable. With one worker, or where
    the system gives no process, the jobs are done here, one after the other.
    """

    do: Callable[[Job, Callable[[float], None]], Result]
    workers: int

    def work_through(self, jobs: Sequence[Job], heard: Heard) -> Generator[tuple[int, "Result | Crashed"], None, None]:
        """The place of each job and what came of it, as they end. Closed before, it ends all that is under way."""
        pool: list[_Worker] = []
        waiting = iter(range(len(jobs)))
        try:
            if min(self.workers, len(jobs)) > 1:
                with suppress(OSError):
                    pool += (self._hired() for _ in range(min(self.workers, len(jobs))))
            if not pool:
                yield from self._here(jobs, heard)
                return
            for worker in pool:
                _give(worker, jobs, waiting)
            while busy := [worker for worker in pool if worker.place is not None]:
                spoken = wait([worker.pipe for worker in busy])
                for worker in (each for each in busy if each.pipe in spoken):
                    place, told = worker.place, _told(worker)
                    assert place is not None
                    if isinstance(told, _Share):
                        heard(place, told.done)
                        continue
                    if isinstance(told, Crashed) and not worker.process.is_alive():
                        pool[pool.index(worker)] = worker = self._hired()
                    _give(worker, jobs, waiting)
                    yield place, told
        finally:
            _dismiss(pool)

    def _here(self, jobs: Sequence[Job], heard: Heard) -> "Iterator[tuple[int, Result | Crashed]]":
        for place, job in enumerate(jobs):
            yield place, self.do(job, partial(heard, place))

    def _hired(self) -> _Worker:
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(target=_serve, args=(theirs, self.do))
        process.start()
        theirs.close()
        return _Worker(process, ours)


def _give(worker: _Worker, jobs: Sequence[Any], waiting: Iterator[int]) -> None:
    worker.place = next(waiting, None)
    if worker.place is not None:
        with suppress(BrokenPipeError):  # a worker that is gone is found when it is listened to
            worker.pipe.send(jobs[worker.place])


def _told(worker: _Worker) -> Any:
    try:
        return worker.pipe.recv()
    except (EOFError, ConnectionResetError):
        worker.process.join()
        code = worker.process.exitcode
        return Crashed(f"its process was ended by signal {-code}" if code < 0 else f"its process ended with {code}")


def _dismiss(pool: Sequence[_Worker]) -> None:
    """End the processes; those with work on hand put it away."""
    for worker in pool:
        worker.process.terminate()
    for worker in pool:
        worker.process.join(ENDS_WITHIN_S)
        worker.process.kill()
        worker.process.join()
        worker.pipe.close()


def _serve(pipe: Connection, do: Callable[[Any, Callable[[float], None]], Any]) -> None:
    # The one who is asked to stop by the keyboard, or by a terminal that goes, is the program; it ends its workers.
    for name in ("SIGINT", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _end)
    # When the program has gone, a word to it raises, and what was begun is put away as well.
    with suppress(EOFError, OSError):
        while True:
            job = pipe.recv()
            try:
                outcome = do(job, lambda done: pipe.send(_Share(done)))
            except BrokenPipeError:
                raise
            except Exception as error:
                outcome = Crashed(f"{type(error).__name__}: {error}")
            pipe.send(outcome)


def _end(number: int, frame: object) -> None:
    # Asked twice, it does not leave half of what it puts away.
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    raise SystemExit(128 + number)
