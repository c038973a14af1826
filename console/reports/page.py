"""Fills the HTML pages: one environment in which every value is escaped."""

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from console.ground.cleaning import clean
from console.ground.mass import format_mass, masses_alike

if TYPE_CHECKING:
    from jinja2 import Environment

PAGES = Path(__file__).parent / "pages"


def page(name: str, **values: Any) -> str:
    """Return a page filled with values, all of them escaped.

    Args:
        name: A file in the folder `pages`.
        values: What its names stand for.
    """
    return str(_environment().get_template(name).render(**values))


@cache
def _environment() -> "Environment":
    """Return the environment of the pages; a name that is not given is an error, never an empty place."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    pages = Environment(
        loader=FileSystemLoader(PAGES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    pages.filters["mass"] = format_mass
    pages.filters["masses"] = masses_alike
    pages.filters["clean"] = clean
    pages.filters["css_string"] = css_string
    return pages


def css_string(text: str) -> str:
    r"""Return a text as the inside of a CSS string: all but letters, digits and blanks as code points.

    >>> css_string('Low "Field" 7')
    'Low \\22 Field\\22  7'
    """
    return "".join(
        one if one == " " or (one.isascii() and one.isalnum()) else f"\\{ord(one):x} " for one in clean(text)
    )
