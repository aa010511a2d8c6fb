"""Makes the helpers of this folder, and those of `rehearse` and `draft`, importable."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
sys.path.append(str(Path(__file__).parents[1] / "rehearse"))
sys.path.append(str(Path(__file__).parents[1] / "draft"))
