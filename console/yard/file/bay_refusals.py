"""Reads what one [[bay]] of yard.toml refuses beside grades: elements, surfaces, coatings, forms."""

import difflib
from dataclasses import dataclass
from dataclasses import fields as dataclass_fields
from typing import Any

from console.ground.cleaning import clean
from console.yard.errors import YardFileError
from console.yard.file.fields import Fields
from console.yard.refused_elements import symbol_of
from console.yard.yard import Bay
from grade_library.elements import ELEMENTS, nearest_symbol
from grade_library.errors import GradeDataError
from grade_library.facts import Form, Surface
from grade_library.grade import Limit
from grade_library.loading.notation import read_limit
from grade_library.skin.coatings import all_coatings

REFUSAL_KEYS = (
    "element_limits",
    "refused_surfaces",
    "refused_coatings",
    "refused_forms",
    "refuses_attachments",
    "refuses_at_all",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusals:
    """What a bay or an order refuses whatever the grade; the fields are those of `Bay` and `Order`."""

    element_limits: dict[str, float]
    refused_surfaces: frozenset[Surface]
    refused_coatings: frozenset[str]
    refused_forms: frozenset[Form]
    refuses_attachments: bool
    refused_elements: frozenset[str]

    @property
    def by_field(self) -> dict[str, Any]:
        """Field -> what it says, for the bay or order that is made of it."""
        return {one.name: getattr(self, one.name) for one in dataclass_fields(self)}


def read_refusals(fields: Fields) -> Refusals:
    """Return the refusals of one bay or order.

    Raises:
        YardFileError: A key is wrong; the message names bay and key, and what would be right.
    """
    return Refusals(
        element_limits=_element_limits(fields),
        refused_surfaces=fields.members("refused_surfaces", Surface),
        refused_coatings=_coatings(fields),
        refused_forms=fields.members("refused_forms", Form),
        refuses_attachments=fields.flag("refuses_attachments"),
        refused_elements=read_refused_elements(fields),
    )


def read_chemistry(fields: Fields) -> dict[str, Limit]:
    """Return what the buyer wants of the whole bay: symbol -> limit [wt %].

    Raises:
        YardFileError: A symbol or a limit is wrong.
    """
    table = fields.sub("chemistry")
    return {_symbol(table, symbol): read_bound(table, symbol) for symbol in table.table}


def read_bound(table: Fields, symbol: str) -> Limit:
    """Return the limit of an element, or of whatever else the key says, in a whole bay or load [wt %].

    Raises:
        YardFileError: It is none.
    """
    written = table.table[symbol]
    if not isinstance(written, str):
        raise table.wrong(symbol, f'{written!r} is no limit; write {symbol} = "<=0.4"')
    try:
        limit = read_limit(written)
    except GradeDataError as error:
        raise table.wrong(symbol, str(error)) from error
    if limit.is_rest:
        raise table.wrong(symbol, f'"{written}" sets no bound for a buyer; write {symbol} = ">=60"')
    return limit


def read_refused_elements(fields: Fields) -> frozenset[str]:
    """Return the elements that are refused at all.

    Raises:
        YardFileError: A word of them is no element.
    """
    found = set()
    for word in fields.texts("refuses_at_all"):
        symbol = symbol_of(word)
        if symbol is None:
            near = nearest_symbol(word)
            hint = f"; did you mean {ELEMENTS[near].name}?" if near else "; write a name or a symbol"
            raise fields.wrong("refuses_at_all", f'"{word}" is no element{hint}')
        found.add(symbol)
    return frozenset(found)


def refuse_lost_refused(file: str, bays: tuple[Bay, ...]) -> None:
    """Check that what a bay refuses goes to somebody: no bay without a code, no ring of bays.

    Raises:
        YardFileError: `refused_to` names no bay, the bay itself, or leads back to it.
    """
    codes = {bay.code.casefold(): bay.code for bay in bays}
    next_of = {bay.code: codes.get(bay.refused_to.casefold()) for bay in bays}
    for bay in bays:
        place = f"{file}, bay {bay.code}, refused_to"
        looks_like_a_code = 2 <= len(bay.refused_to) <= 3 and bay.refused_to.isalpha()
        if next_of[bay.code] is None and looks_like_a_code and bay.refused_to.isupper():
            known = ", ".join(other.code for other in bays if other is not bay)
            raise YardFileError(
                f'{place}: "{bay.refused_to}" is no bay here; write one of {known}, or the name of a buyer'
            )
        walked, at = [bay.code], next_of[bay.code]
        while at is not None:
            walked.append(at)
            if at == bay.code:
                raise YardFileError(
                    f"{place}: leads back to the bay itself ({' > '.join(walked)}); name another"
                )
            at = next_of[at] if walked.count(at) == 1 else None


def _element_limits(fields: Fields) -> dict[str, float]:
    table = fields.sub("element_limits")
    return {_symbol(table, symbol): table.number(symbol, None, 0.0, 100.0) for symbol in table.table}


def _symbol(table: Fields, symbol: str) -> str:
    if symbol not in ELEMENTS:
        near = nearest_symbol(symbol)
        hint = f", write {near}" if near else ""
        raise YardFileError(f"{table.place}: {clean(symbol, 20)} is not the symbol of an element{hint}")
    return symbol


def _coatings(fields: Fields) -> frozenset[str]:
    words = fields.texts("refused_coatings")
    # Reading the library's coatings costs the start of the program some ms; most yards name none.
    known = [coating.name for coating in all_coatings()] if words else []
    for word in words:
        if word.casefold() not in known:
            near = difflib.get_close_matches(word.casefold(), known, n=1, cutoff=0.6)
            hint = f'did you mean "{near[0]}"?' if near else f"one of {', '.join(known)}"
            raise fields.wrong("refused_coatings", f'"{word}" is no coating that the library knows; {hint}')
    return frozenset(word.casefold() for word in words)
