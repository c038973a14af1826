"""The [office] table of yard.toml: which office the yard belongs to."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from console.yard.file.fields import Fields

_KEYS = ("server", "at_close_out")


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeSettings:
    """The office of a yard; empty where it has none."""

    server: str = ""
    """Address as libpq takes it, without a password: `postgresql://...` or `service=NAME`."""
    at_close_out: bool = True
    """Whether rows are gathered when a run is closed."""


def office_settings_from(table: Mapping[str, Any], file: str) -> OfficeSettings:
    """Return what yard.toml says of the office.

    Raises:
        YardFileError: A key is unknown, or a value is not of its kind.
    """
    fields, usual = Fields(file, table).sub("office"), OfficeSettings()
    fields.refuse_unknown(_KEYS)
    return OfficeSettings(
        server=fields.text("server", usual.server),
        at_close_out=fields.flag("at_close_out", usual.at_close_out),
    )
