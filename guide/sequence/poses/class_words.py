"""The words that classes are taught with: breaths, sides, and all in the pose library's names and instructions."""

from functools import cache

from guide.sequence.poses.names import tokens
from guide.sequence.poses.shipped_library import shipped
from guide.sequence.steps import Breath, Side


def is_class_word(word: str) -> bool:
    """Whether a word, however it is spelt, stands in the library, or means nothing in a name, as `the`.

    Raises:
        MachineTrouble: the installation lacks the library.
    """
    return all(token in _library_words() for token in tokens(word))


@cache
def _library_words() -> frozenset[str]:
    texts = (text for pose in shipped() for text in (*pose.also, *pose.enter, *pose.say, *pose.leave))
    names = (name for pose in shipped() for name in (pose.name, pose.sanskrit))
    called = (word.value for word in (*Breath, *Side))
    return frozenset(token for text in (*texts, *names, *called) for token in tokens(text))
