"""What a piece is called where rows are added up: its grade, or the class it was sorted as."""

from console.ground.cleaning import clean
from console.ledger.rows.rows import PieceState


def sort_class(piece: PieceState) -> str:
    """Return what a piece was named, cleaned: "304", "316 or 316L", "structural steel"; empty if unnamed.

    Grades that the findings could not tell apart stand by their class, since a list of them says no more and
    reads as a claim. They keep their names where they are kinds of one grade, or the library knows none.
    """
    if piece.class_name:
        return clean(piece.class_name)
    if piece.grade_id is None or all(twin.startswith(piece.grade_id) for twin in piece.twins):
        return clean(piece.grade_label)
    return " or ".join(_families(piece.grade_id, *piece.twins)) or clean(piece.grade_label)


def _families(*grade_ids: str) -> tuple[str, ...]:
    """Return the families of grades, each once, in their order; none where one is of the yard's own list."""
    from grade_library.library import load  # numpy and the data, only where a piece has twins

    try:
        return tuple(dict.fromkeys(load().grade(one).family for one in grade_ids))
    except KeyError:
        return ()
