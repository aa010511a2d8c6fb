"""What a sound file says about itself."""

import re
from dataclasses import dataclass

from guide.export.cover_image import CoverImage
from guide.plan.timeline import Chapter
from guide.visible import visible

_BREAK = re.compile(r"[\x00-\x1f\x7f\x85\u2028\u2029]+")


@dataclass(frozen=True, slots=True)
class Tags:
    """Title, teacher, date (`YYYY`, `YYYY-MM` or `YYYY-MM-DD`), caution, and the sections with their times.

    `track` is its number in the album and that of all, `2/6`. An empty text is left out. `chapters` are sorted by start
    and do not overlap. `length_ms` is the length of the class as planned, `made_by` the program, in the tag that names
    the encoder, `cover` a picture, None where there is none.
    """

    title: str
    by: str = ""
    date: str = ""
    comment: str = ""
    album: str = ""
    chapters: tuple[Chapter, ...] = ()
    length_ms: int = 0
    made_by: str = ""
    track: str = ""
    cover: CoverImage | None = None


def one_line(text: str) -> str:
    """`text` with every line break and control character made a space: what a tag can hold."""
    return visible(_BREAK.sub(" ", text).strip())
