"""Common bay patterns to start a yard.toml from, with the published scrap specifications beside them."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from types import MappingProxyType

_TITLE = "# "
_FOLDER = "bay_templates"


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """One bay pattern."""

    title: str
    """What it is, in a line."""
    text: str
    """One or more [[bay]] tables with comments, to paste at the end of a yard.toml; prices are left at 0."""


@functools.cache
def templates() -> Mapping[str, Template]:
    """Return every template by its name, in alphabetical order.

    >>> templates()["stainless-300"].title
    'Stainless of the 300 series, and 316 for itself'
    """
    folder = resources.files("console.yard.new") / _FOLDER
    texts = {
        file.name.removesuffix(".toml"): file.read_text("utf-8")
        for file in folder.iterdir()
        if file.name.endswith(".toml")
    }
    titles = {name: text.splitlines()[0].removeprefix(_TITLE).rstrip(".") for name, text in texts.items()}
    return MappingProxyType({name: Template(title=titles[name], text=texts[name]) for name in sorted(texts)})
