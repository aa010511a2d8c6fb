"""What a class says about itself above its steps: title, slot, pace, bells, sounds, voice, pronunciation."""

import re
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from guide.problem import Place
from guide.sequence import length_text
from guide.sequence.allowed_paths import NotAllowed, below
from guide.sequence.counting import counting
from guide.sequence.entry_parts import BREATH_WORDS, lead_ms, let_be
from guide.sequence.fields import (
    Field,
    FileReading,
    checked_words,
    choice,
    choices,
    decimal,
    fields,
    heading,
    kind,
    known_fields,
    nearest,
    scalar,
    time_ms,
    title,
    yes_no,
)
from guide.sequence.length_text import clipped
from guide.sequence.model import USUAL_LEAD_MS, BreathWord, ClassFile
from guide.sequence.music import music
from guide.sequence.nodes import Faulty, Table
from guide.sequence.poses.pose import ALSO_CALLED, Condition
from guide.sequence.sound_names import DEFAULT_SOUNDS, PALETTE_NAMES
from guide.sequence.steps import BellWhen
from guide.sequence.styles import STYLES, USUAL
from guide.sequence.written_paces import pace

CLASS_KEYS = (
    "title",
    "class",
    "slot",
    "pace",
    "by",
    "date",
    "about",
    "count",
    "lead",
    "breath word",
    "say breaths",
    "say names",
    "voice",
    "bells",
    "sounds",
    "pronounce",
    "blocks",
    "blocks from",
    "poses",
    "library cues",
    "room tone",
    "for",
    "style",
    "music",
    "let be",
)
BLOCK_FILE_KEYS = ("title", "about", "blocks", "poses")
FOR_KEYS = ("avoid",)
VOICE_KEYS = ("name", "rate")

#: Outside these a voice is no longer understood.
SLOWEST_VOICE, FASTEST_VOICE = 0.5, 2.0

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


#: Which bells ring when the file says nothing.
USUAL_BELLS = {"class": BellWhen.BOTH, "section": BellWhen.START, "step": BellWhen.NONE}


def settings(reading: FileReading, found: Mapping[str, Field], place: Place, folder: Path) -> ClassFile:
    """A class with everything but its steps and blocks; sound files are looked for in `folder`."""
    style_name = (choice(reading, found["style"], {name: name for name in STYLES}) if "style" in found else None) or ""
    style = STYLES.get(style_name, USUAL)
    voice, rate = _voice(reading, found["voice"]) if "voice" in found else (None, None)
    slot = time_ms(reading, found["slot"], 1000, length_text.LONGEST_SLOT_MS) if "slot" in found else None
    lead = lead_ms(reading, found["lead"]) if "lead" in found else None
    word = choice(reading, found["breath word"], BREATH_WORDS) if "breath word" in found else None
    usual_bells = {**USUAL_BELLS, "step": style.bell_step}
    bells = _bells(reading, found["bells"], usual_bells) if "bells" in found else usual_bells
    sounds, sound_places = _sounds(reading, found["sounds"], folder) if "sounds" in found else ({}, {})
    return ClassFile(
        title=heading(reading, found["title"]) if "title" in found else "",
        place=place,
        entries=(),
        pace=(pace(reading, found["pace"]) if "pace" in found else None) or style.pace,
        by=heading(reading, found["by"]) if "by" in found else "",
        date=_date(reading, found["date"]) if "date" in found else "",
        about=heading(reading, found["about"]) if "about" in found else "",
        slot_ms=slot,
        count=(counting(reading, found["count"]) if "count" in found else None) or style.count,
        lead_ms=USUAL_LEAD_MS if lead is None else lead,
        breath_word=word or BreathWord.FIRST,
        say_breaths=_answer(reading, found, "say breaths", usual=style.say_breaths),
        say_names=_answer(reading, found, "say names", usual=True),
        voice=voice,
        voice_rate=rate,
        bell_class=bells["class"],
        bell_section=bells["section"],
        bell_step=bells["step"],
        sounds=sounds,
        sound_places=sound_places,
        pronounce=_pronounce(reading, found["pronounce"]) if "pronounce" in found else {},
        library_cues=_answer(reading, found, "library cues", usual=True),
        room_tone=_answer(reading, found, "room tone", usual=False),
        avoid=tuple(dict.fromkeys((*style.avoid, *(_avoid(reading, found["for"]) if "for" in found else ())))),
        let_be=style.let_be | (let_be(reading, found["let be"]) if "let be" in found else frozenset()),
        style=style_name,
        music=music(reading, found["music"]) if "music" in found else None,
    )


