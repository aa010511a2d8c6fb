"""What `?` lists while a class is led or rehearsed: what can be asked for, and the keys that ask for it."""

from collections.abc import Iterator, Sequence

from guide.live.key_bindings import bindings
from guide.live.keys import KEYS, Bindings
from guide.live.orders import Order
from guide.live.scene import ReadingScene, Scene, Showable
from guide.problem import GuideError

#: The key that lists the keys, unless it was taught something else.
HELP = "?"

#: What a class that is led can be asked, in words; what goes up and down is one line.
LED: Sequence[tuple[str, tuple[Order, ...]]] = (
    ("pause, or go on", (Order.PAUSE,)),
    ("on to the next step", (Order.NEXT,)),
    ("back to its start", (Order.AGAIN,)),
    ("the step before", (Order.PREVIOUS,)),
    ("a breath more / less", (Order.LONGER, Order.SHORTER)),
    ("hold until told", (Order.STAY,)),
    ("slower / quicker", (Order.SLOWER, Order.QUICKER)),
    ("this side again", (Order.SIDE_AGAIN,)),
    ("the other side", (Order.OTHER_SIDE,)),
    ("voice up / down", (Order.VOICE_UP, Order.VOICE_DOWN)),
    ("chimes up / down", (Order.CHIMES_UP, Order.CHIMES_DOWN)),
    ("music up / down", (Order.MUSIC_UP, Order.MUSIC_DOWN)),
    ("fewer words / all", (Order.FEWER_WORDS, Order.ALL_WORDS)),
    ("silence", (Order.HUSH,)),
    ("on to the closing rest", (Order.REST,)),
    ("take back", (Order.UNDO,)),
    ("end (press twice)", (Order.QUIT,)),
)

#: What a rehearsal can be asked of it.
REHEARSED = {
    *(Order.PAUSE, Order.NEXT, Order.AGAIN, Order.PREVIOUS, Order.QUIT),
    *(Order.VOICE_UP, Order.VOICE_DOWN, Order.CHIMES_UP, Order.CHIMES_DOWN),
    *(Order.MUSIC_UP, Order.MUSIC_DOWN),
}


def own_bindings() -> Bindings:
    """What this person's keys ask for; the usual where the file of learned keys cannot be read."""
    try:
        return bindings()
    except GuideError:
        return KEYS


def lists_keys(key: str, bound: Bindings) -> bool:
    """Whether a key is the one that lists the keys."""
    return key == HELP and bound.get(key) is None


def key_lines(scene: Showable, bound: Bindings) -> Iterator[str]:
    """A line for each thing that can be asked for there, and the keys for it."""
    if isinstance(scene, ReadingScene):
        yield from scene.keys.split(" · ")
        return
    for words, orders in LED:
        if isinstance(scene, Scene) or REHEARSED.issuperset(orders):
            yield f"{words:<22}  {' / '.join(_keys_for(order, bound) for order in orders)}"


def _keys_for(order: Order, bound: Bindings) -> str:
    return ", ".join(key for key, asked in bound.items() if asked is order) or "(no key)"
