"""What a piece is called where rows are added up: its grade, or the class it was sorted as."""

from typing import TYPE_CHECKING

from console.ground.cleaning import clean

if TYPE_CHECKING:
    from console.ledger.rows.rows import PieceState


def sort_class(piece: "PieceState") -> str:
    """Return what a piece was named, cleaned: "304", "316L or 316", "structural steel"; empty if unnamed.

    Grades that the findings could not tell apart stand by their class, since a list of them says no more and
    reads as a claim. They keep their names where they are kinds of one grade, or the library knows none.
    """
    if piece.class_name:
        return clean(piece.class_name)
    if piece.grade_id is None or all(_is_kin(piece.grade_id, twin) for twin in piece.twins):
        return clean(piece.grade_label)
    return " or ".join(_families(piece.grade_id, *piece.twins)) or clean(piece.grade_label)


def _is_kin(one: str, other: str) -> bool:
    """Return whether two designations are kinds of one grade: 316L and 316, 304 and 304L."""
    return one.startswith(other) or other.startswith(one)


def _families(*grade_ids: str) -> tuple[str, ...]:
    """Return the families of grades, each once, in their order, those of kin by their names; none where one
    is of the yard's own list.
    """
    from grade_library.library import load  # numpy and the data, only where a piece has twins

    try:
        families = {one: load().grade(one).family for one in grade_ids}
    except KeyError:
        return ()
    first = grade_ids[0]
    kin = [one for one in grade_ids if families[one] == families[first]]
    if len(kin) > 1 and all(_is_kin(first, one) for one in kin):
        # A cast twin would else take the number from the metal: 316L, 316 or CF3M is no mere stainless.
        own = clean(", ".join(kin))
        return (own, *dict.fromkeys(name for name in families.values() if name != families[first]))
    return tuple(dict.fromkeys(families.values()))
