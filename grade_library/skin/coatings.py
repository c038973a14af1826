"""What lies on metal: coatings, dirt and joints that an analyser reads instead of the metal beneath."""

import functools
import math
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from importlib import resources
from types import MappingProxyType
from typing import Any

from grade_library.bench.physics import density_by_mixture
from grade_library.elements import ELEMENTS
from grade_library.errors import GradeDataError
from grade_library.facts import Surface
from grade_library.grade import GROUPS, Colour

OF_ALL_THAT_FELL, OF_EACH_LAYER = 0.9, 0.05
"""A series names a coating that no film or patch of it explains: its elements are so much of all that fell
along the series, and those of each of its layers so much."""
PLATING = frozenset({"Cr", "Ni", "Zn", "Sn", "Cd", "Ag", "Au", "Cu", "Pb"})
"""What platings are made of (common practice)."""
ANY_GROUP = "any"
"""Key in `Coating.substrates` for every group that is not named."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer of a coating."""

    wt_pct: Mapping[str, float]
    """Symbol -> usual mass fraction [wt %]."""
    spread: Mapping[str, float] = field(default_factory=dict)
    """Symbol -> standard deviation of it from piece to piece [wt %]."""
    least_um: float
    """Least usual thickness [µm], > 0."""
    most_um: float
    """Greatest usual thickness [µm]."""
    density_g_cm3: float
    is_optional: bool = False
    """Many pieces go without it."""


@dataclass(frozen=True, kw_only=True)
class Coating:
    """One kind of coating, with what a sorter needs to know of it."""

    name: str
    """As shown, and as cautions name it: "chromium over nickel"."""
    layers: tuple[Layer, ...]
    """From the outside in; at least one."""
    is_mixed: bool
    """The layers are constituents that lie side by side, not one on the other."""
    substrates: Mapping[str, float]
    """Group of grades -> how often it carries the coating, relative to the others."""
    is_only_there: bool
    """Never met on other groups: anodising."""
    met: float
    """Share of the pieces read on an unprepared spot that carry it, 0..1."""
    colours: frozenset[Colour]
    """Colours of its surface; empty where it is clear."""
    called: frozenset[Surface]
    """The words for a surface that mean it; empty where no word does."""
    said: str
    """What it is called in a sentence: "tin plate"."""
    look: str
    through: str
    """How to get through it, in words for the bench."""
    reads_as: str
    """What the reading is mistaken for."""
    cautions: tuple[str, ...]
    """Ids in data/cautions.toml."""
    sources: Mapping[str, str]
    """Block -> key of `sources()`; blocks not named are common practice."""

    @functools.cached_property
    def elements(self) -> frozenset[str]:
        """Every element that the coating brings."""
        return frozenset(symbol for layer in self.layers for symbol in (*layer.wt_pct, *layer.spread))

    @property
    def thickest_um(self) -> float:
        """Greatest usual thickness of all layers together [µm]."""
        return sum(layer.most_um for layer in self.layers)

    def substrate_weight(self, group: str) -> float:
        """Return how often a group of grades carries the coating, relative to the others."""
        return self.substrates.get(group, self.substrates.get(ANY_GROUP, 0.0))


@functools.cache
def all_coatings() -> tuple[Coating, ...]:
    """Return every coating of data/coatings.toml, in the order of the file.

    Raises:
        GradeDataError: The file is wrong; the message names coating and value.

    >>> [coating.name for coating in all_coatings()][:3]
    ['chromium over nickel', 'nickel', 'electroless nickel']
    """
    return coatings_from(_table())


def coating_named(name: str) -> Coating:
    """Return the coating of that name.

    Raises:
        KeyError: There is none.
    """
    return {coating.name: coating for coating in all_coatings()}[name]


@functools.cache
def coatings_called(surface: Surface) -> frozenset[str]:
    """Return the names of the coatings that a word for a surface means.

    >>> sorted(coatings_called(Surface.GALVANISED))
    ['hot-dip zinc', 'zinc', 'zinc-nickel']
    """
    return frozenset(coating.name for coating in all_coatings() if surface in coating.called)


@functools.cache
def sources() -> Mapping[str, str]:
    """Return the documents that the coatings' figures come from: key -> citation."""
    return MappingProxyType({key: str(cite) for key, cite in _table()["sources"].items() if key != "default"})


