"""What plays under a class or a section: a made bed, a sound file, a folder of them, or nothing."""

import re

from guide.sequence.allowed_paths import NotAllowed, inside
from guide.sequence.fields import Field, FileReading, choice, known_fields, listed, nearest, scalar
from guide.sequence.length_text import clipped
from guide.sequence.nodes import Table
from guide.sequence.sound_names import BEDS, is_sound_file
from guide.sequence.steps import BELOW_VOICE_DB, Music

MUSIC_KEYS = ("play", "below voice", "until")

#: Further below the words than this, nothing is heard.
MOST_BELOW_DB = 60

#: What is written for no music.
NO_MUSIC = "none"

_DECIBELS = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,2})?)\s*dB", re.IGNORECASE)


def music(reading: FileReading, field: Field) -> Music | None:
    """What a `music` key asks for; None where it cannot be had, which is noted."""
    if not isinstance(field.node, Table):
        return _played(reading, field)
    found = known_fields(reading, field.node, MUSIC_KEYS, "`music`")
    if "play" not in found:
        reading.fault(
            field.key, "`music` does not say what plays", "add `play: …`, such as `{play: rain, until: rest}`"
        )
        return None
    played = _played(reading, found["play"])
    below_db = _below_db(reading, found["below voice"]) if "below voice" in found else BELOW_VOICE_DB
    until_rest = "until" in found and choice(reading, found["until"], {"rest": True}) is True
    return played and Music(played.source, played.place, below_db, until_rest)


def _played(reading: FileReading, field: Field) -> Music | None:
    text = scalar(reading, field, f"write {listed((*BEDS, NO_MUSIC))}, a sound file or a folder of them")
    if text is None:
        return None
    place = reading.source.place(text.line, text.column)
    if text.value in BEDS or text.value == NO_MUSIC:
        return Music("" if text.value == NO_MUSIC else text.value, place)
    try:
        path = inside(reading.folder, text.value)
        if path.is_dir() and not any(map(is_sound_file, path.iterdir())):
            what = f"there is no sound in the folder `{clipped(text.value)}`"
            reading.fault(text, what, "put WAV, FLAC, MP3, Ogg or M4A files there")
            return None
        return Music(str(path), place)
    except NotAllowed as error:
        near = nearest(text.value, (*BEDS, NO_MUSIC))
        is_name = "." not in text.value and "/" not in text.value
        made = (
            f"what is made is {listed(BEDS)}; or write the path of a sound file or a folder" if is_name else error.fix
        )
        reading.fault(text, error.what, near or made)
    except OSError:
        reading.fault(text, f"`{clipped(text.value)}` may not be read by you", "copy it beside this file")
    return None


def _below_db(reading: FileReading, field: Field) -> float:
    fix = f"write {BELOW_VOICE_DB:g} to {MOST_BELOW_DB} dB, such as `below voice: 24 dB`"
    text = scalar(reading, field, fix)
    if text is None:
        return BELOW_VOICE_DB
    written = _DECIBELS.fullmatch(text.value.strip())
    if written and BELOW_VOICE_DB <= float(written[1]) <= MOST_BELOW_DB:
        return float(written[1])
    what = f"`{field.name}` cannot be `{clipped(text.value)}`"
    if written and float(written[1]) < BELOW_VOICE_DB:
        what = f"music {clipped(text.value)} below the voice makes the words hard to understand"
    reading.fault(text, what, fix)
    return BELOW_VOICE_DB
