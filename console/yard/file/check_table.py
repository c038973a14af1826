"""Reads the [[check]], [sorter] and [recheck] tables of yard.toml: what is tried on a piece, and twice."""

from console.yard.file.fields import Fields
from console.yard.next_check.checks import USUAL_CHECKS, CheckKind, SorterTime, YardCheck
from console.yard.rechecks.chosen import RecheckSettings

_KEYS = ("kind", "seconds", "cost")
_LONGEST_S = 3600.0
"""A check that takes longer is no check at the bench (our own bound) [s]."""
_LARGEST_COST = 1000.0
"""Above any material that a check uses up, and any wage, in most currencies (our own bound)."""
_LARGEST_WAGE = 1_000_000.0
MOST_SHARE = 0.5
"""Of the pieces that come back."""


def checks_from(file: Fields) -> tuple[YardCheck, ...]:
    """Return the checks that the [[check]] tables list, in their order; the usual ones where there is none.

    Raises:
        YardFileError: A key is missing, unknown or wrong; the message names check and key.
    """
    checks: list[YardCheck] = []
    for fields in file.tables("check", named_by="kind"):
        check = _check(fields)
        if any(other.kind is check.kind for other in checks):
            raise file.wrong("check", f'"{check.kind.value}" stands there twice; one [[check]] each')
        checks.append(check)
    return tuple(checks) or USUAL_CHECKS


def _check(fields: Fields) -> YardCheck:
    fields.refuse_unknown(_KEYS)
    return YardCheck(
        kind=CheckKind(fields.word("kind", None, CheckKind)),
        seconds=fields.number("seconds", None, 0.0, _LONGEST_S),
        cost=fields.number("cost", 0.0, 0.0, _LARGEST_COST),
    )


def sorter_time_from(file: Fields) -> SorterTime:
    """Return what the [sorter] table says of the sorter's time; the usual figures for what it leaves out.

    Raises:
        YardFileError: A key is unknown or wrong.
    """
    fields, usual = file.sub("sorter"), SorterTime()
    fields.refuse_unknown(("cost_per_hour", "second_look_seconds"))
    return SorterTime(
        cost_per_hour=fields.number("cost_per_hour", usual.cost_per_hour, 0.0, _LARGEST_WAGE),
        second_look_s=fields.number("second_look_seconds", usual.second_look_s, 0.0, _LONGEST_S),
    )


def recheck_settings_from(file: Fields) -> RecheckSettings:
    """Return what the [recheck] table says; no re-checks where there is none.

    Raises:
        YardFileError: A key is unknown or wrong.
    """
    fields, usual = file.sub("recheck"), RecheckSettings()
    fields.refuse_unknown(("share", "by_person_for_all"))
    return RecheckSettings(
        share=fields.number("share", usual.share, 0.0, MOST_SHARE),
        by_person_for_all=fields.flag("by_person_for_all", usual.by_person_for_all),
    )
