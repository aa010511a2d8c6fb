"""The process that shows the screen: it asks the class for what there is to show, and passes on what is pressed."""

import os
import signal

from guide.live.key_list import own_bindings
from guide.live.key_names import key_of_textual
from guide.live.scene_server import RemoteClass
from guide.live.screen.app import Screen
from guide.live.screen.process import ADDRESS, KEY
from guide.priority import come_as_usual


def main() -> None:
    """Draw what the class sends until it, or the terminal, has gone."""
    # The class outlives its terminal; the screen has nothing to live for then.
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, signal.SIG_DFL)
    come_as_usual()
    led = RemoteClass(os.environ[ADDRESS], os.environ[KEY])

    def press(key: str, character: str | None) -> None:
        led.press([key_of_textual(key, character)])

    Screen(led.scene, press, bound=own_bindings()).run()


if __name__ == "__main__":
    main()
