"""The lengths that tests keep of spoken words are there for every shipped class, and are those of the real voice."""

from pathlib import Path

import pytest
from kept_speech import fill, kept_lengths, spoken_anew

from guide.problem import Place
from guide.sound.clip_finish import FINISH
from guide.units import FRAMES_PER_MS
from guide.voice.cache import Cache
from guide.voice.class_clips import ClipMaker, SpeechLine
from guide.voice.natural import NaturalVoice

#: How much longer or shorter the sums of another processor, or of another version of what makes them, may make a clip:
#: 65 ms were seen.
ROOM_MS = 120

#: Of so many lines one is said, evenly from all of them: what differs by the processor differs in all.
ONE_OF = 3


def test_every_word_of_a_shipped_class_has_a_kept_length(cache_of_its_own: Path) -> None:
    fill(cache_of_its_own)
    assert set(spoken_anew()) == set(kept_lengths()), "python tests/kept_speech.py writes them down anew"


@pytest.mark.slow
def test_the_voice_of_this_machine_takes_as_long_as_was_kept(cache_of_its_own: Path) -> None:
    off_frames = {}
    for kept in [*kept_lengths()][::ONE_OF]:
        speaker = ClipMaker(NaturalVoice(), kept.rate, FINISH, Cache(cache_of_its_own))
        made = speaker.made(SpeechLine(kept.said, Place("kept_speech.tsv", 1, 1), kept.said, ""))
        off_frames[kept.said] = made.pcm.size - kept.frames
    few, many = min(off_frames.values()), max(off_frames.values())
    print(f"\n{len(off_frames)} clips as long as was kept, but for {few} to {many} frames")
    assert max(-few, many) <= ROOM_MS * FRAMES_PER_MS, off_frames
