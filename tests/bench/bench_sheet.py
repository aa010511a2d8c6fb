"""Processor time of a sheet of a class of 90 minutes, words spoken before: the whole process beside `guide plan`, and
its parts in a process that has everything in it.

python tests/bench/bench_sheet.py
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1] / "export")]
from sheet_samples import REGATTA, sheet  # noqa: E402 (of the folder beside this)

from guide.export.sheet.html_page import sheet_html  # noqa: E402
from guide.export.sheet.layout import laid_out  # noqa: E402
from guide.export.sheet.pdf import sheet_pdf  # noqa: E402
from guide.export.sheet.svg import sheet_svg  # noqa: E402

RUNS = 3


def process_s(*command: str) -> float:
    """The processor time of a command, the median of some runs after a first one."""
    times = []
    for _ in range(1 + RUNS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-m", "guide", *command], check=True, capture_output=True, env=dict(os.environ))
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return statistics.median(times[1:])


def warm_s(work: Callable[[], object]) -> float:
    """The processor time of a call, the median of some after a first one."""
    times = []
    for _ in range(1 + RUNS):
        begun_s = time.process_time()
        work()
        times.append(time.process_time() - begun_s)
    return statistics.median(times[1:])


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "regatta.yaml"
        path.write_text(REGATTA, encoding="utf-8")
        planned_s = process_s("plan", str(path))
        for ending in ("pdf", "md"):
            sheet_s = process_s("sheet", str(path), "-o", f"{folder}/regatta.{ending}")
            print(f"guide sheet, .{ending}: {sheet_s:.2f} s; guide plan: {planned_s:.2f} s")
    made = sheet("regatta")
    laid = laid_out(made)
    parts = {"laid out": lambda: laid_out(made), "PDF": lambda: sheet_pdf(laid), "SVG": lambda: sheet_svg(laid)}
    for name, work in (parts | {"page": lambda: sheet_html(made)}).items():
        print(f"{name}: {warm_s(work):.2f} s")


if __name__ == "__main__":
    main()
