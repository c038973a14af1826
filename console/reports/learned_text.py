"""The frequencies that the desk uses now, against the usual ones: as plain text and as JSON."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from console.ground.cleaning import clean
from console.ground.figures import percent
from console.reports.columns import Columns
from grade_library.library import GradeLibrary
from grade_library.matcher.prior import FLOOR, Prior

MOST_SHOWN = 8
"""Families and grades listed: both tables fit a screen of 24 lines."""
_COLUMNS = Columns(62, (8, 8, 10))


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One grade or family before anything is known of a piece."""

    name: str
    now: float
    """Share with which pieces are considered now, 0..1."""
    usual: float
    """The same in a mixed yard."""
    counted: int
    """Entries of closed runs that were named so."""


def shares_by_grade(prior: Prior, counts: Mapping[str, int], library: GradeLibrary) -> list[Share]:
    """Return every grade, the most frequent first."""
    now, usual = prior.shares(library), Prior.usual(library).shares(library)
    shares = [
        Share(
            name=grade.grade_id,
            now=float(now[row]),
            usual=float(usual[row]),
            counted=counts.get(grade.grade_id, 0),
        )
        for row, grade in enumerate(library.grades)
    ]
    return sorted(shares, key=_order)


def shares_by_family(prior: Prior, counts: Mapping[str, int], library: GradeLibrary) -> list[Share]:
    """Return every family, the most frequent first."""
    members: dict[str, list[Share]] = defaultdict(list)
    for share in shares_by_grade(prior, counts, library):
        members[library.grades[library.index_of(share.name)].family].append(share)
    shares = [
        Share(
            name=family,
            now=sum(share.now for share in of_family),
            usual=sum(share.usual for share in of_family),
            counted=sum(share.counted for share in of_family),
        )
        for family, of_family in members.items()
    ]
    return sorted(shares, key=_order)


def _order(share: Share) -> tuple[int, float, str]:
    return -share.counted, -share.now, share.name


def learned_text(
    prior: Prior, counts: Mapping[str, int], library: GradeLibrary, *, is_on: bool, most: int = MOST_SHOWN
) -> Iterator[str]:
    """Yield the frequencies as lines of at most 80 columns: whose they are, then families, then grades.

    Args:
        prior: The frequencies that count now.
        counts: Grade id -> entries of closed runs.
        library: The grades.
        is_on: False where the yard has learning switched off.
        most: Lines of each table.
    """
    yield from _whose(prior, sum(counts.values()), is_on)
    tables = (
        ("family", shares_by_family(prior, counts, library)),
        ("grade", shares_by_grade(prior, counts, library)),
    )
    for what, shares in tables:
        yield ""
        yield _COLUMNS.row(what, "now", "usual", "counted")
        for share in shares[:most]:
            counted = str(share.counted) if share.counted else "·"
            yield _COLUMNS.row(clean(share.name), _percent(share.now), _percent(share.usual), counted)
        if len(shares) > most:
            yield f"and {len(shares) - most} more"


def _percent(share: float) -> str:
    """Return a share as per cent with one decimal: single grades are rare."""
    return f"{100.0 * share:.1f} %" if share >= 0.001 else "<0.1 %"


def _whose(prior: Prior, found: int, is_on: bool) -> Iterator[str]:
    """Yield whose frequencies count, and what would change that."""
    if not is_on:
        yield "Learning is switched off (learn_from_runs = false in yard.toml):"
        yield f"frequencies {prior.label} count; {found} entries of closed runs would teach."
    elif prior.counted:
        yield f"Frequencies {prior.label}: {prior.counted} entries of closed runs; the usual ones"
        yield f"keep at least {percent(FLOOR)}. learn_from_runs = false in yard.toml switches it off."
    else:
        yield f"Frequencies {prior.label}: no closed run has named a piece yet."


def learned_json(
    prior: Prior, counts: Mapping[str, int], library: GradeLibrary, *, is_on: bool
) -> dict[str, Any]:
    """Return the same as a JSON-ready object, with every family and every grade."""
    return {
        "learning": is_on,
        "frequencies": prior.label,
        "counted": prior.counted,
        "found_in_closed_runs": sum(counts.values()),
        "families": [_json(share) for share in shares_by_family(prior, counts, library)],
        "grades": [_json(share) for share in shares_by_grade(prior, counts, library)],
    }


def _json(share: Share) -> dict[str, Any]:
    return asdict(share) | {"now": round(share.now, 6), "usual": round(share.usual, 6)}
