"""How many examples a property is tried with: some by default, always the same; in a full check all, and new ones.

So the default tests are quick, and do on every machine what they did on the last one.
"""

import os

from hypothesis import HealthCheck, settings

#: Whether this is a full check, as `.ci/run` says.
FULL = bool(os.environ.get("CI"))

#: Of the examples of a property that takes long, the default tests try one in so many.
ONE_IN = 4

#: No example is too slow: that hangs on the machine.
PROFILE = "guide"
settings.register_profile(
    PROFILE, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=not FULL, print_blob=True
)


def some(times: int) -> int:
    """So many in a full check, and a part of them by default."""
    return times if FULL else max(times // ONE_IN, 1)


def tried(times: int) -> settings:
    """For a property that takes long: with so many examples in a full check."""
    return settings(max_examples=some(times))
