"""The grade card: everything the library knows of one grade, as plain text."""

import math
import re
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from grade_library.cautions import DEFERRAL, cautions_of_grade
from grade_library.grade import Citation, Grade, Limit
from grade_library.library import GradeLibrary
from grade_library.loading.notation import RECKONED, write_limit
from grade_library.matcher.confusion import most_confused
from grade_library.matcher.twins import twins_of
from grade_library.technique import profiles

TwinFunction = Callable[[GradeLibrary, str, str], tuple[Grade, ...]]
LEAST_WIDTH = 60
MOST_TWINS = 12
"""More twins than this are counted and not listed."""
_SCALE_DECADES = (0.01, 0.1, 1.0, 10.0, 100.0)
"""Marks of the strip's scale [wt %]; a strip is logarithmic, so that a trace shows beside a main element."""
_STRIP_COLUMN = 22


@dataclass(frozen=True, slots=True)
class _Glyphs:
    full: str
    open: str
    """From nothing up to a bare maximum."""
    empty: str
    rest: str
    low: str
    high: str


_UNICODE = _Glyphs("█", "░", "·", "▒", "≥", "≤")
_ASCII = _Glyphs("#", "-", ".", "=", ">=", "<=")


def card_text(
    grade: Grade,
    library: GradeLibrary,
    width: int = 80,
    *,
    twins: TwinFunction | None = twins_of,
    is_ascii: bool = False,
    has_strips: bool = True,
) -> str:
    """Return the card of a grade as lines of plain text.

    Args:
        grade: A grade of the library.
        library: For sources, twins and what the grade is taken for.
        width: Columns, at least 60; no line is longer.
        twins: Gives the twins by technique; None leaves them and the confusions out.
        is_ascii: Draw with signs that every terminal has.
        has_strips: False leaves out what is drawn; the figures stay.

    >>> from grade_library.library import load
    >>> library = load()
    >>> print(card_text(library.grade("304"), library).splitlines()[0])
    304   S30400   1.4301   X5CrNi18-10
    """
    width = max(width, LEAST_WIDTH)
    glyphs = _ASCII if is_ascii else _UNICODE
    parts = [
        _title(grade),
        list(_limit_lines(grade, width if has_strips else 0, glyphs)),
        _fact_lines(grade),
        _caution_lines(grade),
        _difference_lines(grade),
        [] if twins is None else list(_twin_lines(grade, library, twins)),
        [] if twins is None else list(_confusion_lines(grade, library)),
        list(_source_lines(grade, library)),
    ]
    lines: list[str] = []
    for part in parts:
        if part:
            lines += [*([""] if lines else []), *part]
    return "\n".join(wrapped for line in lines for wrapped in _wrapped(line, width)) + "\n"


_LABEL = re.compile(r"\s*\S+(?: \S+)*\s{2,}")
_MOST_INDENT = 20


def _wrapped(line: str, width: int) -> list[str]:
    """Return a line as lines of at most that width, the rest under the text and not under its label."""
    if len(line) <= width:
        return [line.rstrip()]
    label = _LABEL.match(line)
    indent = min(label.end() if label else 2, _MOST_INDENT)
    return textwrap.wrap(line, width, subsequent_indent=" " * indent, drop_whitespace=True)


def _title(grade: Grade) -> list[str]:
    numbers = [number for number in (grade.uns, *grade.en) if number]
    lines = ["   ".join(dict.fromkeys([grade.grade_id, *numbers]))]
    kind = f"{grade.family}" + (f", {grade.series} series" if grade.series.isdigit() else "")
    lines.append(kind + (", cast" if grade.is_cast else "") + f"; base {grade.base}")
    if grade.names:
        lines.append("also called " + ", ".join(grade.names))
    if grade.near_names:
        lines.append("near, not the same: " + ", ".join(grade.near_names))
    if grade.owner == "yard":
        lines.append("the yard's own entry: values marked yard below are the yard's")
    return lines


def _limit_lines(grade: Grade, width: int, glyphs: _Glyphs) -> Iterator[str]:
    strip_width = max(0, width - _STRIP_COLUMN)
    yield "wt %".ljust(_STRIP_COLUMN) + (_scale(strip_width) if strip_width else "")
    ordered = sorted(grade.limits.items(), key=lambda item: (not item[1].is_rest, -_most(item[1])))
    for symbol, limit in ordered:
        text = _limit_text(limit, glyphs)
        strip = _strip(limit, strip_width, glyphs) if strip_width else ""
        yield f"{symbol:<3} {text}".ljust(_STRIP_COLUMN - 1) + " " + strip
    for symbols, limit in grade.sums.items():
        yield f"{symbols} together {_limit_text(limit, glyphs)}"
    if any(limit.is_reckoned for limit in (*grade.limits.values(), *grade.sums.values())):
        yield f"{RECKONED} reckoned, not printed in the source"
    for label, most in (("each", grade.others_each), ("in all", grade.others_total)):
        if most is not None:
            yield f"others {label} {glyphs.high}{most:g}"


