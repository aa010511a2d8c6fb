"""Jobs in other processes: each is answered once, each process keeps to one core, and one that dies is replaced."""

import multiprocessing
import os

import pytest

from guide.problem import MachineTrouble
from guide.voice.worker_pool import Failed, Fault, Waking, WorkerPool


def threads_or_death(job: str) -> str:
    if job == "die":
        os._exit(9)
    return f"{job} {os.environ['OPENBLAS_NUM_THREADS']} {os.environ['OMP_NUM_THREADS']}"


def test_every_job_is_answered_once_and_a_worker_that_dies_is_replaced(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "7")
    monkeypatch.delenv("OMP_NUM_THREADS", raising=False)
    pool: WorkerPool[str, str] = WorkerPool(threads_or_death, lambda job: 60.0, workers=2)
    outcomes = dict(pool.work_through(["a", "die", "b", "die", "c"]))
    dead = Failed(Fault.MACHINE, "the voice crashed (exit code 9)")
    assert outcomes == {0: "a 1 1", 1: dead, 2: "b 1 1", 3: dead, 4: "c 1 1"}
    assert os.environ["OPENBLAS_NUM_THREADS"] == "7"
    assert "OMP_NUM_THREADS" not in os.environ


def test_no_process_is_started_for_no_job() -> None:
    pool: WorkerPool[str, str] = WorkerPool(threads_or_death, lambda job: 60.0, workers=2)
    assert list(pool.work_through([])) == []


def wake() -> None:
    os.environ["AWAKE"] = "awake"


def wake_in_vain() -> None:
    raise MachineTrouble("there is no engine")


def woken(job: str) -> str:
    return f"{job} {os.environ.get('AWAKE', 'asleep')}"


def test_a_process_that_is_waking_does_the_first_work_and_no_other_pool_has_it() -> None:
    waking = Waking(wake)
    waking.start()
    pool: WorkerPool[str, str] = WorkerPool(woken, lambda job: 60.0, workers=1, waking=waking)
    assert dict(pool.work_through(["a", "b"])) == {0: "a awake", 1: "b awake"}
    assert dict(pool.work_through(["c"])) == {0: "c asleep"}


def test_a_process_that_wakes_in_vain_works_as_any_other() -> None:
    waking = Waking(wake_in_vain)
    waking.start()
    pool: WorkerPool[str, str] = WorkerPool(woken, lambda job: 60.0, workers=1, waking=waking)
    assert dict(pool.work_through(["a"])) == {0: "a asleep"}


def test_a_process_that_nobody_takes_is_ended() -> None:
    waking = Waking(wake)
    waking.start()
    [process] = multiprocessing.active_children()
    waking.stop()
    assert not process.is_alive()
    assert waking.taken() is None
