"""Makes each screen in this folder anew, of the scene and the room that it is named after.

python tests/live/screens/make.py
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from test_screen_drawing import SCREENS, pictured


def main() -> None:
    for path in SCREENS.glob("*.txt"):
        path.write_text("".join(f"{row}\n" for row in pictured(path.stem)), encoding="utf-8")


if __name__ == "__main__":
    main()
