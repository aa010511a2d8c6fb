"""Makes the expected reports anew, to be looked at before they are kept: `python tests/review/pages/make.py`."""

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE.parents[1])]

from history_samples import history  # noqa: E402
from page_samples import BY_HAND  # noqa: E402 (a helper of the folder above)

from guide.export.comparison_page.history_page import history_page  # noqa: E402
from guide.export.comparison_page.html_page import html_page  # noqa: E402
from guide.review.history.history_json import history_as_json  # noqa: E402
from guide.review.history.history_text import history_text  # noqa: E402
from guide.review.text_report import text_report  # noqa: E402

#: The day on every page.
MADE_ON = "25 November 2026"


def main() -> None:
    made = {"history.html": history_page(history(), MADE_ON), "history.json": history_as_json(history())}
    made |= {f"history-{columns}.txt": history_text(history(), columns) for columns in (72, 100)}
    for name, sample in BY_HAND.items():
        made[f"{name}.html"] = html_page(sample(), MADE_ON)
        made |= {f"{name}-{columns}.txt": text_report(sample(), columns) for columns in (72, 100)}
    for name, text in made.items():
        (HERE / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
