"""What a talk tells of what people did, phrase by phrase, whatever was planned: drafts read it from captions alone."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from guide.review.captions.transcript import Transcript

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ToldTalk:
    """Logarithms of how likely all is, for N phrases.

    - `words` are those of each phrase; `starts_ms` (N + 1) is when each begins, off by about `loose_ms` (N), and when
      the talk is over;
    - `within` and `starts` (N each) are for people being in something, and for it to begin with a phrase: by the name
      of a pose, "" for what is moved through;
    - `ends` (N + 1) is for something having ended before a phrase, `outside` (N) for nothing of the kind being done,
      and `anything` (N) for anything at all.
    """

    words: tuple[tuple[str, ...], ...]
    starts_ms: "Numbers"
    loose_ms: "Numbers"
    within: "Mapping[str, Numbers]"
    starts: "Mapping[str, Numbers]"
    ends: "Numbers"
    outside: "Numbers"
    anything: "Numbers"


#: Reads a transcript, for poses of the library; None where nothing does.
TalkReader = Callable[[Transcript, Collection[str]], ToldTalk] | None
