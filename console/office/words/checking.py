"""Whether what an office is about to say can be taken by a yard, as far as that is known without the yard."""

from pathlib import Path
from typing import Any

from console.office.words.word import LONGEST, WordRefused
from console.yard.file.yard_file import yard_from
from console.yard.office_says import Said, said_of
from grade_library.library import GradeLibrary

_HOLD = {"code": "HLD", "name": "hold", "accepts": [], "is_hold": True}
_SCALE = {"name": "any", "division": "20 g", "largest": "300 kg"}


def must_be_sayable(text: str, library: GradeLibrary) -> None:
    """Raise unless a yard that has every bay named, with nothing but what is said of it, is whole.

    Args:
        text: What is about to be said.
        library: The grades that it may name.

    Raises:
        YardFileError: Something in it is wrong; the message says what.
        WordRefused: It says nothing, or is too long.
    """
    if len(text) > LONGEST:
        raise WordRefused(f"{len(text)} characters; at most {LONGEST}. Say it in several files.")
    said = said_of(text)
    if not said.bays and said.people is None and said.buyers is None:
        raise WordRefused("The file says nothing: no [[bay]], no people, no [[buyer]].")
    yard_from(_least_yard(said), Path(), library)


def _least_yard(said: Said) -> dict[str, Any]:
    """Return a yard.toml, as read, with what is said and no more than such a file needs."""
    bays: list[dict[str, Any]] = [_HOLD]
    for code, told in said.bays.items():
        usual = {"name": code, "accepts": ["everything"], "price_per_kg": told.get("downgrade_per_kg", 0.0)}
        bay = {"code": code, **usual, **told}
        # Whether such a bay is there only the yard knows.
        bay.pop("refused_to", None)
        bays.append(bay)
    return {
        "name": "any",
        "people": ["anybody"] if said.people is None else list(said.people),
        "piece_scale": _SCALE,
        "ticket_scale": _SCALE,
        "bay": bays,
        "buyer": [dict(one) for one in said.buyers or ()],
    }
