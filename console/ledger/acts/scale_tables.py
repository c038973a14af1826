"""What a legal-for-trade scale may be out, by the published tables."""

from dataclasses import dataclass
from enum import StrEnum

from console.yard.yard import Yard


class ToleranceTable(StrEnum):
    """Which published table applies to a scale."""

    HB44_III = "NIST Handbook 44, Table 6, class III, maintenance"
    R76_III = "OIML R 76-1, Table 6, class III, in service"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """One line of a table: up to this many divisions of load, the scale may be out by so many divisions."""

    up_to: float
    divisions: float


_OVER_ALL = float("inf")
# Source: NIST Handbook 44, Table 6, as quoted in a quality forum (edition of 2007): the lines 2001-4000
# and 4001+ were read there, the first two follow from its chart of acceptance tolerances, half of these.
_HB44_III = (
    _Line(up_to=500, divisions=1),
    _Line(up_to=2000, divisions=2),
    _Line(up_to=4000, divisions=3),
    _Line(up_to=_OVER_ALL, divisions=5),
)
# Source: OIML R 76-1, Table 6, initial verification 0.5, 1.0 and 1.5 e; in service twice that.
_R76_III = (
    _Line(up_to=500, divisions=1),
    _Line(up_to=2000, divisions=2),
    _Line(up_to=_OVER_ALL, divisions=3),
)
_LINES = {ToleranceTable.HB44_III: _HB44_III, ToleranceTable.R76_III: _R76_III}
_US_UNITS = ("lb", "short ton")


def largest_error_g(load_g: int, division_g: int, table: ToleranceTable) -> float:
    """Return by how much a scale in service may be out at a load, either way [g].

    The two tables agree up to 4000 divisions; above, Handbook 44 allows 5 divisions and R 76 allows 3.

    Args:
        load_g: What lies on the scale [g], >= 0.
        division_g: Scale division [g], > 0.
        table: The table that applies.

    Raises:
        ValueError: The load is negative or the division not positive.

    Source: NIST Handbook 44 Table 6; OIML R 76-1 Table 6.

    >>> largest_error_g(3_000_000, 1000, ToleranceTable.R76_III)
    3000.0
    """
    if load_g < 0 or division_g <= 0:
        raise ValueError(f"load {load_g} g must be at least 0, division {division_g} g above 0")
    load_divisions = load_g / division_g
    allowed = next(line.divisions for line in _LINES[table] if load_divisions <= line.up_to)
    return float(allowed * division_g)


def table_for(yard: Yard) -> ToleranceTable:
    """Return the table for a yard's ticket scale: the American one where pounds or short tons are used."""
    return ToleranceTable.HB44_III if yard.weight_unit in _US_UNITS else ToleranceTable.R76_III
