"""Who shows a class that is led, and the loop that leads it until it is over."""

from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

from guide.live.scene import Showable

#: How often the class is looked at.
TICK_S = 0.05


SceneT = TypeVar("SceneT", bound=Showable)
SceneT_co = TypeVar("SceneT_co", bound=Showable, covariant=True)
SceneT_contra = TypeVar("SceneT_contra", bound=Showable, contravariant=True)


class Led(Protocol[SceneT_co]):
    """A class that is led or rehearsed."""

    def tick(self) -> None:
        """Look after everything; called a few times a second."""
        ...

    def scene(self) -> SceneT_co:
        """What there is to show now."""
        ...


class Keys(Protocol):
    """Takes the names of keys, and asks for what they mean."""

    def typed(self, keys: Iterable[str]) -> None:
        """Keys from a terminal."""
        ...

    def pressed(self, key: str) -> None:
        """A key from a device that tells presses from keys held down."""
        ...

    def tick(self) -> None:
        """Let go of what was kept back; called a few times a second."""
        ...


class View(Protocol[SceneT_contra]):
    """Shows scenes, and takes what is typed meanwhile."""

    def show(self, scene: SceneT_contra) -> None:
        """Show a scene in place of the one before."""
        ...

    def wait(self) -> None:
        """Let about `TICK_S` go by, taking keys."""
        ...

    @property
    def is_gone(self) -> bool:
        """Whether it shows nothing any more, and another has to."""
        ...


def lead(led: Led[SceneT], controls: Keys, view: View[SceneT], instead: Callable[[], View[SceneT]]) -> None:
    """Lead a class that has been started until it is over; where `view` goes, what `instead` gives goes on."""
    while True:
        controls.tick()
        led.tick()
        scene = led.scene()
        if view.is_gone:
            view = instead()
        view.show(scene)
        if scene.is_over:
            return
        view.wait()
