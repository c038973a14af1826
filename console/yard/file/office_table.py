"""The [office] table of yard.toml: which office the yard belongs to, and in what it has its say."""

import base64
import binascii
from dataclasses import dataclass

from console.ground.cleaning import clean
from console.yard.file.fields import Fields

_KEYS = ("server", "at_close_out", "keys", "wins")
PARTS = ("prices", "bays", "people", "buyers")
"""What an office may write down to a yard."""
_KEY_BYTES = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeSettings:
    """The office of a yard; empty where it has none."""

    server: str = ""
    """Address as libpq takes it, without a password: `postgresql://...` or `service=NAME`."""
    at_close_out: bool = True
    """Whether rows are gathered when a run is closed."""
    keys: tuple[str, ...] = ()
    """Public keys of the office, as `baywright tell --make-key` printed them; what none of them signed is not
    taken."""
    wins: tuple[str, ...] = ()
    """Of PARTS those in which the office's word stands where yard.toml says otherwise."""


def office_settings_from(file: Fields) -> OfficeSettings:
    """Return what yard.toml says of the office.

    Raises:
        YardFileError: A key is unknown, or a value is not of its kind.
    """
    fields, usual = file.sub("office"), OfficeSettings()
    fields.refuse_unknown(_KEYS)
    return OfficeSettings(
        server=fields.text("server", usual.server),
        at_close_out=fields.flag("at_close_out", usual.at_close_out),
        keys=_keys(fields),
        wins=_wins(fields),
    )


def _keys(fields: Fields) -> tuple[str, ...]:
    keys = fields.texts("keys")
    for key in keys:
        try:
            is_one = len(base64.b64decode(key, validate=True)) == _KEY_BYTES
        except (binascii.Error, ValueError):
            is_one = False
        if not is_one:
            raise fields.wrong(
                "keys", f'"{clean(key, 50)}" is no key; copy the line that baywright tell --make-key printed'
            )
    return keys


def _wins(fields: Fields) -> tuple[str, ...]:
    wins = fields.texts("wins")
    for part in wins:
        if part not in PARTS:
            raise fields.wrong("wins", f'"{clean(part, 20)}" is not one of {", ".join(PARTS)}')
    return wins
