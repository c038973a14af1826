"""The re-checks as text: where pieces were put against where they belong, with intervals."""

from collections.abc import Iterator, Sequence
from typing import Any

from console.ground.cleaning import clean
from console.ground.figures import many
from console.reports.columns import left, right
from console.yard.rechecks.confusion import CONFIDENCE, Confusion, Recheck, RightShare, confusion_of
from console.yard.yard import Yard

OFF = "No blind re-checks: set share under [recheck] in yard.toml, such as 0.02."
_CELL, _HEAD = 5, 8


def rechecks_text(
    done: Sequence[Recheck], drawn: int, yard: Yard, *, person: str = "", width: int = 80
) -> Iterator[str]:
    """Yield the confusion matrix and the shares that were right.

    Args:
        done: Every second look.
        drawn: How many pieces were drawn.
        yard: Its bays, and who may see whose share.
        person: Whose own share is shown; empty for nobody's.
        width: Columns; classes that have no room are left out of the columns, never out of the rows.
    """
    if not drawn and not yard.recheck.share:
        yield OFF
        return
    yield f"Blind re-checks: {many(drawn, 'piece', 'pieces')} drawn, {len(done)} looked at again."
    if not done:
        return
    matrix = confusion_of(done, [bay.code for bay in yard.bays])
    yield f"Right: {share_words(matrix.overall)} (Wilson interval, {100 * CONFIDENCE:.0f} %)"
    yield ""
    yield from _table(matrix, width)
    if of_persons := _by_person(done, yard, person):
        yield ""
        yield from of_persons


def _table(matrix: Confusion, width: int) -> Iterator[str]:
    """Yield the matrix: a row for where pieces were put, a column for where they belong."""
    room = max(1, (width - _HEAD - 22) // _CELL)
    shown = matrix.classes[:room]
    columns = "".join(right(code, _CELL) for code in shown)
    yield left("put in", _HEAD) + columns + right("right", 22)
    for code, counts, share in zip(matrix.classes, matrix.counts, matrix.by_class, strict=True):
        cells = "".join(right(str(count) if count else "·", _CELL) for count in counts[:room])
        yield left(code, _HEAD) + cells + right(share_words(share) if share.checked else "·", 22)
    if len(shown) < len(matrix.classes):
        yield f"columns left out: {' '.join(matrix.classes[room:])}"


def _by_person(done: Sequence[Recheck], yard: Yard, person: str) -> list[str]:
    """Return the shares of those whose shares may be seen here."""
    seen = yard.people if yard.recheck.by_person_for_all else (person,) if person else ()
    lines = []
    for name in seen:
        own = [one for one in done if one.person == name]
        if own:
            lines.append(f"{left(clean(name), 24)} {share_words(confusion_of(own, ()).overall)}")
    return lines


def share_words(share: RightShare) -> str:
    """Return a share in words: "18 of 20, 70-97 %"."""
    return f"{share.right} of {share.checked}, {100 * share.low:.0f}-{100 * share.high:.0f} %"


def rechecks_json(done: Sequence[Recheck], drawn: int, yard: Yard) -> dict[str, Any]:
    """Return the same as a JSON-ready object; persons only where yard.toml lets everybody see them."""
    matrix = confusion_of(done, [bay.code for bay in yard.bays])
    said: dict[str, Any] = {
        "drawn": drawn,
        "looked_at_again": len(done),
        "confidence": CONFIDENCE,
        "overall": _json(matrix.overall),
        "classes": {
            code: {
                **_json(share),
                "belongs_in": {c: n for c, n in zip(matrix.classes, row, strict=True) if n},
            }
            for code, row, share in zip(matrix.classes, matrix.counts, matrix.by_class, strict=True)
        },
    }
    if yard.recheck.by_person_for_all:
        of = {name: [one for one in done if one.person == name] for name in yard.people}
        said["people"] = {name: _json(confusion_of(own, ()).overall) for name, own in of.items() if own}
    return said


def _json(share: RightShare) -> dict[str, Any]:
    return {
        "right": share.right,
        "checked": share.checked,
        "low": round(share.low, 4),
        "high": round(share.high, 4),
    }
