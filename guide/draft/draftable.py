"""Whether a class can be drafted from captions: in English, and of no more words than a long class has."""

from guide.draft.repeated_sides import MOST_TOKENS
from guide.problem import UnusableChoice
from guide.review.captions.transcript import Transcript, words
from guide.sequence.poses.class_words import is_class_word

#: Of the words of a class in English, eight of ten stand in the pose library too; of one in another language with names
#: of poses in Sanskrit, two of ten, or half where it is little more than the names. (Measured on talked classes, and on
#: a paragraph of German, French, Spanish, Italian, Dutch and Swedish.)
LEAST_SHARE = 0.4

#: Fewer words tell nothing.
ENOUGH = 20


def check_draftable(transcript: Transcript) -> None:
    """Refuse captions of another language, of which hardly anything would be understood, and far too many words.

    Raises:
        UnusableChoice: telling it.
    """
    said = [word.text for word in words(transcript)]
    if len(said) > MOST_TOKENS:
        raise UnusableChoice(
            f"{transcript.name}: {len(said):,} words are more than one class has, and {MOST_TOKENS:,} the most that "
            "are drafted from (give the captions of one class)"
        )
    if len(said) >= ENOUGH and sum(map(is_class_word, said)) < LEAST_SHARE * len(said):
        raise UnusableChoice(
            f"{transcript.name}: these words are hardly English, and only English is drafted from "
            "(give captions in English, or write the class with `guide new`)"
        )
