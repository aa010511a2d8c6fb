"""The names of the library that a recogniser spells worst, those of usual poses first."""

import unicodedata
from collections import Counter

from guide.sequence.poses.shipped_library import shipped

#: How the trade writes letters of Sanskrit that have a mark, where it does more than leave the mark out.
_AS_TRADED = str.maketrans({"ś": "sh", "ṣ": "sh", "Ś": "Sh", "ṛ": "ri", "c": "ch", "C": "Ch"})


def usual_names() -> tuple[str, ...]:
    """The Sanskrit names without marks, those first whose poses most others come after or rest in."""
    spoken_of = Counter(name for pose in shipped() for name in (*pose.after, *pose.rests))
    usual = sorted(shipped(), key=lambda pose: (-spoken_of[pose.name], pose.name))
    return tuple(_without_marks(pose.sanskrit) for pose in usual if pose.sanskrit)


def _without_marks(name: str) -> str:
    decomposed = unicodedata.normalize("NFKD", unicodedata.normalize("NFC", name).translate(_AS_TRADED))
    return "".join(char for char in decomposed if not unicodedata.combining(char))
