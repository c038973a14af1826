"""What the desk says of an act, in one line."""

from console.desk.piece.calling import called
from console.entry.load_words import load_words
from console.ground.figures import NO_NAME
from console.ground.mass import format_mass
from console.ledger.rows.rows import PieceEntry, PieceState, Row, RowKind
from console.yard.yard import Yard
from grade_library.verdict import Verdict

OF_NO_NAME = f"of {NO_NAME}"
_KINDS = {RowKind.DRAW_DOWN: "bale", RowKind.RECHECK: "second look", RowKind.CHECK: "check sample"}
"""Kinds of rows that a person calls otherwise."""
NO_SUPPLIER = "no supplier"


def tallied(
    entry: PieceEntry, verdict: Verdict, yard: Yard, person: str, before: PieceState | None = None
) -> str:
    """Return what a piece became: "12.40 kg -> STN stainless 18-8: 304 or 304L, 93 % likely, settled".

    The figure is the probability of the grades named, together. A bay that was chosen beside the advice is
    said with who chose it and what the advice was; neither of them is said to be right. `before` is the
    piece that this one corrects.
    """
    bay = yard.bay(entry.bay)
    weight = format_mass(entry.mass_g, yard.weight_unit)
    count = f" x{entry.pieces}" if entry.pieces > 1 else ""
    what = f": {called(verdict).words}" if verdict.candidates else ""
    sure = f", {entry.sureness}" if entry.sureness and what else ""
    tag = tag_words(entry.tag, before)
    again = f"; set it aside for a second look, write {entry.recheck} on it" if entry.recheck else ""
    return f"{weight}{count} -> {bay.code} {bay.name}{what}{sure}{tag}{_chosen(entry, person)}{again}"


def _chosen(entry: PieceEntry, person: str) -> str:
    if "despite_skin" in entry.evidence:
        return ", despite the skin"
    advised = entry.evidence.get("placement", {}).get("bay")
    return f"; bay chosen by {person}; advice was {advised or 'none'}" if entry.is_override else ""


def which(piece: PieceState, yard: Yard) -> str:
    """Return which piece is meant, in a few words: "12.40 kg x2 304 in STN"."""
    count = f" x{piece.pieces}" if piece.pieces > 1 else ""
    name = piece.short_name or OF_NO_NAME
    return f"{format_mass(piece.mass_g, yard.weight_unit)}{count} {name} in {piece.bay}"


def tag_words(tag: str | None, before: PieceState | None) -> str:
    """Return what to do about the tag of a piece; `before` is what it was entered as, if it was."""
    if not tag:
        is_off = before is not None and before.is_held and before.tag
        return f", take {before.tag} off it" if before is not None and is_off else ""
    return f", {tag} stays on it" if before is not None and before.tag == tag else f", write {tag} on it"


def again(entry: PieceEntry, yard: Yard, before: PieceState | None = None) -> str:
    """Return what a piece became that is like the one before: "9.00 kg x2 -> STN stainless: 304, as ..."."""
    bay = yard.bay(entry.bay)
    count = f" x{entry.pieces}" if entry.pieces > 1 else ""
    named = " or ".join(filter(None, (entry.grade_id, ", ".join(entry.twins))))
    what = f": {entry.class_name or named}" if entry.class_name or named else ""
    tag = tag_words(entry.tag, before)
    weight = format_mass(entry.mass_g, yard.weight_unit)
    return f"{weight}{count} -> {bay.code} {bay.name}{what}, as the piece before; not read itself{tag}"


def act(row: Row, about: Row | None, yard: Yard) -> str:
    """Return what a row did, for undo and redo: "piece 5.80 kg in HLD", "move of piece 5.80 kg to FER".

    Args:
        row: The act.
        about: The row that it corrects; None where it corrects none.
        yard: Gives the weight unit.
    """
    if row.kind is RowKind.LOT:
        return f"the last step of lot {row.body['lot']}"
    if row.kind is RowKind.CONSIGNMENT and about is None:
        return f"{row.body['act']} of {row.body['consignment']}"
    if row.kind is RowKind.FROM_HERE:
        return f"{load_words(row.body['supplier'], row.body['load']) or NO_SUPPLIER} from here on"
    if row.kind is RowKind.NOTE:
        # A downgrade is a note about its bale, and says itself which.
        return f'note "{row.body["text"]}"'
    if about is None:
        weight = f" {format_mass(row.mass_g, yard.weight_unit)}" if row.mass_g is not None else ""
        where = f" in {row.bay}" if row.bay and row.kind is RowKind.PIECE else ""
        where = f" of {row.bay}" if row.bay and row.kind is RowKind.DRAW_DOWN else where
        return f"{_KINDS.get(row.kind, row.kind.value)}{weight}{where}"
    what = act(about, None, yard)
    match row.kind:
        case RowKind.VOID:
            return f"void of {what}"
        case RowKind.UNVOID:
            return what
        case RowKind.LOAD:
            return f"load of {what}: {load_words(row.body['supplier'], row.body['load']) or NO_SUPPLIER}"
        case RowKind.REWEIGH:
            return f"weight {format_mass(row.mass_g or 0, yard.weight_unit)} of {what}"
    return f"{row.kind.value} of {what} to {row.bay}"


def becomes(verdict: Verdict) -> str:
    """Return what a piece is called in a few words: "304, 81 % likely"."""
    return called(verdict).words
