"""Coming first where that is allowed, and never in the way of a class where it is not."""

import gc
import os
import sys
import threading

import pytest

from guide import priority


def in_a_thread(*steps: object) -> int:
    """The priority of a thread of its own after the steps. (On Linux each thread has one.)"""
    found: list[int] = []

    def run() -> None:
        for step in steps:
            step()  # type: ignore[operator]
        found.append(os.getpriority(os.PRIO_PROCESS, 0))

    thread = threading.Thread(target=run)
    thread.start()
    thread.join()
    return found[0]


def test_without_permission_the_class_goes_on_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(which: int, who: int, nice: int) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "setpriority", refused)
    before = os.getpriority(os.PRIO_PROCESS, 0)
    assert in_a_thread(priority.come_first) == before


def test_when_it_is_over_everything_is_as_before() -> None:
    # Python 3.12 begins with a few things of its own frozen, which are free afterwards.
    gc.unfreeze()
    before = sys.getswitchinterval(), gc.get_freeze_count(), os.getpriority(os.PRIO_PROCESS, 0)
    with priority.coming_first():
        assert sys.getswitchinterval() == pytest.approx(priority.TURN_S)
        assert gc.get_freeze_count() > 1000
    assert (sys.getswitchinterval(), gc.get_freeze_count(), os.getpriority(os.PRIO_PROCESS, 0)) == before


def test_what_is_raised_is_given_back_and_nothing_more(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []
    monkeypatch.setattr(os, "setpriority", lambda which, who, nice: asked.append(nice))
    monkeypatch.setattr(os, "getpriority", lambda which, who: priority.NICE)
    priority.come_as_usual()
    assert asked == [0]
    monkeypatch.setattr(os, "getpriority", lambda which, who: 10)
    priority.come_as_usual()
    assert asked == [0]


def test_a_program_that_was_told_to_come_last_does(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []
    monkeypatch.setattr(os, "setpriority", lambda which, who, nice: asked.append(nice))
    monkeypatch.setattr(os, "getpriority", lambda which, who: 10)
    priority.come_first()
    assert asked == []
    monkeypatch.setattr(os, "getpriority", lambda which, who: 0)
    priority.come_first()
    assert asked == [priority.NICE]


@pytest.mark.skipif(sys.platform != "linux", reason="each thread has a priority of its own on Linux only")
def test_only_the_thread_that_asks_is_raised() -> None:
    before = os.getpriority(os.PRIO_PROCESS, 0)
    assert in_a_thread(priority.come_first) <= before
    assert os.getpriority(os.PRIO_PROCESS, 0) == before
