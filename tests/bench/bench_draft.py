"""What drafts recover of taught classes, and what they invent: on eight seeds by which nothing in the program was set.

python tests/bench/bench_draft.py [SEED ...]
"""

import sys
from pathlib import Path

sys.path += [str(Path(__file__).parents[1] / folder) for folder in ("draft", "review", "")]
from taught import GARBLED, LIGHT
from test_draft_figures import figures

SEEDS = tuple(range(41, 49))


def main() -> None:
    seeds = tuple(map(int, sys.argv[1:])) or SEEDS
    for noise in (LIGHT, GARBLED):
        found = figures(noise, 5_000, seeds)
        print(f"{noise.name}: never named, and drafted: {', '.join(found.invented) or 'nothing'}\n")


if __name__ == "__main__":
    main()
