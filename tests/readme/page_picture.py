"""Makes the README's picture of a class that was taught, beside its plan, as the page of `guide compare` has it.

python tests/readme/page_picture.py
"""

from pathlib import Path

from guide.cli.prepare import Opened, VoiceChoice
from guide.plan.estimate import EstimatedLengths
from guide.rehearse.by_words import compared
from guide.rehearse.captions.transcript import read
from guide.rehearse.page.picture import picture

HERE = Path(__file__).parent
CLASS = HERE.parents[1] / "sequences" / "starter.yaml"
PICTURE = HERE / "pictures" / "compared.svg"


def drawn() -> str:
    """The picture of the README's own example: the starter class, and the captions of it as it was taught."""
    opened = Opened.of(str(CLASS), VoiceChoice(), None)
    steps, timeline = opened.planned(EstimatedLengths(opened.settings.rate))
    return picture(compared(steps, timeline, read(HERE / "taught.vtt")))


if __name__ == "__main__":
    PICTURE.write_text(drawn(), encoding="utf-8", newline="\n")
