"""The library of poses that comes with the program, read from one file that is made of `data/*.yaml` beforehand."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from guide.problem import MachineTrouble
from guide.sequence.poses.library import Library
from guide.sequence.poses.pose import Base, Condition, Does, Pose, Strength, Way
from guide.sequence.steps import InBreaths

#: Made by `python -m guide.sequence.poses.library_source`.
PREBUILT = Path(__file__).resolve().parent / "library.json"


@cache
def shipped() -> Library:
    """The library that comes with the program.

    Raises:
        MachineTrouble: the installation lacks it, or it cannot be read.
    """
    try:
        poses = [_pose(values) for values in json.loads(PREBUILT.read_text(encoding="utf-8"))]
        if not poses:
            raise ValueError("it is empty")
    except FileNotFoundError:
        raise MachineTrouble("the pose library is missing from this installation (install the program again)") from None
    except (OSError, ValueError, TypeError, KeyError, AttributeError) as error:
        what = "the pose library of this installation cannot be read (install the program again)"
        raise MachineTrouble(f"{what}: {error}") from error
    return Library({pose.name: pose for pose in poses})


def _pose(values: dict[str, Any]) -> Pose:
    """A pose from its fields as JSON holds them."""
    lists = {name: tuple(value) for name, value in values.items() if isinstance(value, list)}
    ways = {name: Way(**values[name]) for name in ("easier", "stronger") if values[name]}
    return Pose(
        **values
        | lists
        | ways
        | {
            "base": Base(values["base"]),
            "does": tuple(map(Does, values["does"])),
            "strength": Strength(values["strength"]),
            "cautions": {Condition(name): caution for name, caution in values["cautions"].items()},
            "hold": InBreaths(**values["hold"]),
        }
    )
