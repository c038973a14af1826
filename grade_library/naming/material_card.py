"""The card of a material: everything the library knows of a thing that is named and not read, as plain
text."""

import textwrap
from collections.abc import Iterator

from grade_library.cautions import DEFERRAL, all_cautions
from grade_library.grade import Limit
from grade_library.library import GradeLibrary
from grade_library.material import Material

_LANGUAGES = {"en": "English", "de": "German", "fr": "French", "es": "Spanish", "it": "Italian"}
_LABEL_COLUMNS = 14
_MOST_GRADES = 12
"""More grades than this are counted and not listed."""
LEAST_WIDTH = 60


def material_card(material: Material, library: GradeLibrary, width: int = 80) -> str:
    """Return the card of a material; no line is longer than `width`, at least 60.

    >>> from grade_library.library import load
    >>> library = load()
    >>> print(material_card(library.dictionary.material("Taldon"), library).splitlines()[0])
    Taldon: aluminium drinks cans, baled
    """
    width = max(width, LEAST_WIDTH)
    head = f"{material.material_id}: {material.what}" if material.what else material.material_id
    lines = [head, f"a material, sold as {material.group}"]
    for label, said in _facts(material, library):
        lines += textwrap.wrap(
            f"{label:{_LABEL_COLUMNS}}{said}", width, subsequent_indent=" " * _LABEL_COLUMNS
        )
    return "\n".join(lines) + "\n"


def _facts(material: Material, library: GradeLibrary) -> Iterator[tuple[str, str]]:
    if material.shares:
        shares = ", ".join(f"{symbol} {_share(limit)}" for symbol, limit in material.shares.items())
        yield "holds wt %", f"{shares} of the whole piece"
    if material.share_basis:
        yield "seen or not", material.share_basis
    if grades := library.made_of[material.material_id]:
        more = len(grades) - _MOST_GRADES
        yield "made of", ", ".join(grades[:_MOST_GRADES]) + (f" and {more} more" if more > 0 else "")
    if material.piece_low_kg is not None:
        yield "a piece", f"{material.piece_low_kg:g} to {material.piece_high_kg:g} kg"
    for label, listed in (("forms", material.forms), ("hangs on it", material.attachments)):
        if listed:
            yield label, ", ".join(listed)
    if material.entries:
        yield "entries", ", ".join(material.entries)
    for language, names in material.names.items():
        yield _LANGUAGES[language], ", ".join(names)
    if material.hazards:
        yield "hazards", "; ".join(material.hazards)
    yield from _cautions(material)
    if material.note:
        yield "note", material.note
    yield "source", material.source


def _cautions(material: Material) -> Iterator[tuple[str, str]]:
    standing = [caution for caution in all_cautions() if caution.caution_id in material.cautions]
    for caution in standing:
        yield str(caution.level).upper(), f"{caution.title}: {caution.say}"
    if standing:
        yield "", DEFERRAL


def _share(limit: Limit) -> str:
    return f"{limit.low:g}" if limit.low == limit.high else f"{limit.low:g}-{limit.high:g}"
