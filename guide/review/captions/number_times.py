"""Times that are plain numbers, of which a file does not say whether they are seconds or thousandths."""

from collections.abc import Sequence

from guide.plan.estimate import spoken_ms

#: A voice so fast that nobody speaks so: were the times thousandths, the words would need more time than there is.
FASTEST = 3.0


def unit_ms(numbers: Sequence[float], words: str) -> int:
    """How many ms one is in `numbers`, whole or not, between whose least and greatest `words` are said.

    Parts of a number are parts of a second; whole ones are seconds where nobody could say the words in thousandths.
    """
    if any(not number.is_integer() for number in numbers):
        return 1000
    return 1000 if max(numbers) - min(numbers) < spoken_ms(words, FASTEST) else 1
