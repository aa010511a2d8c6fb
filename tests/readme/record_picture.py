"""Makes the README's picture of a line that is recorded: the screen of `guide record`, with a voice made from numbers.

python tests/readme/record_picture.py
"""

import sys
import tempfile
from pathlib import Path
from unittest.mock import patch

from rich.text import Text

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PICTURE = HERE / "pictures" / "recorded.svg"

sys.path[:0] = [str(HERE), str(ROOT / "tests")]
import screen_picture  # noqa: E402 (of this folder)
from take_sounds import recorded, spoken  # noqa: E402 (of the folder above)

from guide.live import steady_clock  # noqa: E402
from guide.live.screen.app import INKS  # noqa: E402
from guide.live.screen.drawing import drawn as drawn_rows  # noqa: E402
from guide.live.screen.rows import Day, Room, Row  # noqa: E402
from guide.ready.choices import VoiceChoice  # noqa: E402
from guide.ready.load import load  # noqa: E402
from guide.ready.make_ready import OpenClass  # noqa: E402
from guide.record.lines import reading_lines  # noqa: E402
from guide.record.recording import Recording  # noqa: E402
from guide.record.session import COUNT_MS, COUNTED_FROM, Ask, begun  # noqa: E402
from guide.units import RATE_HZ  # noqa: E402
from guide.voice.takes.store import Takes  # noqa: E402

#: So many lines have takes, and the next is under way for so long.
KEPT, HEARD_MS = 6, 2400


class NoLoudspeaker:
    """Nothing is played."""

    source = None

    def open(self) -> None:
        """Nothing to do."""

    def keep(self) -> str:
        return ""


def shown() -> tuple[Row, ...]:
    """The screen while the seventh line of the class for starters is read."""
    opened = OpenClass.of(load(ROOT / "sequences" / "starter.yaml"), VoiceChoice(), None)
    lines, now_s = reading_lines(opened), 0.0
    session = begun(lines, frozenset(line.key for line in lines[:KEPT]))
    with tempfile.TemporaryDirectory() as folder, patch.object(steady_clock, "now_s", lambda: now_s):
        recording = Recording(opened.class_file.title, session, Takes.in_folder(Path(folder)), NoLoudspeaker())
        recording.ask(Ask.GO)
        now_s += COUNTED_FROM * COUNT_MS / 1000
        recording.tick()
        voice = recorded(spoken(4000), noise_db=40)[: HEARD_MS * RATE_HZ // 1000]
        recording.hear((voice * 32767).astype("<i2").tobytes())
        return drawn_rows(recording.scene(), Day("09:00", "09:00"), Room(80, 24))


def drawn() -> str:
    """The same as SVG."""
    rows = [Text.assemble(*((run.text, INKS[run.ink]) for run in row)) for row in shown()]
    return screen_picture.drawn(Text("\n").join(rows))


if __name__ == "__main__":
    PICTURE.write_text(drawn(), encoding="utf-8", newline="\n")
