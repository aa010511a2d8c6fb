"""Makes the expected reports anew, to be looked at before they are kept: `python tests/review/pages/make.py`."""

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1])]

from page_samples import BY_HAND  # noqa: E402 (a helper of the folder above)

from guide.export.comparison_page.html_page import html_page  # noqa: E402
from guide.review.text_report import text_report  # noqa: E402

#: The day on every page.
MADE_ON = "25 November 2026"


def main() -> None:
    for name, made in BY_HAND.items():
        (HERE / f"{name}.html").write_text(html_page(made(), MADE_ON), encoding="utf-8", newline="\n")
        for columns in (72, 100):
            (HERE / f"{name}-{columns}.txt").write_text(text_report(made(), columns), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
