"""What a user waits for, as whole processes: rendering beside encoding alone, checking, planning, and hearing an edit.

    python tests/bench/bench_waiting.py [render check plan hear] [--rounds 3] [--formats mp3 opus m4a flac]
        [--beside FOLDER]

The class is the shipped morning class twice, stretched to an hour, with its words already spoken. `render` is the
command, from its start to its end, beside a process that only encodes the same finished samples, which lie in a file,
by one encoder; `hear` is `guide play FILE --from LINE` after that line was changed, from the start of the process to
the first frame of its words handed to the loudspeaker. Runs alternate, and the medians of their ratios count.
`--beside` measures another copy of the program in the same turns. Asserts nothing.
"""

import argparse
import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
CLASS = ROOT / "sequences" / "lakeside-morning.yaml"
SMALL = "title: Small\nclass:\n  - pose: mountain\n    hold: 1 breath\n    say: none\n"
#: The first words of a step that no bell begins.
SAID = "Easy seat, sukhāsana."
EDITED = "Come to an easy seat"


@dataclass(frozen=True, slots=True)
class Cost:
    """What a process took: time on the wall and of the processor, and what it printed."""

    wall_s: float
    cpu_s: float
    printed: str = ""


def hour_text() -> str:
    """The morning class twice over, filling an hour."""
    head, rest = CLASS.read_text("utf-8").split("\nclass:\n")
    body, blocks = rest.split("\nblocks:\n")
    return f"{re.sub('slot: .*', 'slot: 60 min', head)}\nclass:\n{body}\n{body}\nblocks:\n{blocks}"


def edited(text: str, turn: int) -> tuple[str, int]:
    """The class with a line in its middle that nobody has heard yet, and the number of that line."""
    place = text.rindex(SAID)
    words = f"{EDITED}, try {time.time_ns() % 100_000}, turn {turn}."
    return f"{text[:place]}{words}{text[place + len(SAID) :]}", text.count("\n", 0, place) + 1


