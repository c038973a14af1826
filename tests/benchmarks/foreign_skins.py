"""Skins on real metal, made in four ways that share no code and no figures with the matcher.

Each way turns the certified composition of a core into one to three shots: the first on the surface as found,
one half-ground, the last ground until 1 to 10 % of the reading is still skin. What is left is never the coat
to the digit: every shot draws the coat's composition anew round its own.

- patches: the coat lies beside bare metal, a reading is the mean of both;
- layers: an even film weakens each line of the core by its energy (mass attenuation from xraylib) and gives
  its own; a laser plasma digs to one depth;
- alien: patches or layers of three elements drawn at random, a coat that stands in no list;
- dirt: soil, lime, paint and scale, of which half a per cent to four are left.

The coats are what platers' hand-books name (common practice: bright nickel with chromium, tin, zinc, cadmium,
silver, copper, nickel-phosphorus, gold over nickel, zinc-nickel); the soils are common practice too.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import xraylib

from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.technique import Profile

Composition = Mapping[str, float]

COATS: tuple[tuple[str, tuple[Composition, ...]], ...] = (
    ("chromium, nickel", ({"Cr": 100.0}, {"Ni": 99.6, "Co": 0.4})),
    ("chromium, nickel, copper", ({"Cr": 100.0}, {"Ni": 99.6, "Co": 0.4}, {"Cu": 100.0})),
    ("bright nickel", ({"Ni": 99.6, "Co": 0.4},)),
    ("nickel-phosphorus", ({"Ni": 91.0, "P": 9.0},)),
    ("tin", ({"Sn": 99.7, "Pb": 0.3},)),
    ("zinc", ({"Zn": 99.5, "Fe": 0.5},)),
    ("zinc-nickel", ({"Zn": 86.0, "Ni": 14.0},)),
    ("cadmium", ({"Cd": 99.5, "Cr": 0.5},)),
    ("silver", ({"Ag": 99.8, "Cu": 0.2},)),
    ("copper", ({"Cu": 99.9},)),
    ("gold, nickel", ({"Au": 99.5, "Co": 0.5}, {"Ni": 100.0})),
    ("hard chromium", ({"Cr": 99.8, "Fe": 0.2},)),
)
"""Name and layers from the outside in [wt %]."""
SOILS: tuple[tuple[str, Composition], ...] = (
    ("soil", {"Fe": 30.0, "Si": 38.0, "Ca": 14.0, "Al": 14.0, "K": 4.0}),
    ("lime", {"Ca": 68.0, "Si": 27.0, "Al": 5.0}),
    ("white paint", {"Ti": 58.0, "Zn": 22.0, "Ba": 20.0}),
    ("scale", {"Fe": 94.0, "Mn": 4.0, "Si": 2.0}),
)
ALIENS = ("Ag", "Al", "Au", "Bi", "Cd", "Co", "Cr", "Cu", "Fe", "In", "Mn", "Mo", "Nb", "Ni", "Pb", "Pd",
          "Sb", "Si", "Sn", "Ta", "Ti", "V", "W", "Zn", "Zr")  # fmt: skip
"""What a coat that nobody expects is drawn from."""
FIRST, MIDDLE, LAST = (0.55, 0.98), (0.15, 0.55), (0.01, 0.10)
"""Share of the skin in the first, a middle and the last shot."""
SOIL_FIRST, SOIL_MIDDLE, SOIL_LAST = (0.06, 0.35), (0.03, 0.10), (0.005, 0.04)
REMNANT_SPREAD = 0.15
"""Relative standard deviation of each element of the coat from shot to shot."""
DEPTH_UM = 3.0
"""A laser plasma sees about so deep (common practice: micrometres)."""
INCIDENT_DEGREES, TAKEOFF_DEGREES, TUBE_KEV = 52.0, 58.0, 21.0


@dataclass(frozen=True, kw_only=True)
class Skinned:
    """A series on one piece and what is true of it."""

    way: str
    coat: str
    technique: str
    shots: tuple[Shot, ...]

    def facts(self, n: int | None = None) -> PieceFacts:
        """Return the first n shots, all where n is None."""
        return PieceFacts(shots=self.shots[:n])

    def last_alone(self) -> PieceFacts:
        """Return the last shot as the only one, marked ground."""
        return PieceFacts(shots=(self.shots[-1],))


def _redrawn(coat: Composition, rng: np.random.Generator) -> dict[str, float]:
    drawn = {symbol: x * math.exp(rng.normal(0.0, REMNANT_SPREAD)) for symbol, x in coat.items()}
    total = sum(drawn.values())
    return {symbol: 100.0 * x / total for symbol, x in drawn.items()}


def _mixed(parts: Sequence[tuple[float, Composition]]) -> dict[str, float]:
    found: dict[str, float] = {}
    for share, composition in parts:
        for symbol, x in composition.items():
            found[symbol] = found.get(symbol, 0.0) + share * x
    return found


def _seen(composition: Composition, profile: Profile) -> dict[str, float]:
    seen = {s: x for s, x in composition.items() if s not in profile.unseen and x > 0.0}
    total = sum(seen.values())
    return {s: 100.0 * x / total for s, x in seen.items()}


def reading_of(composition: Composition, profile: Profile, rng: np.random.Generator) -> Reading:
    """Return what the technique reports of a composition [wt %], with noise and detection limits."""
    values: dict[str, float] = {}
    below: dict[str, float] = {}
    for symbol, x in _seen(composition, profile).items():
        read = x + rng.normal(0.0, profile.sigma(symbol, x))
        lod = profile.model(symbol).lod
        if read < lod:
            below[symbol] = lod
        else:
            values[symbol] = read
    total = sum(values.values())
    return Reading(
        values={s: min(100.0 * x / total, 100.0) for s, x in values.items()},
        below=below,
        technique=profile.key,
    )


def _shares(n: int, spans: Sequence[tuple[float, float]], rng: np.random.Generator) -> list[float]:
    """Return the share of the skin in each of n shots: the last span always, before it the first ones."""
    chosen = {1: spans[2:], 2: (spans[0], spans[2]), 3: spans}[n]
    return [float(rng.uniform(*span)) for span in chosen]


def _series(
    way: str, coat: str, profile: Profile, readings: Sequence[Reading], *, ground_alone: bool = False
) -> Skinned:
    shots = tuple(Shot(reading=r, is_ground=i > 0 or ground_alone) for i, r in enumerate(readings))
    return Skinned(way=way, coat=coat, technique=profile.key, shots=shots)


def patches(core: Composition, profile: Profile, n: int, rng: np.random.Generator) -> Skinned:
    """Return a coat beside bare metal."""
    name, layers = COATS[int(rng.integers(len(COATS)))]
    parts = rng.dirichlet(np.array([1.0, 3.0, 1.0])[: len(layers)] * 2.0)
    coat = _mixed([(float(p), layer) for p, layer in zip(parts, layers, strict=True)])
    return _beside("patches", name, coat, core, profile, n, rng)


def _beside(
    way: str,
    name: str,
    coat: Composition,
    core: Composition,
    profile: Profile,
    n: int,
    rng: np.random.Generator,
) -> Skinned:
    metal, skin = _seen(core, profile), _seen(coat, profile)
    mixes = [
        _mixed([(s, _redrawn(skin, rng)), (1.0 - s, metal)]) for s in _shares(n, (FIRST, MIDDLE, LAST), rng)
    ]
    return _series(way, name, profile, [reading_of(mix, profile, rng) for mix in mixes], ground_alone=n == 1)


def _number(symbol: str) -> int:
    return int(xraylib.SymbolToAtomicNumber(symbol))


def _line_kev(symbol: str) -> float:
    """Return the line an analyser uses [keV]: K alpha up to 30 keV, L alpha of what is heavier."""
    z = _number(symbol)
    line = xraylib.KA_LINE if z <= 51 else xraylib.LA_LINE
    return float(xraylib.LineEnergy(z, line))


def _per_um(film: Composition, symbol: str) -> float:
    """Return by how much a film weakens an element's line there and back [1/µm]."""
    total = sum(film.values())
    kev, tube = _line_kev(symbol), max(TUBE_KEV, 1.5 * _line_kev(symbol))
    mass = density = 0.0
    for absorber, x in film.items():
        z = _number(absorber)
        incoming = xraylib.CS_Total(z, tube) / math.sin(math.radians(INCIDENT_DEGREES))
        outgoing = xraylib.CS_Total(z, kev) / math.sin(math.radians(TAKEOFF_DEGREES))
        mass += x / total * (incoming + outgoing)
        density += x / total / xraylib.ElementDensity(z)
    return mass / density * 1e-4


