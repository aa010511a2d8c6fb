"""The ID3v2.3 tag before an MP3: texts, the cover, and the sections as chapters in order of time.

Source: id3.org "ID3 tag version 2.3.0"; "ID3v2 Chapter Frame Addendum" 1.0 (2005).
"""

import struct

from guide.export.cover_image import FRONT_COVER, CoverImage
from guide.export.tags import Tags, one_line
from guide.plan.timeline import Chapter
from guide.problem import UnusableChoice

#: A table of contents counts its children in one byte.
MOST_CHILDREN = 255

#: A tag's size is written in four bytes of seven bits.
MOST_BYTES = (1 << 28) - 1

TOP_LEVEL, ORDERED = 0x02, 0x01
NO_OFFSET = 0xFFFF_FFFF
LATIN, UTF_16 = b"\x00", b"\x01"


def id3_tag(tags: Tags) -> bytes:
    """The whole tag, to stand before the sound; nothing where there is nothing to say, as a tag may not be empty.

    Raises: UnusableChoice for more sections than two levels of contents can hold.
    """
    frames = _texts(tags)
    if tags.cover is not None:
        frames.append(_picture(tags.cover))
    if tags.chapters:
        frames += _contents(len(tags.chapters)) + [_chapter(*pair) for pair in enumerate(tags.chapters)]
    body = b"".join(frames)
    if not body:
        return b""
    return b"ID3\x03\x00\x00" + _seven_bit_size(len(body)) + body


def _texts(tags: Tags) -> list[bytes]:
    year, _, day = tags.date.partition("-")
    texts = {
        b"TIT2": tags.title,
        b"TPE1": tags.by,
        b"TALB": tags.album,
        b"TRCK": tags.track,
        b"TYER": year,
        b"TDAT": day[3:] + day[:2] if len(day) == 5 else "",
        b"TLEN": str(tags.length_ms) if tags.length_ms else "",
        b"TSSE": tags.made_by,
    }
    frames = [_frame(name, _text(text)) for name, text in texts.items() if text]
    if tags.comment:
        frames.append(_frame(b"COMM", _comment(tags.comment)))
    return frames


def _picture(image: CoverImage) -> bytes:
    """The cover, without a description (Source: ID3v2.3.0, 4.15)."""
    return _frame(b"APIC", LATIN + image.media_type.encode() + b"\0" + bytes([FRONT_COVER]) + b"\0" + image.data)


def _contents(count: int) -> list[bytes]:
    """The table of contents; above 255 chapters, a table of tables."""
    chapters = [_chapter_id(number) for number in range(count)]
    if count <= MOST_CHILDREN:
        return [_contents_frame(b"toc", TOP_LEVEL | ORDERED, chapters)]
    groups = [chapters[start : start + MOST_CHILDREN] for start in range(0, count, MOST_CHILDREN)]
    if len(groups) > MOST_CHILDREN:
        raise UnusableChoice(f"the class has {count} sections, more than an .mp3 can list (use fewer sections)")
    names = [b"toc%d" % number for number in range(len(groups))]
    inner = [_contents_frame(name, ORDERED, group) for name, group in zip(names, groups, strict=True)]
    return [_contents_frame(b"toc", TOP_LEVEL | ORDERED, names), *inner]


def _contents_frame(name: bytes, flags: int, children: list[bytes]) -> bytes:
    listed = b"".join(child + b"\0" for child in children)
    return _frame(b"CTOC", name + b"\0" + bytes([flags, len(children)]) + listed)


def _chapter(number: int, chapter: Chapter) -> bytes:
    times = struct.pack(">IIII", chapter.start_ms, chapter.end_ms, NO_OFFSET, NO_OFFSET)
    return _frame(b"CHAP", _chapter_id(number) + b"\0" + times + _frame(b"TIT2", _text(chapter.title)))


def _chapter_id(number: int) -> bytes:
    return b"chp%d" % number


def _comment(text: str) -> bytes:
    """A comment without a description, its language unknown ("und", ISO 639-2)."""
    encoding, end, content = _encoded(text)
    description = b"\xff\xfe" if encoding == UTF_16 else b""
    return encoding + b"und" + description + end + content


def _text(text: str) -> bytes:
    encoding, _, content = _encoded(text)
    return encoding + content


def _encoded(text: str) -> tuple[bytes, bytes, bytes]:
    """The encoding's byte, its end mark, and the text: Latin-1 where that can hold it, else UTF-16."""
    line = one_line(text)
    try:
        return LATIN, b"\0", line.encode("latin-1")
    except UnicodeEncodeError:
        return UTF_16, b"\0\0", b"\xff\xfe" + line.encode("utf-16-le")


def _frame(name: bytes, content: bytes) -> bytes:
    return name + struct.pack(">IH", len(content), 0) + content


def _seven_bit_size(size: int) -> bytes:
    if size > MOST_BYTES:
        raise UnusableChoice("the texts of the class are too long for the tag of an .mp3 (use fewer sections)")
    return bytes((size >> shift) & 0x7F for shift in (21, 14, 7, 0))
