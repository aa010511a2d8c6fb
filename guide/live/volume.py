"""How loud words, chimes and music are, beside the usual."""

import math
from dataclasses import dataclass, replace

from guide.live.orders import Order
from guide.live.player import MOST_GAIN

#: One step of voice or chimes, up or down: 2 dB.
GAIN_STEP = 10 ** (2 / 20)


@dataclass(frozen=True, slots=True)
class Volume:
    """The gains of words, of chimes and of music, as factors; 1 is as rendered."""

    voice: float = 1.0
    bells: float = 1.0
    music: float = 1.0

    def turned(self, order: Order) -> "Volume":
        """As an order for a louder or softer voice, chimes or music makes it.

        Raises KeyError for any other order; that is a mistake of the caller.
        """
        name, factor = TURNS[order]
        return replace(self, **{name: min(MOST_GAIN, getattr(self, name) * factor)})

    def told(self, order: Order) -> str:
        """How loud that is which the order turned: `voice +4 dB`."""
        name, _ = TURNS[order]
        gain = getattr(self, name)
        loud_db = round(20 * math.log10(gain))
        level = "as usual" if loud_db == 0 else f"{loud_db:+d} dB".replace("-", "−")
        most = ", as loud as it goes" if gain >= MOST_GAIN / math.sqrt(GAIN_STEP) else ""
        return f"{CALLED[name]} {level}{most}"


USUAL = Volume()

#: What each order makes louder or softer, and by which factor.
TURNS = {
    Order.VOICE_UP: ("voice", GAIN_STEP),
    Order.VOICE_DOWN: ("voice", 1 / GAIN_STEP),
    Order.CHIMES_UP: ("bells", GAIN_STEP),
    Order.CHIMES_DOWN: ("bells", 1 / GAIN_STEP),
    Order.MUSIC_UP: ("music", GAIN_STEP),
    Order.MUSIC_DOWN: ("music", 1 / GAIN_STEP),
}

#: What each is called when its level is told.
CALLED = {"voice": "voice", "bells": "chimes", "music": "music"}
