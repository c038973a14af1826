"""What an office says to a yard, in the words of yard.toml, and yard.toml with it.

It may say prices, bay rules, people and buyers, and nothing else; where yard.toml says otherwise the office's
word stands only in the parts that `[office] wins` names.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from console.ground.cleaning import clean
from console.yard.errors import YardFileError
from console.yard.file.bay_table import PRICE_KEYS, RULE_KEYS
from console.yard.file.fields import Fields
from grade_library.user_files import UserFileError, toml_of

PLACE = "what the office says"
_KEYS = ("currency", "people", "buyer", "bay")
SHOWN = 60
"""Characters of a value that are shown where it changed."""
Table = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """All that an office has said, the last word on each thing."""

    bays: Mapping[str, Table] = field(default_factory=dict)
    """Code -> keys of its [[bay]]."""
    people: tuple[str, ...] | None = None
    """Everybody; None where the office never said."""
    buyers: tuple[Table, ...] | None = None
    """Every [[buyer]]; None where the office never said."""
    currency: str = ""
    """Of the prices."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A thing on which yard.toml and the office do not agree."""

    part: str
    """One of PARTS."""
    thing: str
    """Such as "SSA price_per_kg"."""
    in_yard: str
    in_office: str


def said_of(text: str) -> Said:
    """Return what one word of the office says.

    Raises:
        YardFileError: It says what an office may not say, or is no TOML.
    """
    try:
        table = toml_of(text, PLACE)
    except UserFileError as error:
        raise YardFileError(str(error)) from error
    fields = Fields(PLACE, table)
    fields.refuse_unknown(_KEYS)
    bays: dict[str, Table] = {}
    for bay in fields.tables("bay", named_by="code"):
        bay.refuse_unknown(("code", *PRICE_KEYS, *RULE_KEYS))
        code = bay.text("code")
        if code.casefold() in (other.casefold() for other in bays):
            raise bay.wrong("code", "stands there twice")
        bays[code] = {key: value for key, value in bay.table.items() if key != "code"}
    is_priced = any(key in bay for bay in bays.values() for key in PRICE_KEYS)
    return Said(
        bays=bays,
        people=fields.texts("people") if "people" in table else None,
        buyers=tuple(one.table for one in fields.tables("buyer")) if "buyer" in table else None,
        currency=fields.text("currency", None if is_priced else ""),
    )


def folded(texts: Iterable[str]) -> Said:
    """Return what words of an office come to, oldest first: of each key of a bay the last word stands.

    Raises:
        YardFileError: As `said_of`.
    """
    whole = Said()
    for text in texts:
        said = said_of(text)
        bays = dict(whole.bays)
        for code, table in said.bays.items():
            known = next((one for one in bays if one.casefold() == code.casefold()), code)
            bays[known] = {**bays.get(known, {}), **table}
        whole = Said(
            bays=bays,
            people=whole.people if said.people is None else said.people,
            buyers=whole.buyers if said.buyers is None else said.buyers,
            currency=said.currency or whole.currency,
        )
    return whole


def overlaid(table: Table, said: Said, wins: Iterable[str]) -> dict[str, Any]:
    """Return yard.toml with the office's word in the parts in which it stands.

    Args:
        table: yard.toml as read, unchecked.
        said: What the office says.
        wins: Of PARTS those in which its word stands.

    Raises:
        YardFileError: Prices stand in another currency than the yard's.
    """
    parts, whole = tuple(wins), dict(table)
    if "prices" in parts and said.currency and said.currency != table.get("currency"):
        raise YardFileError(
            f"the office's prices are in {clean(said.currency, 20)}, the yard's in "
            f"{clean(str(table.get('currency', 'none')), 20)}; the same currency must stand in both"
        )
    keys = (*(PRICE_KEYS if "prices" in parts else ()), *(RULE_KEYS if "bays" in parts else ()))
    bays = [dict(bay) for bay in _bays(table)]
    for code, told in said.bays.items():
        own = _bay_of(bays, code)
        stands = {key: value for key, value in told.items() if key in keys}
        if own is not None:
            own |= stands
        elif "bays" in parts and "accepts" in stands:
            bays.append({"code": code, **stands})
    if keys and said.bays:
        whole["bay"] = bays
    if "people" in parts and said.people is not None:
        whole["people"] = list(said.people)
    if "buyers" in parts and said.buyers is not None:
        whole["buyer"] = [dict(one) for one in said.buyers]
    return whole


def priced_by_office(said: Said, wins: Iterable[str]) -> frozenset[str]:
    """Return the codes of the bays, case-folded, that have a price by the office's word."""
    if "prices" not in tuple(wins):
        return frozenset()
    return frozenset(
        code.casefold() for code, bay in said.bays.items() if any(key in bay for key in PRICE_KEYS)
    )


def differences(table: Table, said: Said) -> Iterator[Difference]:
    """Yield the things on which yard.toml and the office do not agree, whoever's word stands."""
    for code, told in said.bays.items():
        own = _bay_of(_bays(table), code)
        if own is None:
            yield Difference(part="bays", thing=f"bay {code}", in_yard="none", in_office="there")
            continue
        for key, value in told.items():
            if own.get(key) != value:
                part = "prices" if key in PRICE_KEYS else "bays"
                yield Difference(
                    part=part, thing=f"{code} {key}", in_yard=_shown(own.get(key)), in_office=_shown(value)
                )
    if said.people is not None and list(said.people) != table.get("people"):
        yield Difference(
            part="people", thing="people", in_yard=_shown(table.get("people")), in_office=_shown(said.people)
        )
    if said.buyers is not None and list(said.buyers) != table.get("buyer", []):
        yield Difference(
            part="buyers",
            thing="buyers",
            in_yard=_codes(table.get("buyer", [])),
            in_office=_codes(said.buyers),
        )


def _bays(table: Table) -> list[dict[str, Any]]:
    bays = table.get("bay", [])
    return [one for one in bays if isinstance(one, dict)] if isinstance(bays, list) else []


def _bay_of(bays: Iterable[dict[str, Any]], code: str) -> dict[str, Any] | None:
    return next((one for one in bays if str(one.get("code", "")).casefold() == code.casefold()), None)


def _shown(value: object) -> str:
    if value is None:
        return "nothing"
    words = ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)
    return clean(words, SHOWN) or "nothing"


def _codes(tables: object) -> str:
    codes = (
        [str(one.get("code", "?")) for one in tables if isinstance(one, dict)]
        if isinstance(tables, list | tuple)
        else []
    )
    return _shown(codes) if codes else "none"
