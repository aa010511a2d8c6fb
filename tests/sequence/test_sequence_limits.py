"""Files made to hurt: each is a problem, told in hardly more time than an ordinary file of that length is read in.

The promise is twice the processor time of an ordinary file, which is held as three times, and 200 MB. Each file is read
in a process of its own, in one run; the far limit stops what would never end.
"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from examples import FULL
from rows import each_row

from guide.sequence.shipped_folder import shipped_folder
from guide.sequence.source import MOST_PROBLEMS

HEAD = "title: T\nclass:\n"
#: Just short of the longest file that is read at all.
LENGTH = 191 * 1024
MB = 1024 * 1024

#: How much longer than an ordinary file one may take at the most.
MOST_TIMES = 3

#: Reads each file in a process of its own that knows the reader already, and tells what came of it and what it took.
READ = """
import json, os, resource, sys
from pathlib import Path
from guide.sequence import source
from guide.sequence.reader import look

def told(path):
    found = look(source.from_file(path), str(path), path.parent).problems
    for problem in found:
        problem.shown().encode()
    return [len(found), found[0].what if found else ""]

told(Path(sys.argv[1]))
for path in sys.argv[2:]:
    ours, theirs = os.pipe()
    child = os.fork()
    if not child:
        resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
        resource.setrlimit(resource.RLIMIT_AS, (200 << 20, 200 << 20))
        os.write(theirs, json.dumps(told(Path(path))).encode())
        os._exit(0)
    os.close(theirs)
    with open(ours, "rb") as answer:
        heard = answer.read()
    _, status, used = os.wait4(child, 0)
    print(json.dumps([status, used.ru_utime + used.ru_stime, *(json.loads(heard) if heard else [])]))
"""


def full(text: str) -> str:
    return text * (LENGTH // len(text))


HURTFUL = {
    "ten megabytes": ("a" * 10 * MB, "the file is longer than"),
    "a thousand brackets": (HEAD + "  - " + "[" * 1000, "nested more than 40 deep"),
    "a thousand braces": ("{a: " * 1000, "nested more than 40 deep"),
    "a hundred thousand dashes": (full("- "), "nested more than 40 deep"),
    "steps to the right": ("".join(" " * depth + "a:\n" for depth in range(600)), "nested more than 40 deep"),
    "aliases of aliases": (
        "a: &a [x, x]\n" + "".join(f"b{n}: &b{n} [*{'a' if not n else f'b{n - 1}'}, *a]\n" for n in range(6000)),
        "is an anchor of YAML",
    ),
    "commas in deep braces": ("{" * 39 + full("a,"), "too many keys"),
    "colons in brackets": ("[" + full("a: b, "), "too many keys"),
    "the same key again and again": (full("a: b\n"), "too many keys"),
    "one long word": (HEAD + "  - say: " + full("a b "), "letters"),
    "a quote without end": (HEAD + '  - say: "' + full("a b "), "is never closed"),
    "broken lines": (HEAD + full("  - say: [a] b\n"), "cannot begin with"),
    "quotes opened and opened": (HEAD + full('  - say: "a\n'), "the quote that opens here"),
    "tabs": (HEAD + full("\t- pose: mountain\n"), "a tab stands in front"),
    "too many keys": (HEAD + full("  - pozee: mountain\n"), "too many keys"),
    "unknown keys": (
        HEAD + full("  - pozee: the mountain that stands behind the lake, its head in the clouds\n"),
        "does not say what kind of step",
    ),
    "bytes that are no text": (full("ÿ\n").encode("latin-1"), "not UTF-8"),
    "nothing but nulls": ("\0" * LENGTH, "this is not a text file"),
    "blocks that call blocks": (
        HEAD + "  - block: b0\nblocks:\n" + "".join(f"  b{n}: [{{block: b{n + 1}}}]\n" for n in range(1900)),
        "stand inside each other more than 20 deep",
    ),
    "poses without end": (
        HEAD + "  - rest: 5 s\nposes:\n" + "".join(f"  lake {n}: x\n" for n in range(5000)),
        "one value",
    ),
    "numbers without end": (HEAD + f"  - rounds: {'9' * 5000}\n    of: x\n", "`rounds` cannot be"),
}

#: All of them in a full check, and every third by default.
TRIED = dict(list(HURTFUL.items())[:: 1 if FULL else 3])


def ordinary() -> str:
    """A class of that length as people write them: the steps of a shipped one again and again."""
    head, class_key, steps = (
        (shipped_folder() / "evening-lake.yaml").read_text(encoding="utf-8").partition("\nclass:\n")
    )
    return head + class_key + full(steps)


@pytest.fixture(scope="module")
def outcomes(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Any]]:
    """Of each file: how its process ended, the processor time it took, the number of problems, and the first."""
    texts = {"ordinary": ordinary()} | {name: text for name, (text, _) in TRIED.items()}
    folder = tmp_path_factory.mktemp("hurtful")
    paths = [folder / f"{number}.yaml" for number in range(len(texts))]
    for path, text in zip(paths, texts.values(), strict=True):
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
    # The first is read twice: before the others, so that they find the reader at hand, and for its time.
    command = [sys.executable, "-c", READ, *map(str, [paths[0], *paths])]
    done = subprocess.run(command, capture_output=True, text=True, cwd=Path(__file__).parents[2], check=False)
    assert (done.stderr, done.returncode) == ("", 0)
    return dict(zip(texts, map(json.loads, done.stdout.splitlines()), strict=True))


def test_an_ordinary_file_of_that_length_is_read_whole(outcomes: dict[str, list[Any]]) -> None:
    assert outcomes["ordinary"][2:] == [0, ""]


@each_row("hurt, told", [(name, told) for name, (_, told) in TRIED.items()])
def test_a_hurtful_file_is_a_problem_within_its_share(outcomes: dict[str, list[Any]], hurt: str, told: str) -> None:
    status, used_s, count, first = outcomes[hurt]
    assert status == 0
    assert told in first
    assert count <= MOST_PROBLEMS + 1
    assert used_s <= MOST_TIMES * outcomes["ordinary"][1]
