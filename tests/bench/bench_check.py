"""How long it takes to check sequence files: CPU of reading and expanding the shipped classes again and again.

python tests/bench/bench_check.py
"""

import time
from pathlib import Path

from guide.sequence import source
from guide.sequence.expand import unroll
from guide.sequence.model import ClassFile
from guide.sequence.reader import read_text
from guide.sequence.shipped_folder import shipped_folder

RUNS = 10


def read(path: Path) -> ClassFile:
    return read_text(source.from_file(path), str(path), path.parent)


def main() -> None:
    paths = sorted(shipped_folder().glob("*.yaml"))
    lines = sum(path.read_text("utf-8").count("\n") for path in paths)
    for path in paths:
        read(path)
    started = time.process_time()
    for _ in range(RUNS):
        for path in paths:
            read(path)
    reading_ms = (time.process_time() - started) * 1000 / RUNS
    sequences = [read(path) for path in paths]
    started = time.process_time()
    for class_file in sequences:
        unroll(class_file)
    expanding_ms = (time.process_time() - started) * 1000
    each_ms = (reading_ms + expanding_ms) / len(paths)
    print(f"{len(paths)} classes of {lines // len(paths)} lines: {reading_ms / len(paths):.1f} ms to read one,")
    print(f"{expanding_ms / len(paths):.1f} ms to expand one; 1,000 such files in {each_ms:.1f} s of CPU")
    print(f"a class of 150 lines: {reading_ms * 150 / lines:.1f} ms to read")


if __name__ == "__main__":
    main()
