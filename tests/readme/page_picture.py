"""Makes the README's pictures of a class, and of one that was taught beside its plan, as commands draw them.

python tests/readme/page_picture.py
"""

from pathlib import Path

from guide.export.comparison_page.picture import picture
from guide.export.picture.drawn import picture_svg
from guide.export.picture.measures import BROAD
from guide.export.picture.seen import seen
from guide.figures.svg import Paper
from guide.plan.advice.estimated_plan import estimated_view
from guide.plan.estimate import EstimatedLengths
from guide.ready.choices import USUAL_RATE, VoiceChoice
from guide.ready.load import load
from guide.ready.make_ready import OpenClass
from guide.review.by_words import compare_captions
from guide.review.captions.transcript import read
from guide.sequence.expand import library_of

HERE = Path(__file__).parent
CLASS = HERE.parents[1] / "sequences" / "starter.yaml"
PICTURE = HERE / "pictures" / "compared.svg"
WHOLE_CLASS = HERE.parents[1] / "sequences" / "lakeside-morning.yaml"
CLASS_PICTURE = HERE / "pictures" / "class.svg"


def drawn() -> str:
    """The picture of the README's own example: the starter class, and the captions of it as it was taught."""
    opened = OpenClass.of(load(CLASS), VoiceChoice(), None)
    steps, timeline = opened.planned(EstimatedLengths(opened.settings.rate))
    return picture(compare_captions(steps, timeline, read(HERE / "taught.vtt")))


def class_drawn() -> str:
    """The picture of a shipped class."""
    loaded = load(WHOLE_CLASS)
    class_file, steps = loaded.whole()
    view = estimated_view(class_file, steps, library_of(class_file), USUAL_RATE)
    return picture_svg(seen(view), BROAD, Paper.LIGHT)


if __name__ == "__main__":
    PICTURE.write_text(drawn(), encoding="utf-8", newline="\n")
    CLASS_PICTURE.write_text(class_drawn(), encoding="utf-8", newline="\n")
