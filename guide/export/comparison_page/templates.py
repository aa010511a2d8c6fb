"""The templates of the page."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from guide.drawing import templates
from guide.export.comparison_page.colours import DARK, LIGHT

if TYPE_CHECKING:
    from markupsafe import Markup


def filled(name: str, values: Mapping[str, Any]) -> "Markup":
    """A template with its values. Colours go into every one."""
    return templates.filled("guide.export.comparison_page", name, {"light": LIGHT, "dark": DARK, **values})