def _film_reading(
    layers: Sequence[tuple[Composition, float]], core: Composition, profile: Profile
) -> tuple[dict[str, float], float]:
    """Return what films of some µm over a core read as [wt %], and the share of the films in it."""
    is_x_ray = "Li" in profile.unseen
    skin: dict[str, float] = {}
    beneath: dict[str, float] = {}
    symbols = sorted({*_seen(core, profile), *(s for film, _ in layers for s in _seen(film, profile))})
    for symbol in symbols:
        passed = 1.0
        for film, um in layers:
            weakened = math.exp(-(_per_um(film, symbol) * um if is_x_ray else um / DEPTH_UM))
            skin[symbol] = skin.get(symbol, 0.0) + _seen(film, profile).get(symbol, 0.0) * passed * (
                1.0 - weakened
            )
            passed *= weakened
        beneath[symbol] = _seen(core, profile).get(symbol, 0.0) * passed
    total = sum(skin.values()) + sum(beneath.values())
    both = {s: 100.0 * (skin[s] + beneath[s]) / total for s in symbols}
    return both, sum(skin.values()) / total


def _thinned(
    layers: Sequence[tuple[Composition, float]], core: Composition, profile: Profile, share: float
) -> dict[str, float]:
    """Return the reading of films ground evenly until they are this share of it."""
    low, high = 1e-7, 60.0
    for _ in range(50):
        middle = math.sqrt(low * high)
        _, found = _film_reading([(film, um * middle) for film, um in layers], core, profile)
        low, high = (middle, high) if found < share else (low, middle)
    return _film_reading([(film, um * low) for film, um in layers], core, profile)[0]


