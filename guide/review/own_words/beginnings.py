"""What else may tell where things begin in a talk: the reading of a class from its captions alone, as drafts do it."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from guide.review.captions.transcript import Transcript

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Chances = NDArray[np.float64]
    Places = NDArray[np.int64]


class Beginnings(Protocol):
    """The chance of beginnings with some words of a talk, by their numbers."""

    def something(self, words: "Places") -> "Chances":
        """The chance that something begins with each."""
        ...

    def of(self, pose: str, words: "Places") -> "Chances":
        """The chance that a pose of the library begins with each."""
        ...


#: Reads the chances in a transcript, or None where that cannot tell; None where nothing reads them.
BeginningsReader = Callable[[Transcript], Beginnings | None] | None
