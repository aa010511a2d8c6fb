"""The process that shows the screen: it asks the class for what there is to show, and passes on what is pressed."""

import os
import signal
from multiprocessing.connection import Client

from guide.live.scene import Showable
from guide.live.scene_data import scene_from
from guide.live.screen.app import Screen
from guide.live.screen.process import ADDRESS, KEY, LOOK
from guide.priority import come_as_usual


def main() -> None:
    # The class outlives its terminal; the screen has nothing to live for then.
    """Draw what the class sends until it, or the terminal, has gone."""
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, signal.SIG_DFL)
    come_as_usual()
    with Client(os.environ[ADDRESS], authkey=bytes.fromhex(os.environ[KEY])) as line:

        def look() -> Showable:
            line.send(LOOK)
            return scene_from(line.recv())

        def press(key: str, character: str | None) -> None:
            line.send((key, character))

        Screen(look, press).run()


if __name__ == "__main__":
    main()
