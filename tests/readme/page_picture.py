"""Makes the README's picture of a class that was taught, beside its plan, as the page of `guide compare` has it.

python tests/readme/page_picture.py
"""

from pathlib import Path

from guide.export.comparison_page.picture import picture
from guide.plan.estimate import EstimatedLengths
from guide.ready.choices import VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass
from guide.review.by_words import compare_captions
from guide.review.captions.transcript import read

HERE = Path(__file__).parent
CLASS = HERE.parents[1] / "sequences" / "starter.yaml"
PICTURE = HERE / "pictures" / "compared.svg"


def drawn() -> str:
    """The picture of the README's own example: the starter class, and the captions of it as it was taught."""
    opened = OpenClass.of(load(CLASS), VoiceChoice(), None)
    steps, timeline = opened.planned(EstimatedLengths(opened.settings.rate))
    return picture(compare_captions(steps, timeline, read(HERE / "taught.vtt")))


if __name__ == "__main__":
    PICTURE.write_text(drawn(), encoding="utf-8", newline="\n")
