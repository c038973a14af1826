"""Plated, painted and dirty pieces as an analyser would read them, shot after shot, as the spot is ground."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import xraylib

from grade_library.elements import ELEMENTS
from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.matcher.prior import Prior
from grade_library.skin.coatings import Coating, Layer
from grade_library.technique import Profile
from tests.benchmarks.simulated import melt_of

SYSTEMATIC = math.sqrt(0.5)
"""Half of the variance of a reading is the same in all shots on a piece: calibration and matrix."""
L_LINES = frozenset(
    {
        "Ba",
        "Ta",
        "W",
        "Au",
        "Pb",
        "Bi",
        "Hf",
        "Re",
        "Pt",
        "Ir",
        "Nd",
        "La",
        "Ce",
        "Pr",
        "Sm",
        "Gd",
        "Dy",
        "Th",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Film:
    """One layer of one simulated piece."""

    wt_pct: Mapping[str, float]
    density_g_cm3: float
    um: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How one analyser looks at one piece: drawn anew for each, unlike what the library assumes."""

    is_x_ray: bool
    tube_kev: float
    hard_kev: float
    sin_incident: float
    sin_takeoff: float
    depth_um: float
    offset: dict[str, float] = field(default_factory=dict)
    """Symbol -> systematic part of the noise, in standard uncertainties."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plated:
    """A simulated series and the truth about it."""

    coating: str
    core: Grade
    technique: str
    shots: tuple[Shot, ...]
    shares: tuple[float, ...]
    """True share of the skin in each shot."""
    pull: float
    """How far the first reading lies from that of the bare core, 0..1."""

    def facts(self, n: int) -> PieceFacts:
        """Return the first n shots."""
        return PieceFacts(shots=self.shots[:n])


def substrates_of(coating: Coating, library: GradeLibrary, n: int, rng: np.random.Generator) -> list[Grade]:
    """Return n grades that carry the coating: groups by habit, grades by how often they are met."""
    share = Prior.usual(library).shares(library)
    in_group: dict[str, float] = {}
    for grade, one in zip(library.grades, share, strict=True):
        in_group[grade.group] = in_group.get(grade.group, 0.0) + one
    weight = np.array(
        [
            coating.substrate_weight(grade.group) * one / in_group[grade.group]
            for grade, one in zip(library.grades, share, strict=True)
        ]
    )
    picked = rng.choice(len(weight), size=n, p=weight / weight.sum())
    return [library.grades[i] for i in picked]


def draw_films(coating: Coating, rng: np.random.Generator) -> list[Film]:
    """Return the layers of one piece: thickness even in logarithm, composition as it spreads."""
    place = rng.uniform()
    films = []
    for layer in coating.layers:
        if layer.is_optional and rng.uniform() < 0.6:
            continue
        at = np.clip(0.6 * place + 0.4 * rng.uniform(), 0.0, 1.0)
        um = layer.least_um * (layer.most_um / layer.least_um) ** at
        films.append(Film(wt_pct=_drawn(layer, rng), density_g_cm3=layer.density_g_cm3, um=um))
    return films


def _drawn(layer: Layer, rng: np.random.Generator) -> dict[str, float]:
    drawn = {}
    for symbol in sorted({**layer.wt_pct, **layer.spread}):
        usual, spread = layer.wt_pct.get(symbol, 0.0), layer.spread.get(symbol, 0.0)
        drawn[symbol] = max(rng.normal(usual, spread), 0.0) if spread else usual
    return drawn


def draw_look(profile: Profile, rng: np.random.Generator) -> Look:
    """Return how an analyser looks at a piece."""
    return Look(
        is_x_ray="Li" in profile.unseen,
        tube_kev=rng.uniform(18.0, 26.0),
        hard_kev=rng.uniform(34.0, 45.0),
        sin_incident=math.sin(math.radians(rng.uniform(40.0, 70.0))),
        sin_takeoff=math.sin(math.radians(rng.uniform(40.0, 60.0))),
        depth_um=math.exp(rng.uniform(math.log(1.0), math.log(6.0))),
    )


def layered(
    films: Sequence[Film], core: Mapping[str, float], look: Look
) -> tuple[dict[str, float], dict[str, float]]:
    """Return the signal of films and of core, element by element, relative to the pure element [wt %]."""
    skin: dict[str, float] = {}
    beneath: dict[str, float] = {}
    for symbol in sorted({*core, *(s for film in films for s in film.wt_pct)}):
        passed = 1.0
        for film in films:
            fading = _fading(film, symbol, look)
            content = 100.0 * film.wt_pct.get(symbol, 0.0) / sum(film.wt_pct.values())
            skin[symbol] = skin.get(symbol, 0.0) + content * passed * (1.0 - math.exp(-fading))
            passed *= math.exp(-fading)
        beneath[symbol] = core.get(symbol, 0.0) * passed
    return skin, beneath


def _fading(film: Film, symbol: str, look: Look) -> float:
    if not look.is_x_ray:
        return film.um / look.depth_um
    energy = _line_kev(symbol)
    if energy is None:
        return 50.0
    tube = look.hard_kev if energy > 17.5 else look.tube_kev
    total = sum(film.wt_pct.values())
    per_cm = film.density_g_cm3 * sum(
        content
        / total
        * (_total(absorber, tube) / look.sin_incident + _total(absorber, energy) / look.sin_takeoff)
        for absorber, content in film.wt_pct.items()
        if content > 0.0
    )
    return per_cm * film.um * 1e-4


_ENERGY: dict[str, float | None] = {}


def _line_kev(symbol: str) -> float | None:
    if symbol not in _ENERGY:
        line = xraylib.LA_LINE if symbol in L_LINES else xraylib.KA_LINE
        try:
            energy = float(xraylib.LineEnergy(ELEMENTS[symbol].number, line))
        except ValueError:
            energy = 0.0
        _ENERGY[symbol] = energy if energy > 1.0 else None
    return _ENERGY[symbol]


def _total(absorber: str, kev: float) -> float:
    return float(xraylib.CS_Total(ELEMENTS[absorber].number, kev))


@dataclass(kw_only=True)
class _Spot:
    """The state of the ground spot."""

    left: float = 1.0
    """Part of the films' thickness that is left where they cover."""
    bare: float = 0.0
    """Part of the spot that is bare."""

    def grind(self, rng: np.random.Generator) -> None:
        """Take off some of the coating: thinner everywhere, through in places."""
        self.left *= rng.uniform(0.1, 0.9)
        if rng.uniform() < 0.7:
            self.bare += (1.0 - self.bare) * rng.uniform(0.3, 1.0)


