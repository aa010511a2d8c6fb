"""What `guide --help` costs over importing click alone: medians of processor time over runs taken in turns.

python tests/bench/bench_help.py
"""

import os
import resource
import statistics
import subprocess
import sys

RUNS = 15


def cpu_s(command: list[str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, capture_output=True, env=dict(os.environ))
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime + after.ru_stime) - (before.ru_utime + before.ru_stime)


def main() -> None:
    click = [sys.executable, "-c", "import click"]
    guide = [sys.executable, "-m", "guide", "--help"]
    pairs = [(cpu_s(click), cpu_s(guide)) for _ in range(RUNS)]
    alone, helped = (statistics.median(pair[side] for pair in pairs) for side in (0, 1))
    print(
        f"import click {alone * 1000:.0f} ms, guide --help {helped * 1000:.0f} ms of processor time: "
        f"{(helped - alone) * 1000:.0f} ms more"
    )


if __name__ == "__main__":
    main()
