"""A process that has imported all that writing needs, and for each line that it reads has a copy of itself write.

The line is the work of the copy, as JSON: `["versions", PATH]` writes two versions of a file in turn, for ever, with a
dot for each block that is handed over; `["guide", WORD, ...]` is one run of the command, with a dot at its end. The
next line kills the copy, whatever it says, and is answered by a line break and the code with which the copy ended. What
stands on the command line of the process is run by `guide` once at first, so that a copy has all of it imported too.
"""

import json
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import redirect_stdout
from dataclasses import replace
from pathlib import Path

import numpy as np
from export_samples import blocks, lakeside, murmur
from numpy.typing import NDArray

from guide.cli import main
from guide.export.audio import AUDIO, write_audio
from guide.export.registry import write
from guide.export.replacing import Replace
from guide.export.tags import Tags

SOUNDS = [murmur(30_000, seed) for seed in (0, 1)]


def dotted(sound: NDArray[np.float32]) -> Iterator[NDArray[np.float32]]:
    for block in blocks(sound):
        os.write(1, b".")
        yield block


def write_version(target: Path, version: int) -> None:
    title = f"version {version}"
    if target.suffix in AUDIO:
        write_audio(target, dotted(SOUNDS[version]), Tags(title))
    else:
        os.write(1, b"..")
        write(replace(lakeside(), title=title), target, replace=Replace.ANY)


def run(words: list[str]) -> None:
    with Path(os.devnull).open("w") as nowhere, redirect_stdout(nowhere):
        main(words, standalone_mode=False)


def work(kind: str, *words: str) -> None:
    if kind == "guide":
        run([*words])
        os.write(1, b".")
    while kind == "versions":
        for version in (0, 1):
            write_version(Path(words[0]), version)


def answer(orders: Iterator[str]) -> None:
    for order in orders:
        copy = os.fork()
        if copy == 0:
            try:
                work(*json.loads(order))
                os._exit(0)
            finally:
                os._exit(1)
        next(orders)
        os.kill(copy, signal.SIGKILL)
        _, status = os.waitpid(copy, 0)
        os.write(1, f"\n{os.waitstatus_to_exitcode(status)}\n".encode())


if __name__ == "__main__":
    if sys.argv[1:]:
        run(sys.argv[1:])
    answer(iter(sys.stdin))
