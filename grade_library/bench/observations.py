"""What hand, eye and simple tools say of a piece, as log-likelihoods of every grade."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from grade_library.bench.bench_tables import (
    BERYLLIUM_FORMS,
    CAST_FORMS,
    COLOUR_ORDER,
    COVERED,
    FORM_WORDS,
    HEFT_BANDS,
    RARE_UNLESS_LISTED,
    SPARK_ODDS,
    SURFACE_ODDS,
    USE_NOT_LISTED,
    WROUGHT_FORMS,
    colour_odds,
    iacs_band,
    spark_class,
)
from grade_library.bench.magnet_odds import MagnetModel, compile_magnet, magnet_odds
from grade_library.facts import BenchFacts, Form, Heft, Surface
from grade_library.grade import Colour
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray, normal_cdf

DENSITY_SIGMA_REL = 0.01
"""Usual standard uncertainty of a density that states none (memory: bucket and hanging scale)."""
DENSITY_SPREAD_REL = 0.006
"""Melts of one grade, porosity and rounding in tables: spread of true densities around the listed one
(memory)."""
IACS_SIGMA_PCT = 1.5
"""Usual standard uncertainty of a conductivity reading [% IACS] (memory)."""
WRONG_MEASUREMENT = 0.02
"""Share of measurements that are simply wrong: trapped air, a coating, a slip (memory)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BenchFact:
    """One observation and what it says of every grade."""

    name: str
    """As shown: "magnet none"."""
    log_likelihood: FloatArray
    """Logarithm of its chance given each grade [nats], shape (n_grades,)."""
    named: frozenset[str] = frozenset()
    """Ids of the grades that a claim names; empty for what was observed."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BenchModel:
    """The bench facts of every grade, laid out as arrays once per library."""

    density: FloatArray
    iacs_low: FloatArray
    iacs_high: FloatArray
    magnet: MagnetModel
    colour: FloatArray
    """Chance of each colour of a fresh scratch, shape (n_grades, n_colours)."""
    spark: FloatArray
    """Chance of each spark stream, shape (n_grades, n_sparks)."""
    is_cast: FloatArray
    """1.0 for castings and ingot."""
    surface: dict[Surface, FloatArray]
    """Relative chance of each covering."""
    form: dict[Form, FloatArray]
    """Relative chance of each form."""


def compile_bench(library: GradeLibrary) -> BenchModel:
    """Return the bench facts of every grade of the library as arrays."""
    grades = library.grades
    bands = [iacs_band(grade) for grade in grades]
    is_cast = np.array([1.0 if grade.is_cast else 0.0 for grade in grades])
    seen_as = [f"{', '.join(grade.forms)} ".casefold() for grade in grades]
    return BenchModel(
        density=np.array([grade.density_g_cm3 for grade in grades]),
        iacs_low=np.array([band[0] for band in bands]),
        iacs_high=np.array([band[1] for band in bands]),
        magnet=compile_magnet(library),
        colour=np.array([colour_odds(grade.colour) for grade in grades]),
        spark=np.array([SPARK_ODDS[spark_class(grade)] for grade in grades]),
        is_cast=is_cast,
        surface={
            surface: np.array([SURFACE_ODDS[surface](grade) for grade in grades]) for surface in SURFACE_ODDS
        },
        form={form: _form_odds(library, seen_as, form, is_cast) for form in Form},
    )


def _form_odds(library: GradeLibrary, seen_as: Sequence[str], form: Form, is_cast: FloatArray) -> FloatArray:
    """Return the relative chance that a piece of each grade comes in this form.

    Args:
        library: The grades.
        seen_as: The forms that each is seen in, as one text in small letters.
        form: That of the piece.
        is_cast: 1.0 for castings and ingot, shape (n_grades,).
    """
    odds = np.ones(len(library))
    if form in CAST_FORMS:
        odds = np.where(is_cast > 0.0, 1.0, CAST_FORMS[form])
    elif form in WROUGHT_FORMS:
        odds = np.where(is_cast > 0.0, WROUGHT_FORMS[form], 1.0)
    words = FORM_WORDS.get(form, ())
    listed = np.array([any(word in text for word in words) for text in seen_as])
    rolled_so = {grade.group for grade, is_so in zip(library.grades, listed, strict=True) if is_so}
    rare = RARE_UNLESS_LISTED.get(form, USE_NOT_LISTED)
    unlisted = np.array([rare if grade.group in rolled_so else USE_NOT_LISTED for grade in library.grades])
    odds = odds * np.where(listed, 1.0, unlisted)
    holds_beryllium = np.array(["Be" in grade.limits and grade.base == "Cu" for grade in library.grades])
    return np.where(holds_beryllium, odds * BERYLLIUM_FORMS.get(form, 1.0), odds)


def bench_facts(bench: BenchFacts, model: BenchModel, values: Mapping[str, float]) -> list[BenchFact]:
    """Return each observation with its log-likelihood for every grade.

    Args:
        bench: What was observed; what was not tried adds nothing.
        model: The bench facts of the grades.
        values: The reading [wt %], from which stainless and nickel-copper tell more of the magnet; may be
            empty.
    """
    facts: list[BenchFact] = []

    def add(name: str, odds: FloatArray) -> None:
        facts.append(BenchFact(name=name, log_likelihood=np.log(odds)))

    covered = bool(bench.surfaces & COVERED)
    if bench.magnet is not None:
        odds = magnet_odds(model.magnet, values)[:, _PULLS.index(bench.magnet.value)]
        # A steel bolt or bracket pulls whatever the piece is made of.
        add(f"magnet {bench.magnet.value}", 0.5 * odds + 0.5 * odds.mean() if bench.has_attachments else odds)
    if bench.scratch is not None:
        add(f"scratch {bench.scratch.value}", _colour(model, bench.scratch, trust=0.98))
    if bench.colour is not None and not covered:
        add(f"colour {bench.colour.value}", _colour(model, bench.colour, trust=0.8))
    if bench.heft is not None:
        add(f"heft {bench.heft.value}", _heft(model, bench.heft))
    if bench.form is not None:
        add(f"form {bench.form.value}", model.form[bench.form])
    for surface in sorted(bench.surfaces):
        if surface in model.surface:
            add(f"surface {surface.value}", model.surface[surface])
    if bench.spark is not None:
        add(f"spark {bench.spark.value}", model.spark[:, _spark_column(bench)])
    if bench.density_g_cm3 is not None:
        found = bench.density_g_cm3
        add(f"density {found.value:.3g} g/cm3", _density(model, found.value, found.sigma))
    if bench.iacs_pct is not None:
        found = bench.iacs_pct
        add(f"conductivity {found.value:.3g} % IACS", _iacs(model, found.value, found.sigma))
    return facts


_PULLS = ("none", "weak", "strong")


def _spark_column(bench: BenchFacts) -> int:
    assert bench.spark is not None
    return list(type(bench.spark)).index(bench.spark)


def _colour(model: BenchModel, seen: Colour, *, trust: float) -> FloatArray:
    """Return the chance of the colour: as the table says, or (1 - trust) anything."""
    return trust * model.colour[:, COLOUR_ORDER.index(seen)] + (1.0 - trust) / len(COLOUR_ORDER)


def _heft(model: BenchModel, heft: Heft) -> FloatArray:
    low, high = HEFT_BANDS[heft]
    # A hand tells densities apart by about a tenth (memory), and one piece in fifty is hollow or filled.
    z_low, z_high = np.log(low / model.density) / 0.10, np.log(high / model.density) / 0.10
    return 0.98 * (normal_cdf(z_high) - normal_cdf(z_low)) + 0.02 / len(HEFT_BANDS)


def _density(model: BenchModel, value: float, sigma: float | None) -> FloatArray:
    sigma = DENSITY_SIGMA_REL * value if sigma is None else sigma
    spread = np.hypot(sigma, DENSITY_SPREAD_REL * model.density)
    # Pores and trapped air only make a casting lighter (castings: 95 to 100 % of the solid density).
    spread = np.where(
        (model.is_cast > 0.0) & (value < model.density), np.hypot(spread, 0.02 * model.density), spread
    )
    bell = np.exp(-0.5 * ((value - model.density) / spread) ** 2) / (spread * math.sqrt(2.0 * math.pi))
    return (1.0 - WRONG_MEASUREMENT) * bell + WRONG_MEASUREMENT / 20.0


def _iacs(model: BenchModel, value: float, sigma: float | None) -> FloatArray:
    sigma = IACS_SIGMA_PCT if sigma is None else math.hypot(sigma, 0.5)
    low, high = model.iacs_low, model.iacs_high
    width = np.maximum(high - low, 0.1)
    band = (normal_cdf((high - value) / sigma) - normal_cdf((low - value) / sigma)) / width
    return (1.0 - WRONG_MEASUREMENT) * band + WRONG_MEASUREMENT / 105.0