def series(
    coating: Coating,
    core: Grade,
    profile: Profile,
    library: GradeLibrary,
    n_shots: int,
    rng: np.random.Generator,
) -> Plated:
    """Return a series of shots: the first on the surface as found, before most of the others a grind."""
    melt = melt_of(core, library.elements, rng)
    films = draw_films(coating, rng)
    look = draw_look(profile, rng)
    spot = _Spot(bare=rng.uniform(0.05, 0.95) if coating.is_mixed else 0.0)
    shots, shares = [], []
    pull = 0.0
    for i in range(n_shots):
        # The second shot always follows a grind, as the advice asks for; later ones mostly.
        is_ground = i == 1 or (i > 1 and rng.uniform() < 0.75)
        if is_ground:
            spot.grind(rng)
        seen, share = _spot_reading(films, melt, look, spot, profile, coating.is_mixed)
        if i == 0:
            alone = {s: x for s, x in melt.items() if s not in profile.unseen}
            scale = 100.0 / sum(alone.values())
            pull = 0.005 * sum(abs(seen.get(s, 0.0) - scale * alone.get(s, 0.0)) for s in {*seen, *alone})
        shots.append(Shot(reading=noisy(seen, profile, look, rng), is_ground=is_ground))
        shares.append(share)
    return Plated(
        coating=coating.name,
        core=core,
        technique=profile.key,
        shots=tuple(shots),
        shares=tuple(shares),
        pull=pull,
    )


def _spot_reading(
    films: Sequence[Film],
    melt: Mapping[str, float],
    look: Look,
    spot: _Spot,
    profile: Profile,
    is_mixed: bool,
) -> tuple[dict[str, float], float]:
    """Return what the spot reads without noise [wt %], and the share of the skin in it."""
    if is_mixed:
        mixed = {
            s: sum(film.wt_pct.get(s, 0.0) for film in films) / len(films)
            for film in films
            for s in film.wt_pct
        }
        thinned = [Film(wt_pct=mixed, density_g_cm3=9.0, um=200.0)]
    else:
        thinned = [Film(wt_pct=f.wt_pct, density_g_cm3=f.density_g_cm3, um=f.um) for f in films]
        gone = (1.0 - spot.left) * sum(f.um for f in thinned)
        thinned = _worn(thinned, gone)
    skin, beneath = layered(thinned, melt, look)
    skin = {s: (1.0 - spot.bare) * x for s, x in skin.items() if s not in profile.unseen}
    core = {
        s: (1.0 - spot.bare) * beneath.get(s, 0.0) + spot.bare * x
        for s, x in melt.items()
        if s not in profile.unseen
    }
    total = max(sum(skin.values()) + sum(core.values()), 1e-9)
    seen = {s: 100.0 * (skin.get(s, 0.0) + core.get(s, 0.0)) / total for s in sorted({*skin, *core})}
    return seen, sum(skin.values()) / total


def _worn(films: list[Film], gone_um: float) -> list[Film]:
    """Return the films with so much ground off from the outside in."""
    left = []
    for film in films:
        taken = min(film.um, gone_um)
        gone_um -= taken
        if film.um - taken > 1e-6:
            left.append(Film(wt_pct=film.wt_pct, density_g_cm3=film.density_g_cm3, um=film.um - taken))
    return left


def noisy(seen: Mapping[str, float], profile: Profile, look: Look, rng: np.random.Generator) -> Reading:
    """Return a reading with the technique's noise, detection limits and scaling to 100 %."""
    values: dict[str, float] = {}
    below: dict[str, float] = {}
    for symbol, x in seen.items():
        offset = look.offset.setdefault(symbol, rng.normal())
        read = x + profile.sigma(symbol, x) * SYSTEMATIC * (offset + rng.normal())
        if read < profile.model(symbol).lod:
            below[symbol] = profile.model(symbol).lod
        else:
            values[symbol] = read
    total = sum(values.values())
    values = {symbol: min(100.0 * x / total, 100.0) for symbol, x in values.items()}
    return Reading(values=values, below=below, technique=profile.key)


def clean_series(
    grade: Grade, profile: Profile, library: GradeLibrary, n_shots: int, rng: np.random.Generator
) -> PieceFacts:
    """Return shots on a bare piece: the second after a grind, as sorters do to be sure."""
    melt = melt_of(grade, library.elements, rng)
    look = draw_look(profile, rng)
    seen = {s: x for s, x in melt.items() if s not in profile.unseen}
    scale = 100.0 / sum(seen.values())
    seen = {s: x * scale for s, x in seen.items()}
    shots = [Shot(reading=noisy(seen, profile, look, rng), is_ground=i == 1) for i in range(n_shots)]
    return PieceFacts(shots=tuple(shots))
