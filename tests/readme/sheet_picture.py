"""Makes the picture of a class sheet: that of the morning class, as `guide sheet` draws it.

python tests/readme/sheet_picture.py
"""

import os
import sys
import tempfile
from pathlib import Path
from unittest.mock import patch

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PICTURE = HERE / "pictures" / "sheet.svg"

sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
from kept_speech import fill  # noqa: E402 (of the folder above)

from guide.cli import main  # noqa: E402


def make(target: Path) -> None:
    """The picture, with words of kept lengths."""
    with tempfile.TemporaryDirectory() as folder, patch.dict(os.environ, {"GUIDE_CACHE": folder}):
        fill(Path(folder))
        main(["sheet", "lakeside-morning", "-o", str(target), "--force"], standalone_mode=False)


if __name__ == "__main__":
    make(PICTURE)
