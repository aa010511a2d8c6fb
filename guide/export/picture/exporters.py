"""The picture of a class as a file, SVG or PNG, broad or square, on light or on dark paper."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from guide.export.picture.drawn import picture_png, picture_svg
from guide.export.picture.measures import BROAD, COVER, PictureMeasures
from guide.export.picture.seen import seen
from guide.export.seal import REMARK, sealed_png, whose_png
from guide.figures.svg import Paper
from guide.ready.advise import view_of
from guide.ready.make_ready import ReadyClass
from guide.voice.class_clips import Progress

#: How wide a PNG is, in dots: sharp on a screen of twice the usual; of a cover, as players show them largest.
BROAD_DOTS, COVER_DOTS = 2400, 800


@dataclass(frozen=True, slots=True)
class SvgExporter:
    """The picture as SVG, which is as sharp at any size."""

    size: PictureMeasures = BROAD
    paper: Paper = Paper.LIGHT
    name: str = "the class as a picture, SVG"
    subject: type[Any] = ReadyClass

    def write(self, part: Path, subject: ReadyClass, progress: Progress | None) -> str:
        part.write_bytes(REMARK.put(picture_svg(seen(view_of(subject)), self.size, self.paper)).encode())
        return ""

    def whose(self, path: Path) -> str:
        return REMARK.whose(path)


@dataclass(frozen=True, slots=True)
class PngExporter:
    """The picture as PNG. Raises MachineTrouble where what draws it is missing."""

    size: PictureMeasures = BROAD
    paper: Paper = Paper.LIGHT
    name: str = "the class as a picture, PNG"
    subject: type[Any] = ReadyClass

    def write(self, part: Path, subject: ReadyClass, progress: Progress | None) -> str:
        dots = BROAD_DOTS if self.size is BROAD else COVER_DOTS
        part.write_bytes(sealed_png(picture_png(picture_svg(seen(view_of(subject)), self.size, self.paper), dots)))
        return ""

    def whose(self, path: Path) -> str:
        return whose_png(path)


#: What draws a picture, by the ending of its name.
PICTURES: Mapping[str, type[SvgExporter] | type[PngExporter]] = {".svg": SvgExporter, ".png": PngExporter}


def cover_png(ready: ReadyClass) -> bytes:
    """The cover of a track: the class as a square picture, as PNG. Raises MachineTrouble."""
    return picture_png(picture_svg(seen(view_of(ready)), COVER, Paper.LIGHT), COVER_DOTS)
