"""Writes a grade as the table of a grade file: the way back from the record."""

from typing import Any

from grade_library.grade import Citation, Grade
from grade_library.loading.notation import write_limit

TABLE_KEYS = ("limits", "sums", "others")
"""Keys whose value is a table of single values."""


def grade_table(grade: Grade) -> dict[str, Any]:
    """Return the keys and values with which a grade file states the grade; reading them gives the grade back.

    >>> from grade_library.library import load
    >>> grade_table(load().grade("304"))["limits"]["Cr"]
    '17.5-19.5'
    """
    table: dict[str, Any] = {
        "family": grade.family,
        "group": grade.group,
        "series": grade.series,
        "base": grade.base,
        "uns": grade.uns or "",
        "en": list(grade.en),
        "names": list(grade.names),
        "near_names": list(grade.near_names),
        "limits": {symbol: write_limit(limit) for symbol, limit in grade.limits.items()},
        "sums": {symbols: write_limit(limit) for symbols, limit in grade.sums.items()},
        "others": _stated({"each": grade.others_each, "total": grade.others_total}),
        "density": grade.density_g_cm3,
        "iacs": _conductivity(grade),
        "iacs_by_temper": grade.iacs_by_temper,
        "magnet": grade.magnet.value,
        "colour": grade.colour.value,
        "look": grade.look,
        "spark": grade.spark,
        "cast": grade.is_cast,
        "forms": list(grade.forms),
        "scrap": list(grade.scrap),
        "cautions": list(grade.cautions),
        "differs": [
            f"{other.element} {write_limit(other.limit)}: {_written(other.citation)}"
            + (f", {other.note}" if other.note else "")
            for other in grade.differences
        ],
        "sources": {value: _written(citation) for value, citation in grade.sources.items()},
        "note": grade.note,
    }
    return {key: value for key, value in table.items() if value not in ("", [], {}, False)}


def _stated(values: dict[str, float | None]) -> dict[str, float]:
    return {key: value for key, value in values.items() if value is not None}


def _conductivity(grade: Grade) -> str:
    if grade.iacs_low_pct is None or grade.iacs_high_pct is None:
        return ""
    if grade.iacs_low_pct == grade.iacs_high_pct:
        return f"{grade.iacs_low_pct:g}"
    return f"{grade.iacs_low_pct:g}-{grade.iacs_high_pct:g}"


def _written(citation: Citation) -> str:
    return f"{citation.source_id}: {citation.where}" if citation.where else citation.source_id
