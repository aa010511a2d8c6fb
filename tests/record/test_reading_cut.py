"""A short reading, spoken by another synthetic voice in a room with noise, is cut into its lines by what hears them."""

from pathlib import Path

import pytest
import soundfile
from read_aloud import CLEAN, RATE_HZ, Heard, read_aloud
from readings_heard import LINES, as_lines

from guide.record.cutting import AFTER_MS, BEFORE_MS, LineCut, cut
from guide.review.hearing.heard_words import heard
from guide.review.hearing.recorded_speech import heard_in

pytestmark = pytest.mark.real

#: What is read, and what counts of it.
SAID = [LINES[1], LINES[0], LINES[2], "Again.", LINES[2], LINES[4], "Now let your left", LINES[6]]
COUNTS = {1: 1, 2: 0, 3: 4, 5: 5, 7: 7}

#: A detector of speech may be so far off.
NEAR_MS = 200


def test_a_reading_with_slips_in_a_room_with_noise_is_cut_right(tmp_path: Path) -> None:
    reading = read_aloud(SAID, "espeak", 3, CLEAN, room_s=0.3, noise_db=25)
    path = tmp_path / "reading.flac"
    soundfile.write(path, reading.sound, RATE_HZ)
    stretches, length_ms = heard_in(path)
    cuts = cut(str(path), as_lines(LINES[:7]), stretches, length_ms, heard(path, ()).transcript).cuts
    sure = {one.number: one for one in cuts if not one.doubt}
    assert all(_is_near(one, reading.heard[COUNTS[number]]) for number, one in sure.items()), cuts
    assert set(sure) == set(COUNTS), cuts


def _is_near(one: LineCut, spoken: Heard) -> bool:
    starts_ms, ends_ms = one.start_ms + BEFORE_MS, one.end_ms - AFTER_MS
    return abs(starts_ms - spoken.start_ms) < NEAR_MS and abs(ends_ms - spoken.end_ms) < NEAR_MS
