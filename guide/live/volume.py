"""How loud words and chimes are, beside the usual."""

from dataclasses import dataclass, replace

from guide.live.orders import Order
from guide.live.player import MOST_GAIN

#: One step of voice or chimes, up or down: 2 dB.
GAIN_STEP = 10 ** (2 / 20)


@dataclass(frozen=True, slots=True)
class Volume:
    """The gains of words and of chimes, as factors; 1 is as rendered."""

    voice: float = 1.0
    bells: float = 1.0

    def turned(self, order: Order) -> "Volume":
        """As an order for a louder or softer voice, or chimes, makes it.

        Raises KeyError for any other order; that is a mistake of the caller.
        """
        name, factor = TURNS[order]
        return replace(self, **{name: min(MOST_GAIN, getattr(self, name) * factor)})


USUAL = Volume()

#: What each order makes louder or softer, and by which factor.
TURNS = {
    Order.VOICE_UP: ("voice", GAIN_STEP),
    Order.VOICE_DOWN: ("voice", 1 / GAIN_STEP),
    Order.CHIMES_UP: ("bells", GAIN_STEP),
    Order.CHIMES_DOWN: ("bells", 1 / GAIN_STEP),
}
