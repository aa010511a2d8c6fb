"""The templates of the page, in which everything that is put in is escaped."""

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from guide.review.page.colours import DARK, LIGHT

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup


def filled(name: str, values: Mapping[str, Any]) -> "Markup":
    """A template with its values. Colours go into every one."""
    from markupsafe import Markup

    return Markup(_environment().get_template(name).render(light=LIGHT, dark=DARK, **values).strip())


@cache
def _environment() -> "Environment":
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("guide.review.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
