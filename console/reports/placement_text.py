"""Why a piece was placed where it was: what was known then, from what the ledger kept with its row."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from console.ground.cleaning import clean
from console.ground.dates import local
from console.ground.mass import format_mass
from console.ledger.rows.connection import LedgerSource, one_view
from console.ledger.rows.errors import LedgerRefusal
from console.ledger.rows.queries import kept_evidence, row_by_id, rows_where
from console.ledger.rows.rows import PieceState, Row, RowKind
from console.ledger.views.piece_state import corrections_of, piece_state
from console.reports.columns import folded, joined
from console.reports.paperwork.readings_behind import shot_words, shots_of

_HASH_SHOWN = 16
AS_BEFORE = "said to be like the piece of row id {like}; nothing was read of this one"
_NO_LIST = ("shots", "claim")
"""Facts that stand on lines of their own."""
_NAMES = {"density_g_cm3": "density g/cm3", "iacs_pct": "% IACS", "has_attachments": "attachments"}
"""What a reader calls the facts that are kept under another name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacementExplained:
    """A piece with the rows that named it, and what was kept with them."""

    piece: PieceState
    naming: tuple[tuple[Row, Mapping[str, Any]], ...]
    """Its own row, then the one that resolved it, each with its evidence."""


def explained(source: LedgerSource, wanted: str) -> PlacementExplained:
    """Return what the ledger kept of a piece and its placement.

    Args:
        source: The ledger or a reader.
        wanted: Its row id, or the tag of a piece that is or was on hold; the newest piece that bears it.

    Raises:
        LedgerRefusal: There is no such piece.
    """
    with one_view(source):
        piece = piece_state(source, _row_id_of(source, wanted.strip()))
        if piece is None:
            raise LedgerRefusal(
                f'No piece has the tag or row id "{clean(wanted)}". Tags stand in the handover, row ids in '
                "`baywright office --form json`."
            )
        own = row_by_id(source, piece.row_id)
        later = [row for row in corrections_of(source, piece.row_id) if row.kind is RowKind.RESOLVE]
        assert own is not None
        naming = tuple((row, kept_evidence(source, row.row_id)) for row in (own, *later))
    return PlacementExplained(piece=piece, naming=naming)


def _row_id_of(source: LedgerSource, wanted: str) -> str:
    """Return the row id of a piece that is named by it or by its tag."""
    tagged = rows_where(source, "tag = ?", (wanted.upper(),), index=None)
    return (tagged[-1].refers or tagged[-1].row_id) if tagged else wanted


def placement_text(found: PlacementExplained, unit: str, width: int = 80) -> str:
    """Return all of it as plain text.

    Args:
        found: The piece.
        unit: Weight unit of the yard.
        width: Columns that no line exceeds, at least 60.
    """
    lines: list[str] = []
    for row, evidence in found.naming:
        lines += [*_head(row, unit, width), *_told(evidence, width), *_candidates(evidence, width), ""]
    if found.piece.corrections:
        lines.append("SINCE")
        for one in found.piece.corrections:
            lines += folded(clean(one.said(unit)), width, first="  ", indent="    ")
        lines.append("")
    lines += folded(
        "As the ledger kept it when the row was written; the grade library may have changed since.", width
    )
    return joined(lines) + "\n"


def _head(row: Row, unit: str, width: int) -> Iterator[str]:
    """Yield what was written, by whom, when, and which row it is."""
    done = "RESOLVED" if row.kind is RowKind.RESOLVE else "TALLIED"
    weight = f"{format_mass(row.mass_g, unit)} " if row.mass_g else ""
    count = f"x{row.pieces} " if (row.pieces or 1) > 1 else ""
    tag = f", tag {clean(row.tag)}" if row.tag else ""
    named = clean(str(row.body.get("class", "")) or row.grade_id or "no name")
    at = local(row.at_utc)
    yield from folded(f"{done} {weight}{count}-> {clean(row.bay or '')}{tag}, as {named}", width)
    yield from folded(f'"{clean(str(row.body.get("line", "")))}"', width, first="  ", indent="  ")
    yield from folded(
        f"{clean(row.person)}, {at:%Y-%m-%d %H:%M} {at.tzname()}, terminal {clean(row.terminal)}, "
        f"row {row.seq}, hash {row.row_hash[:_HASH_SHOWN]}",
        width,
        first="  ",
        indent="  ",
    )


def _told(evidence: Mapping[str, Any], width: int) -> Iterator[str]:
    """Yield what was known of the piece, where it should have gone, and what was in doubt."""
    if not evidence:
        yield "  Nothing was known of it beside the line."
        return
    facts = evidence.get("facts") or {}
    place, like = evidence.get("placement") or {}, evidence.get("as_before")
    skin = evidence.get("skin") or {}
    claim = facts.get("claim") or {}
    bench = [
        f"{_NAMES.get(name, name)} {_plain(value)}" for name, value in facts.items() if name not in _NO_LIST
    ]
    said = [
        ("as before", AS_BEFORE.format(like=like) if like else ""),
        ("said to be", str(claim.get("label", ""))),
        ("bench", ", ".join(bench)),
        *(("read", shot_words(shot)) for shot in shots_of(evidence)),
        ("skin", str(skin.get("advice", "")) if skin.get("suspected") else ""),
        ("advised", f"{place.get('bay')}, {place.get('sureness')}: {place.get('reason')}" if place else ""),
        *(("warning", str(text)) for text in evidence.get("warnings", ())),
        *(("doubt", str(text)) for text in evidence.get("doubts", ())),
        ("cautions", ", ".join(map(str, evidence.get("cautions", ())))),
        ("despite", str((evidence.get("despite_skin") or {}).get("reason", ""))),
    ]
    for name, text in said:
        if text:
            yield from folded(clean(text), width, first=f"  {name:<11}", indent=" " * 13)


def _plain(value: object) -> str:
    """Return a bench fact as words."""
    if isinstance(value, list):
        return " ".join(map(str, value))
    return "yes" if value is True else f"{value:g}" if isinstance(value, float) else str(value)


def _candidates(evidence: Mapping[str, Any], width: int) -> Iterator[str]:
    """Yield every grade that it could be, with what spoke for and against."""
    candidates: Sequence[Mapping[str, Any]] = evidence.get("candidates", ())
    if not candidates:
        return
    yield "  could be"
    for one in candidates:
        twins = f", not told from {', '.join(map(str, one['twins']))}" if one.get("twins") else ""
        yield from folded(
            clean(f"{one.get('grade')}{twins}"),
            width,
            first=f"  {float(one.get('probability', 0.0)):7.1%}  ",
            indent=" " * 11,
        )
        for reason in one.get("reasons", ()):
            mark = "+" if reason.get("speaks") == "for" else "-"
            yield from folded(
                clean(str(reason.get("text", ""))), width, first=f"           {mark} ", indent=" " * 13
            )
    if "unlisted" in evidence:
        yield f"  {float(evidence['unlisted']):7.1%}  none listed: no grade of the library fits"
