"""Files broken at random: the reader tells what is wrong or gives a class, and never fails on its own."""

import os
import subprocess
from pathlib import Path

import pytest
from class_texts import expand
from examples import some
from fuzzing import fuzzed

from guide.problem import FaultyFile
from guide.sequence.reader import Read, look

HERE = Path(__file__).parent


def check(seed: int) -> Read:
    """Read the file of `seed`, and hold the reader to all it promises about any file."""
    text = fuzzed(seed)
    made = look(text, "class.yaml", HERE)
    whole = text.decode("utf-8", "replace") if isinstance(text, bytes) else text
    last = len(whole.replace("\r\n", "\n").replace("\r", "\n").split("\n"))
    for problem in made.problems:
        assert problem.what
        assert problem.place.line >= 1
        assert problem.place.column >= 1
        assert problem.place.file != "class.yaml" or problem.place.line <= last
        problem.shown().encode("utf-8", "surrogatepass")
    assert list(made.problems) == sorted(made.problems)
    if made.class_file is not None and not made.problems:
        try:
            expand(made.class_file)
        except FaultyFile as error:
            assert error.problems
    return made


def run(seeds: range) -> tuple[int, int]:
    """How many files were read, and how many of them were classes."""
    good = 0
    for seed in seeds:
        try:
            good += not check(seed).problems
        except Exception as error:
            raise AssertionError(f"file {seed} of the fuzzer: {fuzzed(seed)!r}") from error
    return len(seeds), good


def test_hundreds_of_files_leave_no_traceback() -> None:
    files = some(2_000)
    read, good = run(range(files))
    assert (read, good > files // 100) == (files, True)


#: So many files, in parts that may run side by side; as every commit has others, they are many more in time.
PARTS, FILES = 20, int(os.environ.get("FUZZ_FILES", "20_000")) // 20


def commit() -> str:
    """The commit that gives the numbers of the files: the one checked out, or the one that `FUZZ_COMMIT` names."""
    named = os.environ.get("FUZZ_COMMIT", "HEAD")
    # The clone may belong to another person than the one who runs the check.
    asked = ["git", "-c", "safe.directory=*", "rev-parse", "--verify", f"{named}^{{commit}}"]
    return subprocess.run(asked, cwd=HERE, capture_output=True, text=True, check=True).stdout.strip()


@pytest.mark.slow
@pytest.mark.parametrize("part", range(PARTS))
def test_many_files_leave_no_traceback(part: int) -> None:
    """Other files at every commit; those of one commit again with `FUZZ_COMMIT`."""
    made_from = commit()
    print(f"\nfuzzed sequence files, part {part} of FUZZ_COMMIT={made_from}")
    first = (int(made_from, 16) * PARTS + part) * FILES
    read, good = run(range(first, first + FILES))
    print(f"{read:,} read, no traceback; {good:,} of them were good classes")
    assert (read, good > FILES // 100) == (FILES, True)
