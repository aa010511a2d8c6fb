"""Templates beside the code that fills them, in which everything that is put in is escaped."""

from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup


def filled(package: str, name: str, values: Mapping[str, Any]) -> "Markup":
    """A template of the folder `templates` in a package, with its values; one that is missing raises."""
    from markupsafe import Markup

    return Markup(_environment(package).get_template(name).render(**values).strip())


@cache
def _environment(package: str) -> "Environment":
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader(package),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
