"""Who shows a class that is led, and the loop that leads it until it is over."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from guide.live.controls import Controls
from guide.live.scene import Scene

if TYPE_CHECKING:
    # The screen's process imports this module, and shall not wait for all that leading takes.
    from guide.live.leading import Leading

#: How often the class is looked at.
TICK_S = 0.05


class View(Protocol):
    """Shows scenes, and takes what is typed meanwhile."""

    def show(self, scene: Scene) -> None: ...

    def wait(self) -> None:
        """Let about `TICK_S` go by, taking keys."""
        ...

    @property
    def is_gone(self) -> bool:
        """Whether it shows nothing any more, and another has to."""
        ...


def lead(leading: "Leading", controls: Controls, view: View, instead: Callable[[], View]) -> None:
    """Lead a class that has been started until it is over; where `view` goes, what `instead` gives goes on."""
    while True:
        controls.tick()
        leading.tick()
        scene = leading.scene()
        if view.is_gone:
            view = instead()
        view.show(scene)
        if scene.is_over:
            return
        view.wait()
