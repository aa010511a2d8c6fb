"""Files made to hurt: each is a problem, in a process of its own that the system stops past its share.

The promise is 2 s and 200 MB a file. The starting of Python is inside the limits.
"""

import resource
import subprocess
import sys
from pathlib import Path

import pytest

HEAD = "title: T\nclass:\n"
#: Just short of the longest file that is read at all.
FULL = 191 * 1024
MB = 1024 * 1024

READ = """
import sys
from pathlib import Path
from guide.sequence.reader import problems
found = problems(Path(sys.argv[1]))
print(len(found))
print(found[0].what)
for problem in found:
    problem.shown().encode()
"""


def full(text: str) -> str:
    return text * (FULL // len(text))


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
    "unknown keys": (HEAD + full("  - pozee: mountain\n"), "does not say what kind of step"),
    "bytes that are no text": (full("ÿ\n").encode("latin-1"), "not UTF-8"),
    "nothing but nulls": ("\0" * FULL, "invisible character"),
    "blocks that call blocks": (
        HEAD + "  - block: b0\nblocks:\n" + "".join(f"  b{n}: [{{block: b{n + 1}}}]\n" for n in range(3000)),
        "stand inside each other more than 20 deep",
    ),
    "poses without end": (
        HEAD + "  - rest: 5 s\nposes:\n" + "".join(f"  lake {n}: x\n" for n in range(12_000)),
        "one value",
    ),
    "numbers without end": (HEAD + f"  - rounds: {'9' * 5000}\n    of: x\n", "`rounds` cannot be"),
}


def limit() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (2, 3))
    resource.setrlimit(resource.RLIMIT_AS, (200 * MB, 200 * MB))


@pytest.mark.parametrize("hurt", HURTFUL)
def test_a_hurtful_file_is_a_problem_within_its_share(tmp_path: Path, hurt: str) -> None:
    text, told = HURTFUL[hurt]
    path = tmp_path / "class.yaml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    done = subprocess.run(
        [sys.executable, "-c", READ, str(path)],
        preexec_fn=limit,
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
        check=False,
    )
    assert done.stderr == ""
    assert done.returncode == 0
    assert told in done.stdout
    assert int(done.stdout.split()[0]) <= 201
