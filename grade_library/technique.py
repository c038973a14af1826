"""What a technique sees of a metal, and how well."""

import functools
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from importlib import resources
from types import MappingProxyType
from typing import Any

from grade_library.elements import ELEMENTS
from grade_library.errors import GradeDataError

FALLBACK = "xrf"
"""Profile of a reading whose technique nobody described."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ErrorModel:
    """How well one element is read: u(x) = sqrt(a² + (b·x)²)."""

    a: float
    """Uncertainty near zero [wt %], > 0."""
    b: float
    """Relative uncertainty of a large value, >= 0."""
    lod: float
    """Detection limit [wt %], > 0."""
    source: str = "memory"
    where: str = ""

    def __post_init__(self) -> None:
        for name, value in (("a", self.a), ("lod", self.lod)):
            if not (math.isfinite(value) and value > 0.0):
                raise GradeDataError(f"{name} = {value:g}: needs a number above 0 [wt %]")
        if not 0.0 <= self.b <= 1.0:
            raise GradeDataError(f"b = {self.b:g}: needs 0 to 1 (0.02 is 2 %)")

    def sigma(self, wt_pct: float) -> float:
        """Return the standard uncertainty [wt %] of one reading of wt_pct."""
        return math.hypot(self.a, self.b * wt_pct)


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """A spectral line that another element hides or imitates."""

    element: str
    """The element whose value is in doubt."""
    under: str
    """The element that causes it."""
    share: float
    """Extra uncertainty of `element`, as a share of the value of `under`."""
    text: str
    source: str = "memory"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Profile:
    """One technique. Compared by identity: a widened profile is another profile."""

    key: str
    """As a reading names it: "xrf"."""
    label: str
    """As shown: "x-ray"."""
    normalises: bool
    """What is seen is scaled to 100 %."""
    unseen: frozenset[str]
    usual: ErrorModel
    """Of an element that has no model of its own."""
    elements: Mapping[str, ErrorModel] = field(default_factory=dict)
    overlaps: tuple[Overlap, ...] = ()
    works_like: str = ""
    """Key of the shipped profile that it was laid over; empty for one that starts from nothing."""

    def model(self, symbol: str) -> ErrorModel:
        """Return the error model of one element."""
        return self.elements.get(symbol, self.usual)

    def sigma(self, symbol: str, wt_pct: float) -> float:
        """Return the standard uncertainty [wt %] of a reading of wt_pct of that element."""
        return self.model(symbol).sigma(wt_pct)

    def widened(self, factors: Mapping[str, float]) -> "Profile":
        """Return a profile with larger uncertainties, as a failed daily check asks for.

        Args:
            factors: Symbol -> factor on a and b, > 0; elements not named stay as they are.
        """
        elements = dict(self.elements)
        for symbol, factor in factors.items():
            old = self.model(symbol)
            elements[symbol] = replace(old, a=old.a * factor, b=min(old.b * factor, 1.0))
        return replace(self, elements=MappingProxyType(elements))


@functools.cache
def profiles() -> Mapping[str, Profile]:
    """Return the shipped profiles by key: "lab", "xrf", "libs".

    >>> sorted(profiles())
    ['lab', 'libs', 'xrf']
    """
    data = resources.files("grade_library") / "data" / "techniques.toml"
    return profiles_from(tomllib.loads(data.read_text("utf-8")), {})


def profiles_from(
    table: Mapping[str, Any], shipped: Mapping[str, Profile] | None = None
) -> Mapping[str, Profile]:
    """Return the profiles that a table describes, laid over the shipped ones.

    Args:
        table: Key -> profile, as in data/techniques.toml: `label`, `like` (key of the profile it starts
            from), `normalises`, `unseen`, `usual`, `elements`, `overlaps`. "sources" is left alone.
        shipped: What to start from; None for the shipped profiles.

    Raises:
        GradeDataError: A key, a symbol or a figure is wrong; the message names profile and element.

    >>> lead = {"a": 0.01, "b": 0.02, "lod": 0.02}
    >>> own = profiles_from({"lathe": {"like": "xrf", "elements": {"Pb": lead}}})
    >>> own["lathe"].sigma("Pb", 0.0)
    0.01
    """
    found = dict(profiles() if shipped is None else shipped)
    for key, content in table.items():
        if key != "sources":
            found[key] = _profile(key, content, found)
    return MappingProxyType(found)


_KEYS = frozenset({"label", "like", "normalises", "unseen", "usual", "elements", "overlaps"})


def _profile(key: str, content: Any, known: Mapping[str, Profile]) -> Profile:
    if not isinstance(content, Mapping):
        raise GradeDataError(f"technique {key}: needs a table such as [{key}] with elements")
    if strange := sorted(set(content) - _KEYS):
        raise GradeDataError(
            f"technique {key}: {strange[0]!r} is not known; known are {', '.join(sorted(_KEYS))}"
        )
    like = content.get("like", key)
    base = known.get(like) if isinstance(like, str) else None
    if base is None and ("like" in content or "usual" not in content):
        said = f"{like!r} is not known as `like`; " if "like" in content else ""
        raise GradeDataError(
            f"technique {key}: {said}needs `like` (one of {', '.join(known)}) or a `usual` error model"
        )
    usual = _error_model(key, "usual", content["usual"]) if "usual" in content or base is None else base.usual
    elements = dict(base.elements) if base else {}
    for symbol, figures in _of_type(key, content, "elements", Mapping, {}).items():
        elements[_symbol(key, symbol)] = _error_model(key, symbol, figures)
    unseen = [_symbol(key, symbol) for symbol in _of_type(key, content, "unseen", list, [])]
    overlaps = tuple(_overlap(key, item) for item in _of_type(key, content, "overlaps", list, []))
    return Profile(
        key=key,
        label=_of_type(key, content, "label", str, base.label if base else key),
        normalises=_of_type(key, content, "normalises", bool, base.normalises if base else True),
        unseen=frozenset(unseen) if base is None or "unseen" in content else base.unseen,
        usual=usual,
        elements=MappingProxyType(elements),
        overlaps=overlaps or (base.overlaps if base else ()),
        works_like=(base.works_like or base.key) if base else "",
    )


_EXAMPLES: Mapping[str, str] = {
    "label": 'label = "x-ray, bench"',
    "normalises": "normalises = true",
    "unseen": 'unseen = ["C", "N"]',
    "elements": "elements = { Pb = { a = 0.03, b = 0.03, lod = 0.06 } }",
    "overlaps": 'overlaps = [{ element = "As", under = "Pb", share = 0.05, text = "..." }]',
}


def _of_type(key: str, content: Mapping[str, Any], name: str, kind: type[Any], default: Any) -> Any:
    """Return what stands under a name, when it is of the kind that it needs to be."""
    value = content.get(name, default)
    if not isinstance(value, kind):
        raise GradeDataError(f"technique {key}, {name}: {value!r}; write {_EXAMPLES[name]}")
    return value


def _symbol(key: str, symbol: object) -> str:
    if not isinstance(symbol, str) or symbol not in ELEMENTS:
        raise GradeDataError(f"technique {key}: {symbol!r} is not a chemical element (write Cr, not CR)")
    return symbol


def _error_model(key: str, what: str, figures: Any) -> ErrorModel:
    try:
        if strange := sorted(set(figures) - {"a", "b", "lod", "source", "where"}):
            raise GradeDataError(f"{strange[0]!r} is not known")
        if worded := [name for name in ("a", "b", "lod") if isinstance(figures.get(name), str | bool)]:
            raise GradeDataError(f"{worded[0]} = {figures[worded[0]]!r} is no number")
        return ErrorModel(
            a=float(figures["a"]),
            b=float(figures["b"]),
            lod=float(figures["lod"]),
            source=str(figures.get("source", "memory")),
            where=str(figures.get("where", "")),
        )
    except KeyError as error:
        raise GradeDataError(f"technique {key}, {what}: {error} is missing; needs a, b and lod") from error
    except (TypeError, ValueError, AttributeError) as error:
        raise GradeDataError(
            f"technique {key}, {what}: {error}; needs {{ a = 0.03, b = 0.02, lod = 0.03 }}"
        ) from error


def _overlap(key: str, item: Mapping[str, Any]) -> Overlap:
    needs = "needs element, under, share (0 to 1) and text"
    try:
        found = Overlap(**item)
    except TypeError as error:
        raise GradeDataError(f"technique {key}, overlaps: {item!r}; {needs}") from error
    for symbol in (found.element, found.under):
        _symbol(key, symbol)
    is_number = isinstance(found.share, int | float) and not isinstance(found.share, bool)
    if not (is_number and 0.0 <= found.share <= 1.0 and isinstance(found.text, str)):
        raise GradeDataError(f"technique {key}, overlaps of {found.element}: {item!r}; {needs}")
    return found
