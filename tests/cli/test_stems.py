"""`guide render --stems`: the words, the bells and the music of a track as files of their own, which sum to it."""

from pathlib import Path

import numpy as np
import pytest
import soundfile
from click.testing import CliRunner

from guide.cli import main

CLASS = """\
title: Short
music: {play: rain, until: rest}
library cues: no
say names: no
class:
  - silence: 12 s
  - rest: 6 s
"""


def test_the_parts_of_a_track_stand_beside_it_and_sum_to_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("short.yaml").write_text(CLASS, encoding="utf-8")
    made = CliRunner().invoke(
        main, ["render", "short.yaml", "-o", "short.wav", "--stems", "--captions", "none", "--chimes-level", "-6"]
    )
    assert made.exit_code == 0, made.output
    parts = {name: soundfile.read(f"short.{name}.wav", dtype="int16")[0] for name in ("voice", "bells", "music")}
    whole = soundfile.read("short.wav", dtype="int16")[0].astype(int)
    assert np.abs(sum(part.astype(int) for part in parts.values()) - whole).max() <= 1
    assert not parts["voice"].any() and parts["bells"].any()
    rest = int(14.5 * 48_000)
    assert parts["music"][: rest - 48_000].any() and not parts["music"][rest:].any()


def test_a_file_of_somebody_else_in_the_place_of_a_part_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("short.yaml").write_text(CLASS, encoding="utf-8")
    soundfile.write("short.music.wav", np.zeros(100), 48_000)
    made = CliRunner().invoke(main, ["render", "short.yaml", "-o", "short.wav", "--stems"])
    assert made.exit_code == 2 and "short.music.wav" in made.output
    assert not Path("short.wav").exists()