@functools.cache
def _table() -> Mapping[str, Any]:
    data = resources.files("grade_library") / "data" / "coatings.toml"
    return tomllib.loads(data.read_text("utf-8"))


def coatings_from(table: Mapping[str, Any]) -> tuple[Coating, ...]:
    """Return the coatings that a table describes, in its order; "sources" is left alone.

    Raises:
        GradeDataError: A value is missing or impossible.
    """
    known_sources = table.get("sources", {})
    found = []
    for name, content in table.items():
        if name == "sources":
            continue
        try:
            found.append(_coating(name, content, known_sources))
        except KeyError as error:
            raise GradeDataError(f"coatings.toml, [{name}]: {error.args[0]} is missing") from error
        except (TypeError, ValueError) as error:
            raise GradeDataError(f"coatings.toml, [{name}]: {error}") from error
    return tuple(found)


def _coating(name: str, content: Mapping[str, Any], known_sources: Mapping[str, str]) -> Coating:
    substrates = {str(group): float(weight) for group, weight in content["substrates"].items()}
    if strange := sorted(set(substrates) - {*GROUPS, ANY_GROUP}):
        raise GradeDataError(f"substrate {strange[0]!r} is no group of grades")
    met = float(content["met"])
    if not 0.0 < met < 1.0:
        raise GradeDataError(f"met = {met:g}: needs a share between 0 and 1")
    cited = {str(block): str(key) for block, key in content["sources"].items()}
    if unknown := sorted(set(cited.values()) - set(known_sources)):
        raise GradeDataError(f"source {unknown[0]!r} is not in [sources]")
    return Coating(
        name=name,
        layers=tuple(_layer(row) for row in content["layers"]),
        is_mixed=bool(content.get("is_mixed", False)),
        substrates=MappingProxyType(substrates),
        is_only_there=bool(content.get("only_there", False)),
        met=met,
        colours=frozenset(Colour(colour) for colour in content["colours"]),
        called=frozenset(Surface(word) for word in content.get("called", ())),
        said=str(content.get("said", name)),
        look=str(content["look"]),
        through=str(content["through"]),
        reads_as=str(content["reads_as"]),
        cautions=tuple(content["cautions"]),
        sources=MappingProxyType(cited),
    )


def _layer(row: Mapping[str, Any]) -> Layer:
    wt_pct, spread = _contents(row["wt_pct"]), _contents(row.get("spread", {}))
    total = sum(wt_pct.values())
    if not 90.0 <= total <= 101.0:
        raise GradeDataError(f"a layer sums to {total:g} wt %: needs 90 to 101")
    least, most = (float(um) for um in row["um"])
    if not (0.0 < least <= most and math.isfinite(most)):
        raise GradeDataError(f"um = [{least:g}, {most:g}]: needs 0 < least <= most")
    density = float(row["density"]) if "density" in row else density_by_mixture(wt_pct)
    return Layer(
        wt_pct=wt_pct,
        spread=spread,
        least_um=least,
        most_um=most,
        density_g_cm3=density,
        is_optional=bool(row.get("optional", False)),
    )


def _contents(figures: Mapping[str, Any]) -> Mapping[str, float]:
    found = {str(symbol): float(content) for symbol, content in figures.items()}
    for symbol, content in found.items():
        if symbol not in ELEMENTS:
            raise GradeDataError(f"{symbol!r} is not a chemical element (write Cr, not CR)")
        if not 0.0 <= content <= 100.0:
            raise GradeDataError(f"{symbol} {content:g} wt %: needs 0 to 100")
    return MappingProxyType(found)


def coating_that_fell(fell: Mapping[str, float]) -> Coating | None:
    """Return the coating that the elements which fell along a series are of; None where they are of none.

    Args:
        fell: Symbol -> part of all that fell, 0..1.
    """

    def held(symbols: Iterable[str]) -> float:
        return sum(fell.get(symbol, 0.0) for symbol in symbols)

    fits = [
        coating
        for coating in all_coatings()
        if held(coating.elements) >= OF_ALL_THAT_FELL
        and all(layer.is_optional or held(layer.wt_pct) >= OF_EACH_LAYER for layer in coating.layers)
    ]
    return min(fits, key=lambda coating: (len(coating.elements), -coating.met), default=None)