def _answer(reading: FileReading, found: Mapping[str, Field], name: str, usual: bool) -> bool:
    """What is said to a yes or no; where nothing is, as usual."""
    given = yes_no(reading, found[name]) if name in found else None
    return usual if given is None else given


def _table(reading: FileReading, field: Field, example: str) -> Table | None:
    node = field.node
    if isinstance(node, Table):
        return node
    if field.missing:
        reading.fault(field.key, f"`{field.name}` has no value", f"write {example}, or leave the key out")
    elif not isinstance(node, Faulty):
        what = "a list" if kind(node) == "list" else "one value"
        reading.fault(node, f"`{field.name}` takes a mapping, not {what}", f"write {example}")
    return None


def _date(reading: FileReading, field: Field) -> str:
    text = scalar(reading, field, "write `2026-05-04`")
    if text is None:
        return ""
    try:
        if _DAY.fullmatch(text.value):
            return date.fromisoformat(text.value).isoformat()
    except ValueError:
        pass
    reading.fault(text, f"`{clipped(text.value)}` is not a date", "write year, month and day: `2026-05-04`")
    return ""


def _voice(reading: FileReading, field: Field) -> tuple[str | None, float | None]:
    table = _table(reading, field, "`{name: …}` or `{rate: 0.9}`")
    if table is None:
        return None, None
    found = known_fields(reading, table, VOICE_KEYS, "`voice`")
    name = title(reading, found["name"]) if "name" in found else ""
    rate = decimal(reading, found["rate"], SLOWEST_VOICE, FASTEST_VOICE) if "rate" in found else None
    return name or None, rate


def _bells(reading: FileReading, field: Field, usual_bells: Mapping[str, BellWhen]) -> Mapping[str, BellWhen]:
    table = _table(reading, field, "`{class: both, section: start}`")
    found = known_fields(reading, table, USUAL_BELLS, "`bells`") if table else {}
    whens = {each.value: each for each in BellWhen}
    rung = {name: choice(reading, found[name], whens) for name in found}
    return {name: rung.get(name) or usual for name, usual in usual_bells.items()}


def _sounds(reading: FileReading, field: Field, folder: Path) -> tuple[Mapping[str, str], Mapping[str, Place]]:
    """The sound of each role that the file names, a name of the palette or the whole path of a file, and where."""
    table = _table(reading, field, "`{class: deep bowl}`")
    found = known_fields(reading, table, DEFAULT_SOUNDS, "`sounds`") if table else {}
    sounds = {name: _sound(reading, found[name], folder) for name in found}
    places = {name: reading.source.place(each.node.line, each.node.column) for name, each in found.items()}
    return {name: sound for name, sound in sounds.items() if sound}, places


def _sound(reading: FileReading, field: Field, folder: Path) -> str:
    text = scalar(reading, field, "write the name of a sound or the path of a file")
    if text is None or text.value in PALETTE_NAMES:
        return text.value if text else ""
    if "." not in text.value and "/" not in text.value:
        names = ", ".join(f"`{name}`" for name in sorted(PALETTE_NAMES))
        fix = nearest(text.value, PALETTE_NAMES) or f"the sounds are {names}; or write the path of a sound file"
        reading.fault(text, f"there is no sound `{clipped(text.value)}`", fix)
        return ""
    try:
        return str(below(folder, text.value))
    except NotAllowed as error:
        reading.fault(text, error.what, error.fix)
        return ""


def _pronounce(reading: FileReading, field: Field) -> Mapping[str, str]:
    table = _table(reading, field, "`{anjali: un-juh-lee}`")
    said = {}
    for name, each in (fields(reading, table) if table else {}).items():
        word = checked_words(reading, each.key)
        text = title(reading, each)
        if word and text:
            said[" ".join(name.split())] = text
    return said


def _avoid(reading: FileReading, field: Field) -> tuple[Condition, ...]:
    """The conditions of the people whom the class is for."""
    table = _table(reading, field, "`{avoid: [pregnancy, wrist]}`")
    found = known_fields(reading, table, FOR_KEYS, "`for`") if table else {}
    if "avoid" not in found:
        return ()
    return choices(reading, found["avoid"], {each.value: each for each in Condition} | ALSO_CALLED)
