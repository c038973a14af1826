"""Reads the [[check]] tables and the [sorter] table of yard.toml."""

from collections.abc import Mapping, Sequence
from typing import Any

from console.ground.cleaning import clean
from console.yard.file.fields import Fields
from console.yard.next_check.checks import USUAL_CHECKS, CheckKind, SorterTime, YardCheck

_KEYS = ("kind", "seconds", "cost")
_LONGEST_S = 3600.0
"""A check that takes longer is no check at the bench (our own bound) [s]."""
_LARGEST_COST = 1000.0
"""Above any material that a check uses up, and any wage, in most currencies (our own bound)."""
_LARGEST_WAGE = 1_000_000.0


def checks_from(table: Mapping[str, Any], *, file: str = "yard.toml") -> tuple[YardCheck, ...]:
    """Return the checks that the [[check]] tables list, in their order; the usual ones where there is none.

    Args:
        table: The whole file as read.
        file: Name of the file, for messages.

    Raises:
        YardFileError: A key is missing, unknown or wrong; the message names check and key.
    """
    fields = Fields(file, table)
    tables = table.get("check", [])
    if not isinstance(tables, Sequence) or not all(isinstance(one, Mapping) for one in tables):
        raise fields.wrong("check", "every check starts with a line [[check]]")
    checks: list[YardCheck] = []
    for number, one in enumerate(tables, start=1):
        check = _check(file, number, one)
        if any(other.kind is check.kind for other in checks):
            raise fields.wrong("check", f'"{check.kind.value}" stands there twice; one [[check]] each')
        checks.append(check)
    return tuple(checks) or USUAL_CHECKS


def _check(file: str, number: int, table: Mapping[str, Any]) -> YardCheck:
    kind = table.get("kind")
    named = isinstance(kind, str) and bool(kind.strip())
    fields = Fields(f"{file}, check {clean(str(kind), 20) if named else number}", table)
    fields.refuse_unknown(_KEYS)
    word = fields.text("kind").casefold()
    if word not in {known.value for known in CheckKind}:
        raise fields.wrong("kind", f'"{word}" is not one of {", ".join(CheckKind)}')
    return YardCheck(
        kind=CheckKind(word),
        seconds=fields.number("seconds", None, 0.0, _LONGEST_S),
        cost=fields.number("cost", 0.0, 0.0, _LARGEST_COST),
    )


def sorter_time_from(table: Mapping[str, Any], *, file: str = "yard.toml") -> SorterTime:
    """Return what the [sorter] table says of the sorter's time; the usual figures for what it leaves out.

    Raises:
        YardFileError: A key is unknown or wrong.
    """
    fields, usual = Fields(file, table).sub("sorter"), SorterTime()
    fields.refuse_unknown(("cost_per_hour", "second_look_seconds"))
    return SorterTime(
        cost_per_hour=fields.number("cost_per_hour", usual.cost_per_hour, 0.0, _LARGEST_WAGE),
        second_look_s=fields.number("second_look_seconds", usual.second_look_s, 0.0, _LONGEST_S),
    )
