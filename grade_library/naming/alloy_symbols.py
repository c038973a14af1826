"""Names that spell a composition: which kind of metal the elements and figures in them make."""

import re
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of metal and the families, groups or series of the library that it belongs to."""

    said: str
    """"a stainless steel with nickel"."""
    families: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    series: tuple[str, ...] = ()
    system: str = ""
    """By which system a designation says so: "EN number", "UNS", "JIS" ..."""


def kind(said: str, *, f: str = "", g: str = "", s: str = "") -> Kind:
    """Return a kind; families, groups and series as texts with commas."""
    return Kind(said=said, families=_listed(f), groups=_listed(g), series=_listed(s))


def _listed(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(",") if part.strip())


AUSTENITIC = kind("a stainless steel with nickel, austenitic", f="austenitic stainless")
FERRITIC = kind("a chromium stainless steel", f="ferritic stainless, martensitic stainless")
DUPLEX = kind("a duplex stainless steel", f="duplex stainless")
STAINLESS = kind("a stainless or heat-resisting steel", g="stainless")
LOW_ALLOY = kind("an alloyed engineering steel", f="low-alloy steel")
CARBON = kind("an unalloyed steel", f="carbon steel, structural steel")
SPRING = kind("a spring steel", f="spring steel, low-alloy steel")
FREE_CUTTING = kind("a free-cutting steel", f="free-machining steel")
TOOL = kind("a tool steel", g="tool steel")
BEARING = kind("a bearing steel", f="low-alloy steel")
BRASS = kind("a copper-zinc alloy, brass", f="brass")
LEADED_BRASS = kind("a leaded brass", f="leaded brass")
SPECIAL_BRASS = kind(
    "a brass with further elements", f="manganese and silicon brass, tin brass, cast manganese bronze"
)
TIN_BRONZE = kind("a tin bronze", f="phosphor bronze, cast tin bronze")
RED_BRASS = kind("a red brass or gunmetal", f="cast red brass, cast tin bronze")
ALUMINIUM_BRONZE = kind("an aluminium bronze", f="aluminium bronze, cast aluminium bronze")
CUPRONICKEL = kind("a cupronickel", g="cupronickel")
NICKEL_SILVER = kind("a nickel silver", g="nickel silver")
COPPER = kind("a copper, little alloyed", g="copper")
SILICON_BRONZE = kind("a silicon bronze", f="silicon bronze, cast silicon bronze and brass")
CAST_ALUMINIUM = kind("a cast aluminium alloy", f="aluminium cast")

_PART = re.compile(r"(cr|ni|mo|mn|si|al|ti|nb|cu|co|pb|zr|ce|v|w|s|b|n|p|c)(\d{1,2}(?:[.,]\d)?)?")
_ALLOY_PART = re.compile(
    r"(cu|zn|sn|pb|al|ni|si|mn|fe|cr|zr|be|co|te|as|mg|ag|ti|ca|sb|bi|p|s|b)(\d{1,2}(?:[.,]\d{1,2})?)?"
)
_GOST = {
    "х": "cr", "н": "ni", "м": "mo", "г": "mn", "т": "ti", "с": "si", "ф": "v", "в": "w", "ю": "al", "д":
    "cu",
    "б": "nb", "к": "co", "р": "b", "п": "p",
}  # fmt: skip
STAINLESS_FROM_CR = 10.5
"""Least chromium of a stainless steel [wt %], EN 10088-1."""


def kind_of_symbol(asked: str) -> Kind | None:
    """Return the kind of metal that a name by composition means, None where it is no such name.

    >>> kind_of_symbol("cuzn39pb3").said, kind_of_symbol("30crnimo8").said, kind_of_symbol("12х18н10т").said
    ('a leaded brass', 'an alloyed engineering steel', 'a stainless steel with nickel, austenitic')
    """
    squashed = re.sub(r"[ _]", "", asked)
    if re.fullmatch(r"hs\d{1,2}(-\d{1,2}){2,3}", squashed):
        return TOOL
    if (light := _nonferrous(squashed)) is not None:
        return light
    steel = _gost(squashed) or _high_alloy(squashed) or _glued(squashed)
    return None if steel is None else _kind_of_steel(*steel)


def _nonferrous(squashed: str) -> Kind | None:
    """Return the kind of an alloy named by its base and what is in it: CuZn39Pb3, AlSi9Cu3, G-AlSi12."""
    text = re.sub(r"^(?:en-?a[wc]-?|g[dksz]?-|en-?)", "", squashed)
    base = text[:2]
    if base not in ("cu", "al", "mg", "zn", "ti", "pb", "sn", "ni"):
        return None
    parts = _parsed(text[2:], _ALLOY_PART)
    if not parts:
        return None
    if base == "cu":
        return _kind_of_copper(parts)
    if base == "al":
        is_cast = squashed.startswith(("g", "en-ac", "enac")) or parts.get("si", 0.0) >= 5.0
        return CAST_ALUMINIUM if is_cast else kind("an aluminium alloy", g="aluminium")
    groups = {"mg": "magnesium", "zn": "zinc", "ti": "titanium", "pb": "lead", "sn": "tin", "ni": "nickel"}
    return kind(f"an alloy of {groups[base]}", g=groups[base])


def _kind_of_copper(parts: Mapping[str, float]) -> Kind:
    first = next(iter(parts))
    if first == "zn" or (first == "sn" and "zn" in parts and "pb" in parts):
        if first == "sn":
            return RED_BRASS
        if parts.keys() & {"al", "mn", "si", "ni", "sn"}:
            return SPECIAL_BRASS
        return LEADED_BRASS if "pb" in parts else BRASS
    if first == "ni":
        return NICKEL_SILVER if "zn" in parts else CUPRONICKEL
    by_first = {"sn": TIN_BRONZE, "al": ALUMINIUM_BRONZE, "pb": TIN_BRONZE, "si": SILICON_BRONZE}
    return by_first.get(first, kind("a copper with a little of another metal", f="high copper, copper"))


def _parsed(text: str, part: re.Pattern[str]) -> dict[str, float]:
    """Return symbol -> figure behind it (0 where there is none), empty where the text is no row of
    symbols."""
    parts: dict[str, float] = {}
    place = 0
    text = text.rstrip("-+")
    while place < len(text):
        match = part.match(text, place)
        if match is None or match.end() == place:
            return {}
        parts.setdefault(match[1], float((match[2] or "0").replace(",", ".")))
        place = match.end()
        if place < len(text) and text[place] in "-/":
            place += 1
    return parts


_HIGH = re.compile(
    r"(?:g-?)?[xz](\d{1,3})((?:cr|ni|mo|mn|si|al|ti|nb|cu|co|v|w|n|s|b|c|d|k|t)+)(\d{1,2}(?:[-.]\d{1,2})*)?"
)


def _high_alloy(squashed: str) -> tuple[float, dict[str, float]] | None:
    """Read X5CrNi18-10, GX4CrNi13-4 and the older French Z6CN18-09."""
    match = _HIGH.fullmatch(squashed)
    if match is None:
        return None
    is_french = squashed.lstrip("g-").startswith("z")
    symbols = re.findall(r"cr|ni|mo|mn|si|al|ti|nb|cu|co|v|w|n|s|b|c|d|k|t", match[2])
    if is_french:
        french = {"c": "cr", "n": "ni", "d": "mo", "m": "mn", "t": "ti", "k": "co", "s": "si"}
        symbols = [french.get(one, one) for one in re.findall(r"[a-z]", match[2])]
    figures = [float(one) for one in re.findall(r"\d{1,2}", match[3] or "")]
    parts = {symbol: figures[i] if i < len(figures) else 0.0 for i, symbol in enumerate(symbols)}
    return float(match[1]) / 100.0, parts


_ONE_SYMBOL = re.compile(r"[a-z]{1,2}")
_NAMED_SO = re.compile(r"(?:15|20|30|35|40|45|50)cr|(?:15|20|25|30|35|40|45|50|60|65|70)mn")
"""GB/T 3077 and GB/T 699 (memory)."""


def _glued(squashed: str) -> tuple[float, dict[str, float]] | None:
    """Read 42CrMo4 and 06Cr19Ni10: carbon in hundredths, then elements, with or without their content.

    A figure before a single symbol, "12Sn", is what a reading looks like; few steels are named so (40Cr).
    """
    match = re.fullmatch(
        r"(?:g-?|gs-?)?(\d{1,3})((?:cr|ni|mo|mn|si|al|ti|nb|cu|co|pb|v|w|s|b|n)[a-z0-9.,-]*)", squashed
    )
    if match is None or (_ONE_SYMBOL.fullmatch(match[2]) and not _NAMED_SO.fullmatch(squashed)):
        return None
    parts = _parsed(re.sub(r"[ae]$", "", match[2]), _PART)
    return (float(match[1]) / 100.0, parts) if parts else None


def _gost(squashed: str) -> tuple[float, dict[str, float]] | None:
    """Read 12Х18Н10Т in Cyrillic and as it is written in Latin letters (12Kh18N10T)."""
    text = squashed.replace("kh", "х")
    match = re.fullmatch(r"(\d{2})((?:[хнмгтсфвюдбкрп]\d{0,2})+)[аш]?", text)
    if match is None and "х" in text:
        latin = text.translate(str.maketrans("nmgtsfvudb", "нмгтсфвюдб"))
        match = re.fullmatch(r"(\d{1,2})((?:[хнмгтсфвюдбкрп]\d{0,2})+)[аa]?", latin)
    if match is None:
        return None
    parts = {
        _GOST[letter]: float(figure or 1.0) for letter, figure in re.findall(r"([а-я])(\d{0,2})", match[2])
    }
    return float(match[1]) / 100.0, parts


def _kind_of_steel(carbon: float, parts: Mapping[str, float]) -> Kind:
    """Return the kind of a steel by its carbon [wt %] and the contents that its name states [wt %]."""
    chromium, nickel = parts.get("cr", 0.0), parts.get("ni", 0.0)
    if chromium >= STAINLESS_FROM_CR:
        if chromium >= 21.0 and 3.0 <= nickel <= 8.5 and "si" not in parts:
            return DUPLEX
        if nickel >= 5.0 or parts.get("mn", 0.0) >= 5.0:
            return AUSTENITIC
        return TOOL if carbon >= 1.0 and not nickel else FERRITIC
    if {"s", "pb"} & parts.keys():
        return FREE_CUTTING
    if carbon >= 0.9 and set(parts) == {"cr"}:
        return BEARING
    if set(parts) <= {"mn"}:
        return CARBON
    if set(parts) <= {"si", "mn"} or (carbon >= 0.45 and set(parts) <= {"cr", "v", "si", "mn"}):
        return SPRING
    return TOOL if parts.get("w", 0.0) >= 1.0 or parts.get("v", 0.0) >= 1.0 or carbon >= 0.9 else LOW_ALLOY
