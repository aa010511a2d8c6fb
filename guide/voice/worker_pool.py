"""A pool of worker processes, each with one job at a time, so that a crash or a hang is known by its job."""

import contextlib
import math
import multiprocessing
import os
import signal
import time
from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import dataclass, field
from enum import Enum
from multiprocessing.connection import Connection, wait
from typing import Any, Generic, TypeVar

from guide.problem import GuideError
from guide.voice.protocol import Unspeakable

Job = TypeVar("Job")
Result = TypeVar("Result")


#: How many threads the libraries below numpy start is read from these, once, when they are loaded.
_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")


class Fault(Enum):
    """Who has to mend a job that failed."""

    WORDS = "words"
    MACHINE = "machine"


@dataclass(frozen=True, slots=True)
class Failed:
    """A job that did not come to its end, why, and what to write instead where it is the words' fault."""

    fault: Fault
    what: str
    fix: str = ""


@dataclass(slots=True)
class _Worker:
    process: Any
    pipe: Connection
    job: int | None = None
    due_s: float = math.inf


class Waking:
    """A process that gets ready before there is work for it; the first pool that needs one takes it."""

    def __init__(self, wake: Callable[[], object]) -> None:
        self._wake = wake
        self._worker: _Worker | None = None

    def start(self) -> None:
        """Let it begin; `wake` is sent to it, so it is a picklable callable."""
        self._worker = _started(multiprocessing.get_context("spawn"), self._wake)

    def taken(self) -> _Worker | None:
        """The process, for whoever takes it first; None for all others."""
        worker, self._worker = self._worker, None
        return worker

    def stop(self) -> None:
        """End it, where nobody took it."""
        worker = self.taken()
        if worker is not None:
            _dismiss(worker)


@dataclass(frozen=True, slots=True)
class WorkerPool(Generic[Job, Result]):
    """`workers` processes that do `do(job)`; a job is given up when it takes longer than `limit_s(job)` seconds.

    `do` and the jobs are sent to the processes, so `do` is a picklable callable. One that is `waking` is taken first.
    """

    do: Callable[[Job], Result]
    limit_s: Callable[[Job], float]
    workers: int
    context: Any = field(default_factory=lambda: multiprocessing.get_context("spawn"))
    waking: Waking | None = None

    def work_through(self, jobs: Sequence[Job]) -> Generator[tuple[int, Result | Failed], None, None]:
        """The place of each job and what came of it, in the order in which they end."""
        waiting = iter(range(len(jobs)))
        pool = [self._hired() for _ in range(min(self.workers, len(jobs)))]
        try:
            for worker in pool:
                self._give(worker, jobs, waiting)
            while busy := [worker for worker in pool if worker.job is not None]:
                for worker in _ready(busy):
                    assert worker.job is not None
                    place, outcome = worker.job, _outcome(worker)
                    if outcome is None:
                        continue
                    if not worker.process.is_alive():
                        pool[pool.index(worker)] = worker = self._hired()
                    self._give(worker, jobs, waiting)
                    yield place, outcome
        finally:
            for worker in pool:
                _dismiss(worker)

    def _hired(self) -> _Worker:
        worker = (self.waking and self.waking.taken()) or _started(self.context, _as_it_is)
        with contextlib.suppress(BrokenPipeError):  # as in `_give`
            worker.pipe.send(self.do)
        return worker

    def _give(self, worker: _Worker, jobs: Sequence[Job], waiting: Iterator[int]) -> None:
        worker.job = next(waiting, None)
        if worker.job is not None:
            with contextlib.suppress(BrokenPipeError):  # a worker that is gone is found when it is listened to
                worker.pipe.send(jobs[worker.job])
            worker.due_s = time.monotonic() + self.limit_s(jobs[worker.job])


def _started(context: Any, wake: Callable[[], object]) -> _Worker:
    ours, theirs = context.Pipe()
    process = context.Process(target=_serve, args=(theirs, wake), daemon=True)
    with _one_thread_each():
        process.start()
    theirs.close()
    return _Worker(process, ours)


def _as_it_is() -> None:
    """How a process wakes that gets its work at once."""


@contextlib.contextmanager
def _one_thread_each() -> Iterator[None]:
    """Processes started meanwhile calculate on one core: more would only wait for each other, at twice the work."""
    before = {name: os.environ.get(name) for name in _THREADS}
    os.environ.update(dict.fromkeys(_THREADS, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            os.environ.pop(name)
            if value is not None:
                os.environ[name] = value


def _ready(busy: Sequence[_Worker]) -> Sequence[_Worker]:
    """The workers that have answered, died, or run out of time."""
    left_s = min(worker.due_s for worker in busy) - time.monotonic()
    heard = wait([worker.pipe for worker in busy], max(0.0, left_s))
    now_s = time.monotonic()
    return [worker for worker in busy if worker.pipe in heard or worker.due_s <= now_s]


def _outcome(worker: _Worker) -> Any:
    """What came of the worker's job."""
    if not worker.pipe.poll():
        _dismiss(worker)
        return Failed(Fault.MACHINE, "the voice did not answer in time")
    try:
        return worker.pipe.recv()
    except (EOFError, ConnectionResetError):
        worker.process.join()
        code = worker.process.exitcode
        return Failed(Fault.MACHINE, f"the voice crashed ({_reason(code)})")


def _reason(code: int | None) -> str:
    if code is not None and code < 0:
        with contextlib.suppress(ValueError):
            return signal.Signals(-code).name
    return f"exit code {code}"


def _dismiss(worker: _Worker) -> None:
    worker.process.kill()
    worker.process.join()
    worker.pipe.close()


def _serve(pipe: Connection, wake: Callable[[], object]) -> None:
    # The one who is asked to stop by the keyboard is the program; it ends its workers.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(GuideError):  # the first job will meet it too, and say so
        wake()
    do = None
    while True:
        try:
            job = pipe.recv()
        except (EOFError, OSError):
            return
        if do is None:
            do = job
            continue
        try:
            pipe.send(done(do, job))
        except OSError:
            # The program has gone, and nobody waits for the words.
            return


def done(do: Callable[[Any], Any], job: Any) -> Any:
    """What comes of a job, or why nothing does."""
    try:
        return do(job)
    except Unspeakable as error:
        return Failed(Fault.WORDS, error.what, error.fix)
    except GuideError as error:
        return Failed(Fault.MACHINE, str(error))
    except Exception as error:
        return Failed(Fault.MACHINE, f"{type(error).__name__}: {error}")
