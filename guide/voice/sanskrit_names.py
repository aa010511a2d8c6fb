"""Sanskrit words found in whatever way a teacher spells them, with marks or without."""

import csv
import re
import unicodedata
from collections.abc import Mapping
from functools import cache, lru_cache
from importlib.resources import files

from guide.voice import sanskrit
from guide.voice.normalise import folded

#: Words that stand before the name of a pose, or beside it: each is said as a word of its own.
PARTS = tuple(
    word
    for line in (
        "adho añjali ardha baddha bandha caturaṅga eka hasta jānu karaṇī mudrā mukha namaskāra nāḍī pāda parivṛtta",
        "pārśva prasārita rāja śodhana sālamba setu sūrya supta upaviṣṭa utthita ūrdhva viparīta",
    )
    for word in line.split()
)
_PART = re.compile(f"({'|'.join(sorted(PARTS, key=len, reverse=True))})(?=[^aāiīuūṛeoṅñṇṃḥ])(?=.{{4}})")

#: How the name of a pose ends, without marks.
_POSE = "asana"

#: Sanskrit words that are something else in English when their marks are left off.
_ONLY_MARKED = frozenset({"ṣaṭ"})

#: Words that English has made its own, with a sound of its own.
_ENGLISH = "bodhi bodhisattva buddha dharma dhoti dhobi mahabharata sadhu shakshuka sindhi"

#: Letters that teachers write in several ways, beside those that all drop their marks from.
_WAYS = {"ṛ": ("r", "ri", "ru"), "ī": ("i", "ee"), "ū": ("u", "oo"), "jñ": ("jn", "gy")}

#: Letters that meet in Sanskrit and hardly in English, in a word that ends as most Sanskrit words do. Of the 174,000
#: words of an English dictionary 55 are so, and those name Indian things, but for the few in `_ENGLISH`.
_SHAPE = re.compile(r"(?=.*(?:bh|dh|jh|(?<!c)ksh|shv|jn))[a-z]{4,}[aiu]")

#: What follows a word of which no more is known, and shows that it is Sanskrit.
_TAIL = re.compile(r"[a-z]*(?:[aiu]|r)(?P<tail>mudra|namaskara?|pranayama|vritti|vrtti)")
_TAILS = {"mudra": "mudrā", "namaskar": "namaskār", "namaskara": "namaskāra", "pranayama": "prāṇāyāma"}


def sanskrit_of(word: str) -> str | None:
    """The IAST form of a Sanskrit word in any usual spelling, with or without marks, or None for any other word."""
    return listed(word) or unlisted(word)


def listed(word: str) -> str | None:
    """The IAST form of a word or a whole name, written as one, that the tables have."""
    bare = plain(word)
    return _names().get(skeleton(bare)) if bare.endswith(_POSE) else _words().get(bare)


@lru_cache(maxsize=1024)
def unlisted(word: str) -> str | None:
    """The IAST form of a word that is in no table: the tail of a longer name, a word in IAST, or one that is Sanskrit
    by its spelling.
    """
    if sanskrit.is_iast(word):
        return unicodedata.normalize("NFC", word.lower())
    bare = plain(word)
    if _is_pose(word):
        return _tails().get(skeleton(word)) or _read(bare.removesuffix(_POSE), "āsana")
    tail = _TAIL.fullmatch(bare)
    if tail:
        return _read(bare.removesuffix(tail["tail"]), _TAILS.get(tail["tail"], "vṛtti"))
    return _read(bare) if _SHAPE.fullmatch(bare) and bare not in _ENGLISH.split() else None


def parts_apart(iast: str) -> tuple[str, ...]:
    """A name cut into the words that it is made of: utthitatrikoṇāsana is utthita and trikoṇāsana."""
    words = []
    while part := _PART.match(iast):
        words.append(part[0])
        iast = iast[part.end() :]
    return (*words, iast)


def table_rows() -> list[dict[str, str]]:
    """The rows of `sanskrit.tsv`."""
    return list(csv.DictReader(_lines("sanskrit.tsv"), delimiter="\t"))


def more_words() -> list[str]:
    """The words of `sanskrit_words.txt`."""
    return [word for line in _lines("sanskrit_words.txt") if not line.startswith("#") for word in line.split()]


def plain(word: str) -> str:
    """A word in small letters without marks."""
    return folded(word.lower())


def skeleton(word: str) -> str:
    """A spelling with everything left out in which teachers differ (sh or s, ch or c, ri or r, th or t, doubles)."""
    bare = plain(word).replace("w", "v").replace("aa", "a").replace("ee", "i").replace("oo", "u")
    bare = re.sub(r"(?<=[bcdgjklmnprstv])h", "", bare)
    bare = re.sub(r"(?<=[bcdgjklmnpstv])ri", "r", bare)
    bare = re.sub(r"m(?=[bcdgjklpst])", "n", bare)
    return re.sub(r"(.)\1", r"\1", bare)


def _is_pose(word: str) -> bool:
    return plain(word).endswith(_POSE)


def _read(letters: str, tail: str = "") -> str | None:
    """A word in English letters as IAST, as well as they tell; doubled vowels are long ones."""
    for english, iast in (("sh", "ś"), ("ch", "c"), ("w", "v"), ("aa", "ā"), ("ee", "ī"), ("oo", "ū")):
        letters = letters.replace(english, iast)
    word = letters + tail
    return word if sanskrit.is_readable(word) else None


@cache
def _known() -> tuple[str, ...]:
    return (*(row["iast"] for row in table_rows()), *more_words())


@cache
def _names() -> Mapping[str, str]:
    return {skeleton(iast): iast for iast in reversed(_known()) if _is_pose(iast)}


@cache
def _tails() -> Mapping[str, str]:
    tails: dict[str, str] = {}
    for iast in filter(_is_pose, _known()):
        for start in range(1, len(iast) - 4):
            if iast[start] != "h":
                tails.setdefault(skeleton(iast[start:]), iast[start:])
    return tails


@cache
def _words() -> Mapping[str, str]:
    return {key: iast for iast in (*PARTS, *_known()) if not _is_pose(iast) for key in _spellings(iast)}


def _lines(name: str) -> list[str]:
    return files("guide.voice").joinpath(name).read_text(encoding="utf-8").splitlines()


def _spellings(iast: str) -> set[str]:
    """The ways to write a word without marks: scholars' letters taken bare, and as English readers write them."""
    if iast in _ONLY_MARKED:
        return set()
    iast = re.sub("ī$", "i", iast)
    english = re.sub(r"c(?!h)", "ch", re.sub("[śṣ]", "sh", iast))
    forms = {iast, english, iast.replace("ś", "sh").replace("ṣ", "sh"), english.replace("chch", "cch")}
    for letter, others in _WAYS.items():
        forms = {form.replace(letter, other) for form in forms for other in others}
    forms |= {re.sub(r"(?<=[śṣsdh])v", "w", form) for form in forms}
    return {plain(form) for form in forms}
