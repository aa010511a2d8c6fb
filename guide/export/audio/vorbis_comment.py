"""Vorbis comments: the tags of FLAC, Ogg Vorbis and Opus, with the sections as chapters."""

import struct
from base64 import b64encode

from guide.export.cover_image import picture_block
from guide.export.tags import Tags, one_line
from guide.problem import UnusableChoice

#: Chapters are numbered 000 to 999 (Source: wiki.xiph.org/Chapter_Extension).
MOST_CHAPTERS = 1000


def vorbis_comment(vendor: bytes, tags: Tags, more: tuple[bytes, ...] = ()) -> bytes:
    """The comment block: the encoder's own `vendor` text, then `NAME=value` lines, with `more` of them.

    Source: xiph.org "Ogg Vorbis I format specification: comment field and header specification".
    """
    lines = [*(line.encode() for line in _lines(tags)), *more]
    parts = [struct.pack("<I", len(vendor)), vendor, struct.pack("<I", len(lines))]
    for line in lines:
        parts += (struct.pack("<I", len(line)), line)
    return b"".join(parts)


def comment_with_cover(vendor: bytes, tags: Tags) -> bytes:
    """The comment block of an Ogg file, which has no other place for the cover.

    Source: wiki.xiph.org/VorbisComment, "METADATA_BLOCK_PICTURE".
    """
    if tags.cover is None:
        return vorbis_comment(vendor, tags)
    return vorbis_comment(vendor, tags, (b"METADATA_BLOCK_PICTURE=" + b64encode(picture_block(tags.cover)),))


def vendor_of(comment: bytes) -> bytes:
    """The vendor text of a comment block."""
    (length,) = struct.unpack_from("<I", comment)
    return comment[4 : 4 + length]


def _lines(tags: Tags) -> list[str]:
    place, _, tracks = tags.track.partition("/")
    texts = {
        "ENCODER": tags.made_by,
        "TITLE": tags.title,
        "ARTIST": tags.by,
        "ALBUM": tags.album,
        "TRACKNUMBER": place,
        "TRACKTOTAL": tracks,
        "DATE": tags.date,
        "COMMENT": tags.comment,
    }
    lines = [f"{name}={one_line(text)}" for name, text in texts.items() if text]
    for number, chapter in enumerate(tags.chapters):
        lines.append(f"CHAPTER{number:03}={_chapter_time(chapter.start_ms)}")
        lines.append(f"CHAPTER{number:03}NAME={one_line(chapter.title)}")
    return lines


def check_chapter_count(tags: Tags) -> None:
    """Raises: UnusableChoice for more sections than chapters can be numbered."""
    if len(tags.chapters) > MOST_CHAPTERS:
        raise UnusableChoice(
            f"the class has {len(tags.chapters)} sections, and this format numbers only {MOST_CHAPTERS} "
            "(write an .mp3, or use fewer sections)"
        )


def _chapter_time(ms: int) -> str:
    seconds, thousandths = divmod(ms, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}.{thousandths:03}"
