"""The shipped sounds measured: `python -m guide.sound.shipped_measures_source`, when one of them has changed."""

import json
from base64 import b64encode

from guide.sequence.sound_names import PALETTE_NAMES
from guide.sound.clip_measures import measure
from guide.sound.palette import LONGEST_MS, shipped
from guide.sound.shipped_measures import PREBUILT, digest
from guide.sound.sound_files import read_mono


def prebuilt() -> str:
    """What the file that is shipped is to hold."""
    sounds = [read_mono(shipped(name), LONGEST_MS) for name in sorted(PALETTE_NAMES)]
    kept = {
        digest(samples): b64encode(measure(samples).packed().astype("<f4").tobytes()).decode() for samples in sounds
    }
    return json.dumps(kept, indent=0) + "\n"


if __name__ == "__main__":
    PREBUILT.write_text(prebuilt(), encoding="utf-8")
