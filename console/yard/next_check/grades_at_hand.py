"""Which metals still count for a piece, with what probability, and whether its readings can be trusted."""

import zlib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from console.yard.metals import metals_of, unlisted_rows
from console.yard.next_check.observing import HIDES_READING
from console.yard.next_check.reading_worth import posterior
from console.yard.placing.place import shares_of
from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from grade_library.matcher.prior import Prior
from grade_library.normal import FloatArray
from grade_library.technique import Profile
from grade_library.verdict import Verdict

KEPT = 0.998
"""The likeliest metals are kept until they have this much of the probability; they stand for the rest too."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Matching:
    """What the matcher is asked with."""

    prior: Prior | None
    techniques: Mapping[str, Profile]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AtHand:
    """The metals that still count for a piece: grades, and unlisted alloys of a kind."""

    rows: NDArray[np.int64]
    """As rows of `metals_of`, ascending."""
    shares: FloatArray
    """Their probabilities."""
    n_listed: int
    """So many of the first rows are grades of the library."""

    @property
    def no_kind(self) -> float:
        """What the shares leave of 1: a metal of no kind."""
        return max(0.0, 1.0 - float(self.shares.sum()))


def trusted(facts: PieceFacts, verdict: Verdict) -> PieceFacts:
    """Return the facts without readings that are of a coating, or that fit no kind of metal and so are of one
    or amiss."""
    is_of_metal = verdict.open_skin is None and verdict.no_family <= 0.5
    return facts if is_of_metal or not facts.shots else replace(facts, shots=())


def grades_at_hand(facts: PieceFacts, verdict: Verdict, library: GradeLibrary, matching: Matching) -> AtHand:
    """Return the metals by the verdict; by their usual frequency where nothing is known yet."""
    all_shares = np.zeros(len(metals_of(library)))
    known = trusted(facts, verdict)
    skin = verdict.open_skin
    if skin is not None and skin.core:
        for candidate in skin.core:
            all_shares[library.index_of(candidate.grade.grade_id)] = candidate.probability
        _add_unlisted(all_shares, verdict, library)
    elif known.is_empty:
        all_shares[: len(library)] = (matching.prior or Prior.usual(library)).shares(library)
    elif known is facts and verdict.share_by_id:
        for grade_id, share in shares_of(verdict).items():
            all_shares[library.index_of(grade_id)] = share
        _add_unlisted(all_shares, verdict, library)
    else:
        all_shares = posterior(known, library, matching.prior, matching.techniques)
    order = np.argsort(-all_shares, kind="stable")
    summed = np.cumsum(all_shares[order])
    n = int(np.searchsorted(summed, KEPT * summed[-1])) + 1
    rows = np.sort(order[:n])
    rows = rows[all_shares[rows] > 0.0]
    shares = all_shares[rows]
    return AtHand(
        rows=rows,
        shares=shares * (summed[-1] / shares.sum()) if rows.size else shares,
        n_listed=int(np.searchsorted(rows, len(library))),
    )


def _add_unlisted(all_shares: FloatArray, verdict: Verdict, library: GradeLibrary) -> None:
    for row, share in unlisted_rows(verdict, library).items():
        all_shares[row] = share


def is_covered(facts: PieceFacts, verdict: Verdict) -> bool:
    """Return whether a reading of the surface as it lies there would be of something else than the metal."""
    return trusted(facts, verdict) is not facts or bool(facts.bench.surfaces & HIDES_READING)


def seed_of(facts: PieceFacts) -> int:
    """Return a number that is the same for the same facts, on every day and every machine."""
    said = sorted(surface.value for surface in facts.bench.surfaces)
    for one in fields(facts.bench):
        value = getattr(facts.bench, one.name)
        if value is not None and one.name != "surfaces":
            said.append(f"{one.name}={getattr(value, 'value', value)}")
    for shot in facts.shots:
        reading = shot.reading
        said += [f"{symbol}={value}" for symbol, value in sorted(reading.values.items())]
        said += [reading.technique, str(shot.is_ground), *sorted(reading.below)]
    said.append(facts.claim.label if facts.claim else "")
    return zlib.crc32("|".join(said).encode())
