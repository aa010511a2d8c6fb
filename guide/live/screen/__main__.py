"""The process that shows the screen: it asks the class for what there is to show, and passes on what is pressed.

Its argument names what draws it, as `module:function`.
"""

import os
import pkgutil
import signal
import sys
from multiprocessing.connection import Client

from guide.live.scene import Showable
from guide.live.screen.app import Draw, Screen
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
            scene: Showable = line.recv()
            return scene

        def press(key: str, character: str | None) -> None:
            line.send((key, character))

        draw: Draw = pkgutil.resolve_name(sys.argv[1])
        Screen(look, draw, press).run()


if __name__ == "__main__":
    main()