def layers(core: Composition, profile: Profile, n: int, rng: np.random.Generator) -> Skinned:
    """Return an even film that weakens each line of the core by its energy."""
    name, stack = COATS[int(rng.integers(len(COATS)))]
    um = [0.3 if film.get("Cr") == 100.0 or "Au" in film else 8.0 for film in stack]
    return _over("layers", name, list(zip(stack, um, strict=True)), core, profile, n, rng)


def _over(
    way: str,
    name: str,
    stack: Sequence[tuple[Composition, float]],
    core: Composition,
    profile: Profile,
    n: int,
    rng: np.random.Generator,
) -> Skinned:
    usable = [(film, um) for film, um in stack if _seen_sum(film, profile) > 1.0]
    mixes = []
    for share in _shares(n, (FIRST, MIDDLE, LAST), rng):
        drawn = [(_redrawn(film, rng), um) for film, um in usable]
        mixes.append(_thinned(drawn, core, profile, share))
    return _series(way, name, profile, [reading_of(mix, profile, rng) for mix in mixes], ground_alone=n == 1)


def _seen_sum(film: Composition, profile: Profile) -> float:
    return sum(x for s, x in film.items() if s not in profile.unseen)


def alien(core: Composition, profile: Profile, n: int, rng: np.random.Generator) -> Skinned:
    """Return a coat of three elements that no list holds together."""
    chosen = [
        str(s) for s in rng.choice([s for s in ALIENS if s not in profile.unseen], size=3, replace=False)
    ]
    parts = rng.dirichlet(np.ones(3))
    coat = {s: max(100.0 * float(p), 1.0) for s, p in zip(chosen, parts, strict=True)}
    name = "-".join(chosen)
    if rng.uniform() < 0.5:
        return _over("alien", name, [(coat, 5.0)], core, profile, n, rng)
    return _beside("alien", name, coat, core, profile, n, rng)


def dirt(core: Composition, profile: Profile, n: int, rng: np.random.Generator) -> Skinned:
    """Return metal with a little soil, lime, paint or scale left on it."""
    name, soil = SOILS[int(rng.integers(len(SOILS)))]
    metal, skin = _seen(core, profile), _seen(soil, profile)
    mixes = [
        _mixed([(s, _redrawn(skin, rng)), (1.0 - s, metal)])
        for s in _shares(n, (SOIL_FIRST, SOIL_MIDDLE, SOIL_LAST), rng)
    ]
    return _series(
        "dirt", name, profile, [reading_of(mix, profile, rng) for mix in mixes], ground_alone=n == 1
    )


WAYS: Mapping[str, Callable[[Composition, Profile, int, np.random.Generator], Skinned]] = {
    "patches": patches,
    "layers": layers,
    "dirt": dirt,
    "alien": alien,
}