def _limit_text(limit: Limit, glyphs: _Glyphs) -> str:
    if limit.nominal is not None:
        return f"{limit.nominal:g} nominal"
    return write_limit(limit).replace("<=", glyphs.high).replace(">=", glyphs.low)


def _most(limit: Limit) -> float:
    return 100.0 if limit.high is None else limit.high


def _place(wt_pct: float, width: int) -> int:
    """Return the column of a mass fraction on the logarithmic strip, 0..width."""
    least, most = math.log10(_SCALE_DECADES[0]), math.log10(_SCALE_DECADES[-1])
    share = (math.log10(max(wt_pct, _SCALE_DECADES[0])) - least) / (most - least)
    return round(min(share, 1.0) * width)


def _scale(width: int) -> str:
    line = [" "] * width
    for mark in _SCALE_DECADES:
        text = f"{mark:g}"
        start = min(_place(mark, width), width - len(text))
        line[start : start + len(text)] = text
    return "".join(line)


def _strip(limit: Limit, width: int, glyphs: _Glyphs) -> str:
    """Return the limit as a strip: solid between minimum and maximum, open below a bare maximum."""
    if limit.is_rest and limit.low is None and limit.high is None:
        start, end, sign = 0, width, glyphs.rest
    else:
        start, end = _place(limit.low or 0.0, width), _place(_most(limit), width)
        sign = glyphs.open if limit.low is None else glyphs.full
    end = max(end, start + 1)
    if end > width:
        start, end = width - 1, width
    return glyphs.empty * start + sign * (end - start) + glyphs.empty * (width - end)


def _fact_lines(grade: Grade) -> list[str]:
    facts = [
        ("density", f"{grade.density_g_cm3:g} g/cm3"),
        ("magnet", grade.magnet.value),
        ("conductivity", _conductivity(grade)),
        ("file mark", grade.colour.value),
        ("look", grade.look),
        ("spark", grade.spark),
        ("seen as", ", ".join(grade.forms)),
        ("scrap entry", ", ".join(grade.scrap)),
        ("note", grade.note),
    ]
    return [f"{label:<13} {text}" for label, text in facts if text]


def _conductivity(grade: Grade) -> str:
    if grade.iacs_low_pct is None or grade.iacs_high_pct is None:
        return ""
    low, high = grade.iacs_low_pct, grade.iacs_high_pct
    text = f"{low:g} % IACS" if low == high else f"{low:g} to {high:g} % IACS"
    return text + (f" ({grade.iacs_by_temper})" if grade.iacs_by_temper else "")


def _caution_lines(grade: Grade) -> list[str]:
    cautions = cautions_of_grade(grade)
    lines = [f"  {c.level.value.upper():<4}  {c.title}: {c.say}" for c in cautions]
    return ["cautions", *lines, f"  {DEFERRAL}"] if cautions else []


def _difference_lines(grade: Grade) -> list[str]:
    lines = ["other editions and countries say"] if grade.differences else []
    for other in grade.differences:
        note = f", {other.note}" if other.note else ""
        lines.append(f"  {other.element} {write_limit(other.limit)}: {_cited(other.citation)}{note}")
    return lines


def _twin_lines(grade: Grade, library: GradeLibrary, twins: TwinFunction) -> Iterator[str]:
    yield "twins: grades that a technique cannot tell from this one"
    for key, profile in profiles().items():
        found = [twin.grade_id for twin in twins(library, grade.grade_id, key)]
        more = f" and {len(found) - MOST_TWINS} more" if len(found) > MOST_TWINS else ""
        yield f"  {profile.label:<12} {', '.join(found[:MOST_TWINS]) or 'none'}{more}"


def _confusion_lines(grade: Grade, library: GradeLibrary) -> Iterator[str]:
    yield "most easily taken for, and what tells the two apart"
    for confusion in most_confused(library, grade.grade_id):
        yield f"  {confusion.grade.grade_id:<12} {confusion.check}"


def _source_lines(grade: Grade, library: GradeLibrary) -> Iterator[str]:
    yield "sources"
    for value, citation in grade.sources.items():
        source = library.sources.get(citation.source_id)
        cite = citation.source_id if source is None else source.cite
        where = f", {citation.where}" if citation.where else ""
        yield f"  {value:<12} {cite}{where}"


def _cited(citation: Citation) -> str:
    return f"{citation.source_id} {citation.where}".strip()
