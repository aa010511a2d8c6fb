"""How many examples a property is tried with: some by default, always the same; in a full check all, and new ones.

So the default tests are quick, and do on every machine what they did on the last one.
"""

import os

import pytest
from hypothesis import HealthCheck, is_hypothesis_test, settings

#: Whether this is a full check, as `.ci/run` says.
FULL = bool(os.environ.get("CI"))

#: Of the examples of a property that takes long, the default tests try one in so many.
ONE_IN = 8

#: How many examples a property is tried with that says nothing else.
USUAL = 100 if FULL else 30

#: No example is too slow: that hangs on the machine.
PROFILE = "guide"
settings.register_profile(
    PROFILE,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize=not FULL,
    print_blob=True,
    max_examples=USUAL,
)


def some(times: int) -> int:
    """So many in a full check, and a part of them by default."""
    return times if FULL else max(times // ONE_IN, 1)


def tried(times: int) -> settings:
    """For a property that takes long: with so many examples in a full check."""
    return settings(max_examples=some(times))


def tries_more(item: pytest.Item) -> bool:
    """Whether a test does more in a full check than by default, or may have been skipped for what only that installs.

    That is a property (a machine that is given random orders is a class of its own), and every test in a file that
    counts by what is in here, or has helpers that do.
    """
    if not isinstance(item, pytest.Function) or item.get_closest_marker("skipif") or "needs" in item.fixturenames:
        return True
    counts = {"FULL", "some", "missing", "TAUGHT_CLASSES", "shipped_plans"} & vars(item.module).keys()
    helped = any(getattr(value, "__module__", "") == "heard_classes" for value in vars(item.module).values())
    return bool(counts or helped or item.cls or is_hypothesis_test(item.obj))