def run(command: list[str], tree: Path) -> Cost:
    # As it is installed: compiled once, and not at every start.
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPATH"] = str(tree)
    before, start_s = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic()
    done = subprocess.run(
        [sys.executable, *command], check=True, capture_output=True, text=True, env=environment, cwd=tree, timeout=1800
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Cost(time.monotonic() - start_s, cpu_s, done.stdout)


def guide(*words: str) -> list[str]:
    return ["-m", "guide", *words]


def child(job: str, *words: str) -> list[str]:
    return [__file__, "--child", job, *words]


def write_samples(file: str, samples: str) -> None:
    """The finished sound of the class, one channel, into a file."""
    from guide.ready.make_ready import make_ready
    from guide.sound.mixer import BLOCK_FRAMES, centre, prepare

    ready = make_ready(file)
    mix = prepare(ready.timeline, ready.spoken, ready.palette)
    with Path(samples).open("wb") as out:
        for first in range(0, mix.length_frames, BLOCK_FRAMES):
            out.write(centre(mix, first, min(BLOCK_FRAMES, mix.length_frames - first)).tobytes())


class OneEncoder:
    """Instead of `Stretches`: all of the sound by one encoder."""

    def __init__(self, packet_format: Any, emit: Any) -> None:
        self._encoder, self._emit = packet_format.start(0), emit

    def write(self, frames: Any) -> None:
        self._emit(self._encoder.encode(frames))

    def finish(self) -> None:
        self._emit(self._encoder.flush())


def encode(samples: str, target: str) -> None:
    """Encode what lies in the file by one encoder, and no more."""
    import numpy as np

    from guide.export.audio import mp3, opus, write_audio
    from guide.export.tags import Tags

    for module in (mp3, opus):
        vars(module)["Stretches"] = OneEncoder
    sound = np.memmap(samples, np.float32, "r")
    blocks: Iterator[np.ndarray] = (np.array(sound[at : at + 48_000]) for at in range(0, len(sound), 48_000))
    write_audio(Path(target), blocks, Tags("Bench"))


def hear(file: str, line: str) -> None:
    """Play from the line on, and print when its words are first handed out, on the clock of all processes."""
    from guide.cli import main as cli

    def watch() -> None:
        # The player is brought in when the command comes to it, as it is for a user.
        while not hasattr(sys.modules.get("guide.live.player"), "Player"):
            time.sleep(0.005)
        player_class = sys.modules["guide.live.player"].Player
        pull = player_class.pull

        def watched(player: Any, frames: int) -> object:
            position, mix = player.position, player._run.mix
            sound = pull(player, frames)
            for cue in mix.cues:
                if position <= cue.start < player.position and cue.words.startswith(EDITED):
                    print(f"\nheard {time.monotonic()}\n", flush=True)
                    os._exit(0)
            return sound

        player_class.pull = watched

    threading.Thread(target=watch, daemon=True).start()
    cli(["play", file, "--from", line, "--output", "silent", "--plain"])


def show(name: str, trees: list[Path], runs: list[list[float]], unit: str = " s") -> None:
    """The median of each copy, and the median of the ratios of pairs."""
    medians = [statistics.median(column) for column in zip(*runs, strict=True)]
    line = ", ".join(f"{median:.2f}{unit}" for median in medians)
    if len(trees) > 1:
        ratio = statistics.median(one[0] / one[1] for one in runs)
        line += f" beside it: {ratio:.2f}"
    print(f"{name}: {line}", flush=True)


def measure_commands(name: str, command: list[str], trees: list[Path], rounds: int) -> None:
    for tree in trees:
        run(command, tree)
    costs = [[run(command, tree) for tree in trees] for _ in range(rounds)]
    show(name, trees, [[cost.wall_s for cost in turn] for turn in costs])
    show(f"{name}, processor", trees, [[cost.cpu_s for cost in turn] for turn in costs])


def measure_render(hour: Path, suffix: str, trees: list[Path], rounds: int) -> None:
    samples, target = hour.with_name("hour.f32"), hour.with_name(f"track.{suffix}")
    if not samples.exists():
        run(child("samples", str(hour), str(samples)), trees[0])
    render = guide("render", str(hour), "-o", str(target), "--captions", "none")
    turns = []
    for _ in range(rounds):
        alone = run(child("encode", str(samples), str(target.with_name(f"alone.{suffix}"))), trees[-1])
        turns.append((alone, [run(render, tree) for tree in trees]))
    wall_s, cpu_s = (statistics.median(costs) for costs in zip(*((a.wall_s, a.cpu_s) for a, _ in turns), strict=True))
    print(f"{suffix}: encoding alone {wall_s:.2f} s, processor {cpu_s:.2f} s; rendering ÷ alone in each turn: ", end="")
    print(", ".join(f"{costs[0].wall_s / alone.wall_s:.2f}" for alone, costs in turns))
    show(f"{suffix}: rendering", trees, [[cost.wall_s for cost in costs] for _, costs in turns])
    show(f"{suffix}: ÷ alone", trees, [[cost.wall_s / alone.wall_s for cost in costs] for alone, costs in turns], "")
    show(
        f"{suffix}: ÷ alone, processor",
        trees,
        [[cost.cpu_s / alone.cpu_s for cost in costs] for alone, costs in turns],
        "",
    )


def measure_hearing(hour: Path, trees: list[Path], rounds: int) -> None:
    text, runs = hour.read_text("utf-8"), []
    for turn in range(rounds):
        taken = []
        for tree in trees:
            changed, line = edited(text, turn)
            file = hour.with_name("edited.yaml")
            file.write_text(changed, "utf-8")
            start_s = time.monotonic()
            printed = run(child("hear", str(file), str(line)), tree).printed
            taken.append(float(re.findall(r"^heard (.+)$", printed, re.MULTILINE)[0]) - start_s)
        runs.append(taken)
    show("from an edit to its words", trees, runs)


def main() -> None:
    arguments = argparse.ArgumentParser()
    arguments.add_argument("what", nargs="*", default=["render", "check", "plan", "hear"])
    arguments.add_argument("--rounds", type=int, default=3)
    arguments.add_argument("--formats", nargs="+", default=["mp3", "opus", "m4a", "flac"])
    arguments.add_argument("--beside", type=Path)
    arguments.add_argument("--child", nargs=argparse.REMAINDER)
    asked = arguments.parse_args()
    if asked.child:
        job, *words = asked.child
        {"samples": write_samples, "encode": encode, "hear": hear}[job](*words)
        return
    trees = [ROOT, *([asked.beside.resolve()] if asked.beside else [])]
    with tempfile.TemporaryDirectory() as name:
        hour, small = Path(name) / "hour.yaml", Path(name) / "small.yaml"
        hour.write_text(hour_text(), "utf-8")
        small.write_text(SMALL, "utf-8")
        for tree in trees:
            run(guide("plan", str(hour)), tree)
        if "check" in asked.what:
            measure_commands("checking a small class", guide("check", str(small)), trees, 5 * asked.rounds)
        if "plan" in asked.what:
            measure_commands("planning an hour", guide("plan", str(hour)), trees, 3 * asked.rounds)
            measure_commands("planning the morning class", guide("plan", str(CLASS)), trees, 3 * asked.rounds)
        if "hear" in asked.what:
            measure_hearing(hour, trees, 3 * asked.rounds)
        if "render" in asked.what:
            for suffix in asked.formats:
                measure_render(hour, suffix, trees, asked.rounds)


if __name__ == "__main__":
    main()
