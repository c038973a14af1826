"""What to say and do about a skin, in the sorter's words."""

import math
import weakref
from collections.abc import Sequence

import numpy as np

from grade_library.cautions import POSSIBLE, Level, all_cautions, cautions_of_grade
from grade_library.facts import BenchFacts
from grade_library.grade import Grade
from grade_library.library import GradeLibrary
from grade_library.matcher.evidence import Evidence
from grade_library.normal import FloatArray
from grade_library.skin.coatings import Coating, all_coatings
from grade_library.skin.hypotheses import StageView

UNKNOWN = "surface layer"
"""Name of a skin that no coating of the library explains."""
NEARLY_THROUGH = 0.25
"""Probability of a skin in the last shot below which one more shot is asked for, and no more grinding."""
SURE_OF_COLOUR = 0.6
"""Share of the core's probability on one colour from which the sorter is told to grind to it."""
CONTRADICTION_NATS = -2.3
"""A bench fact ten times likelier on another grade than on the one that the reading names is said."""
LEAST_GRADE_SHARE = 5e-4
"""Grades below this probability do not count toward a caution."""
TOOLS = frozenset({"grind", "file", "scrape"})
"""Ways through a coating that end at a colour."""
LEAST_STEP_WT_PCT = 0.5
"""Smaller changes from shot to shot are not said [wt %]."""

_stops: "weakref.WeakKeyDictionary[GradeLibrary, dict[int, tuple[str, ...]]]" = weakref.WeakKeyDictionary()


def advice_for(
    name: str,
    probability: FloatArray,
    library: GradeLibrary,
    views: Sequence[StageView],
    last_skin: float,
    against: Sequence[str],
) -> str:
    """Return what it looks like and what to do, the caution first.

    Args:
        name: Coating, or the name of a skin that no coating explains.
        probability: Of each grade as the core, shape (n_grades,).
        library: The grades.
        views: The stages of the series.
        last_skin: Probability that the last shot still reads the skin.
        against: Contradictions between hand and reading, in words.
    """
    coating = next((found for found in all_coatings() if found.name == name), None)
    parts = [*_cautions(coating, probability, library), *against]
    if moving := _moving(coating, views, probability, library):
        parts.append(moving)
    if coating is None and len(views) < 2:
        parts.append("looks like metal with dirt, paint or a film on it: clean the spot and shoot again")
    elif coating is None:
        parts.append("the shots differ: something lies on the metal. Clean or grind the spot and shoot again")
    elif last_skin < NEARLY_THROUGH and len(views) > 1:
        parts.append(f"seems to be through the {coating.said}: shoot the ground spot once more to be sure")
    elif "do not grind" in coating.through:
        parts.append(f"looks like {coating.said}: {coating.through}")
    else:
        depth = f"the coating is {depth_words(coating)}"
        parts.append(
            f"looks like {coating.said}: {_through(coating, probability, library)} and shoot again ({depth})"
        )
    return ". ".join(part[0].upper() + part[1:] for part in parts)


def arrived_words(name: str) -> str:
    """Return what is said when a series has come through a skin."""
    known = {coating.name: coating.said for coating in all_coatings()}
    return f"Through the {known.get(name, name)}: the last shots agree"


def _cautions(coating: Coating | None, probability: FloatArray, library: GradeLibrary) -> list[str]:
    """Return the cautions of the coating, and those that forbid dust of a metal that may lie beneath it."""
    share: dict[str, float] = {}
    for row in np.flatnonzero(probability > LEAST_GRADE_SHARE):
        for caution_id in _stops_of(library, int(row)):
            share[caution_id] = share.get(caution_id, 0.0) + float(probability[row])
    named = {*(coating.cautions if coating else ()), *(key for key, p in share.items() if p >= POSSIBLE)}
    return [
        f"caution first: {caution.title[0].lower()}{caution.title[1:]}"
        for caution in all_cautions()
        if caution.caution_id in named
    ]


def _stops_of(library: GradeLibrary, row: int) -> tuple[str, ...]:
    """Return the ids of the cautions of a grade that stop the work, looked up once."""
    known = _stops.setdefault(library, {})
    if row not in known:
        found = cautions_of_grade(library.grades[row])
        known[row] = tuple(caution.caution_id for caution in found if caution.level is Level.STOP)
    return known[row]


def _through(coating: Coating, probability: FloatArray, library: GradeLibrary) -> str:
    """Return how to get through: to the core's colour where that is plain, else in the coating's words."""
    by_colour: dict[str, float] = {}
    for row in np.flatnonzero(probability > 1e-3):
        colour = library.grades[row].colour
        if colour not in coating.colours:
            by_colour[colour.value] = by_colour.get(colour.value, 0.0) + float(probability[row])
    best = max(by_colour, key=lambda key: by_colour[key], default="")
    verb = coating.through.split()[0].rstrip(":,")
    if best and verb in TOOLS and by_colour[best] >= SURE_OF_COLOUR * float(probability.sum()):
        return f"{verb} to {best}"
    return f"{coating.through},"


def depth_words(coating: Coating) -> str:
    """Return how thick a coating can be, in mm.

    >>> from grade_library.skin.coatings import coating_named
    >>> depth_words(coating_named("zinc"))
    'up to 0.03 mm'
    """
    mm = coating.thickest_um / 1000.0
    digits = 2 if mm < 0.1 else 1
    return f"up to {math.ceil(mm * 10**digits) / 10**digits:g} mm"


def _moving(
    coating: Coating | None, views: Sequence[StageView], probability: FloatArray, library: GradeLibrary
) -> str:
    """Return which element falls from stage to stage, and toward what the series runs; "" for one stage."""
    if len(views) < 2:
        return ""
    values = [view.stage.averaged.values for view in views]
    symbols = sorted(coating.elements if coating else values[0])
    falling = [s for s in symbols if values[-2].get(s, 0.0) - values[-1].get(s, 0.0) >= LEAST_STEP_WT_PCT]
    if not falling:
        return ""
    symbol = max(falling, key=lambda s: max(one.get(s, 0.0) for one in values))
    run = " to ".join(f"{one.get(symbol, 0.0):.3g}" for one in values)
    return f"{symbol} falls from {run} %, toward {toward(probability, library)}"


def toward(probability: FloatArray, library: GradeLibrary) -> str:
    """Return the metal that the core most probably is: its grade where that leads clearly, else its group."""
    best = int(np.argmax(probability))
    grade: Grade = library.grades[best]
    if probability[best] >= 0.5 * float(probability.sum()):
        return f"{grade.grade_id} ({grade.family})"
    by_group: dict[str, float] = {}
    for row in np.flatnonzero(probability > 1e-4):
        group = library.grades[row].group
        by_group[group] = by_group.get(group, 0.0) + float(probability[row])
    return max(by_group, key=lambda key: by_group[key], default="a metal of no known family")


def contradictions(
    bench: BenchFacts, library: GradeLibrary, shares: FloatArray, evidence: Evidence
) -> list[str]:
    """Return where hand and eye contradict what the reading alone would be, in words.

    Args:
        bench: What was observed.
        library: The grades.
        shares: Frequency of each grade before, shape (n_grades,), sum 1.
        evidence: What readings and bench facts say of every grade.
    """
    if not evidence.readings:
        return []
    row = int(np.argmax(evidence.from_readings + np.log(shares)))
    grade = library.grades[row]
    found = []
    for fact in evidence.bench:
        if fact.log_likelihood[row] - fact.log_likelihood.max() < CONTRADICTION_NATS:
            found.append(f"{fact.name} does not go with {grade.grade_id}, which the reading looks like")
    return found
