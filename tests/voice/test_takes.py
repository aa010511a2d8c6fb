"""Takes: what counts as the same line, what is kept of a recording, and what a kill leaves."""

import os
from contextlib import suppress
from itertools import count
from pathlib import Path

import numpy as np
import pytest
import soundfile
from rows import each_row

from guide.problem import MachineTrouble
from guide.voice.protocol import Unspeakable
from guide.voice.takes import store
from guide.voice.takes.store import Take, Takes, line_key

TONE = np.sin(np.arange(4800) / 20).astype(np.float32) / 4


@each_row(
    "other",
    [
        "lift your LEFT leg",
        "Lift your left leg!",
        "  Lift, your   left – leg…",
        "Lift your\u2003left leg.",
        "Lift your L leg.",
    ],
)
def test_the_same_words_are_the_same_line(other: str) -> None:
    assert line_key(other) == line_key("Lift your left leg.") == "lift your left leg"


@each_row("other", ["Lift your right leg.", "Lift your left leg high.", "Lift left your leg.", "Lift your leftleg."])
def test_other_words_are_another_line(other: str) -> None:
    assert line_key(other) != line_key("Lift your left leg.")


def test_what_is_said_alike_is_one_line_however_it_is_written() -> None:
    assert line_key("Don’t hold for 5 breaths") == line_key("don't hold for five breaths.")
    assert line_key("hip-width") == line_key("hip width")
    assert line_key("🧘") == ""


def test_a_kept_take_is_found_again_by_its_words_in_any_class_of_the_folder(tmp_path: Path) -> None:
    kept = Takes.in_folder(tmp_path).keep("Lift your left leg.", TONE, 48_000)
    assert kept.path.name == "lift-your-left-leg-c220177b.1.flac"
    found = Takes.in_folder(tmp_path).latest("lift your left leg")
    assert found == kept
    samples, rate_hz = found.read()
    assert rate_hz == 48_000
    np.testing.assert_allclose(samples, TONE, atol=2**-23)
    assert Takes.in_folder(tmp_path).latest("Lift your right leg.") is None


def test_a_newer_take_gets_the_next_number_and_the_older_one_stays_as_it_was(tmp_path: Path) -> None:
    takes = Takes.in_folder(tmp_path)
    first = takes.keep("Breathe in.", TONE, 48_000)
    before = first.path.read_bytes()
    # Another program kept one meanwhile: that stays too.
    Takes.in_folder(tmp_path).keep("Breathe in!", TONE / 4, 48_000)
    third = takes.keep("breathe in", TONE / 2, 48_000)
    assert (first.number, third.number) == (1, 3)
    assert first.path.read_bytes() == before
    assert Takes.in_folder(tmp_path).latest("Breathe in.") == third == takes.latest("Breathe in.")


def test_a_take_counts_by_its_tag_whatever_its_file_is_called(tmp_path: Path) -> None:
    kept = Takes.in_folder(tmp_path).keep("Breathe in.", TONE, 48_000)
    kept.path.rename(kept.path.with_name("my own.flac"))
    found = Takes.in_folder(tmp_path).latest("Breathe in.")
    assert found is not None
    assert found.path.name == "my own.flac"


def test_another_rate_is_brought_to_48_khz_with_the_same_length(tmp_path: Path) -> None:
    samples, rate_hz = Takes.in_folder(tmp_path).keep("Breathe in.", TONE[:1600], 16_000).read()
    assert (samples.size, rate_hz) == (4800, 48_000)


def test_what_is_no_take_in_the_folder_is_left_out(tmp_path: Path) -> None:
    folder = tmp_path / "takes"
    folder.mkdir()
    (folder / "empty.1.flac").touch()
    (folder / "text.flac").write_text("Breathe in.", encoding="utf-8")
    (folder / "notes.txt").write_text("Breathe in.", encoding="utf-8")
    soundfile.write(folder / "no-words.flac", TONE, 48_000)
    (folder / "folder.flac").mkdir()
    assert Takes.in_folder(tmp_path).latest("Breathe in.") is None


def test_a_take_that_is_cut_off_says_which_file_and_what_to_do(tmp_path: Path) -> None:
    noise = np.random.default_rng(0).normal(0, 0.1, 48_000).astype(np.float32)
    take = Takes.in_folder(tmp_path).keep("Breathe in.", noise, 48_000)
    take.path.write_bytes(take.path.read_bytes()[:20_000])
    for found in (Takes.in_folder(tmp_path).latest("Breathe in."), Take(tmp_path / "gone.flac", "", 1)):
        assert found is not None
        with pytest.raises(Unspeakable) as caught:
            found.read()
        assert str(caught.value) == (
            f"the take {found.path} cannot be read to its end "
            "(record the line again, or take the file away for the take before it)"
        )


def test_words_that_are_none_and_sound_that_is_none_are_refused(tmp_path: Path) -> None:
    for text, samples in (("🧘", TONE), ("In.", TONE.reshape(2, -1)), ("In.", TONE * np.float32(np.nan))):
        with pytest.raises(ValueError, match="a take has words"):
            Takes.in_folder(tmp_path).keep(text, samples, 48_000)


def test_a_folder_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    (tmp_path / "takes").write_text("a file", encoding="utf-8")
    with pytest.raises(MachineTrouble, match="the take could not be kept"):
        Takes.in_folder(tmp_path).keep("Breathe in.", TONE, 48_000)


class Killed(BaseException):
    """What stands for a kill: nothing after it is done."""


def test_at_whatever_call_it_is_killed_every_kept_take_is_still_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each call to the system by which a take reaches the disk is once the last that is made."""
    for last in count():
        folder, calls = tmp_path / str(last), count()
        takes = Takes.in_folder(folder)
        kept = {f"Line {number}.": takes.keep(f"Line {number}.", TONE, 48_000) for number in range(3)}

        def call(real: object, calls: "count[int]" = calls, last: int = last) -> object:
            def made(*args: object, **named: object) -> object:
                if next(calls) >= last:
                    raise Killed
                assert callable(real)
                return real(*args, **named)

            return made

        with monkeypatch.context() as patched:
            for place, name in ((os, "open"), (os, "fsync"), (store.secrets, "token_hex"), (soundfile, "SoundFile")):
                patched.setattr(place, name, call(getattr(place, name)))
            for name in ("replace", "unlink", "mkdir"):
                patched.setattr(Path, name, call(getattr(Path, name)))
            with suppress(Killed):
                kept["Line 1."] = takes.keep("Line 1.", TONE, 48_000)
        for words, take in kept.items():
            found = Takes.in_folder(folder).latest(words)
            assert found == take
            assert found.read()[0].size == TONE.size
        if kept["Line 1."].number == 2:
            break
    assert last >= 6
