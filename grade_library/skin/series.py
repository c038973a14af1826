"""Shots on one piece, in order: which agree, where it was ground, and whether the series has come to rest."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from grade_library.facts import Reading, Shot
from grade_library.reading import Averaged, average
from grade_library.skin.attenuation import Physics, physics_of
from grade_library.technique import FALLBACK, Profile

MOST_SIGMAS = 5.0
"""Two shots with an element further apart than this do not agree: shots on one spot scatter less than the
profile says."""
MEAN_SIGMAS = 2.2
"""The same for the root mean square over the elements."""
REPEAT_REL = 0.01
"""Shots on one bare spot scatter by at least this much of a value (memory)."""
MOSTLY_WHOLE_PCT = 75.0
"""A reading that sums to less was typed in part [wt %]."""
WHOLE_PCT = 95.0
"""A reading that sums to this has no room for an element that it does not report [wt %]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """Shots in a row that agree: one state of the spot."""

    averaged: Averaged
    first: int
    """Place of its first shot in the series."""
    n_shots: int
    is_ground_before: bool
    """The spot was ground before the first of them."""
    n_ground_within: int
    """How often it was ground between them: they agree all the same."""

    @property
    def has_settled(self) -> bool:
        """Two shots agree after a grind, or with a grind between them."""
        return self.n_ground_within >= 1 or (self.is_ground_before and self.n_shots >= 2)


def looks_at_surface(shot: Shot, profiles: Mapping[str, Profile]) -> bool:
    """Return True for a shot at a surface, False for a certificate and other bulk results."""
    return physics_of(_profile(shot.reading, profiles)) is not Physics.BULK


def is_whole(shot: Shot) -> bool:
    """Return True for a reading that names most of the metal; a few elements typed alone show no skin."""
    return math.fsum(shot.reading.values.values()) >= MOSTLY_WHOLE_PCT


def order_of(shots: Sequence[Shot], profiles: Mapping[str, Profile]) -> list[int]:
    """Return the places of the shots from the skin to the core.

    A shot on a spot as it lies there, taken after a ground one that it does not agree with, belongs before
    it.
    """
    late: list[int] = []
    early: list[int] = []
    for i, shot in enumerate(shots):
        before = late[-1] if late else None
        is_skin = (
            before is not None
            and not shot.is_ground
            and any(shots[j].is_ground for j in late)
            and shots[before].reading.technique == shot.reading.technique
            and not agree(shots[before].reading, shot.reading, profiles)
        )
        if is_skin:
            early.append(i)
        else:
            late.append(i)
    first = next((place for place, i in enumerate(late) if shots[i].is_ground), len(late))
    return [*late[:first], *early, *late[first:]]


def stages_of(shots: Sequence[Shot], profiles: Mapping[str, Profile]) -> tuple[Stage, ...]:
    """Return the series as stages, in order.

    Args:
        shots: Shots on one piece that look at its surface, in order.
        profiles: Key -> technique profile.
    """
    runs: list[list[int]] = []
    for i, shot in enumerate(shots):
        if runs and all(agree(shots[j].reading, shot.reading, profiles) for j in runs[-1]):
            runs[-1].append(i)
        else:
            runs.append([i])
    return tuple(
        Stage(
            averaged=average([shots[i] for i in run], profiles)[0],
            first=run[0],
            n_shots=len(run),
            is_ground_before=shots[run[0]].is_ground,
            n_ground_within=sum(shots[i].is_ground for i in run[1:]),
        )
        for run in runs
    )


def agree(one: Reading, other: Reading, profiles: Mapping[str, Profile]) -> bool:
    """Return True when two readings can be of the same matter: within what the technique repeats.

    Readings of different techniques are never one stage; each speaks for itself.
    """
    if one.technique != other.technique:
        return False
    profile = _profile(one, profiles)
    squares = []
    for symbol in {*one.values, *other.values}:
        if symbol in profile.unseen:
            continue
        z = _sigmas_apart(one, other, symbol, profile)
        if z is not None:
            squares.append(z * z)
    if not squares:
        return False
    return max(squares) <= MOST_SIGMAS**2 and math.fsum(squares) / len(squares) <= MEAN_SIGMAS**2


def _sigmas_apart(one: Reading, other: Reading, symbol: str, profile: Profile) -> float | None:
    """Return how far two readings of one element lie apart [σ], None where one of them says nothing of it."""
    a, b = _content(one, symbol, profile), _content(other, symbol, profile)
    if a is None or b is None:
        return None
    spread = math.hypot(_sigma(one, symbol, a, profile), _sigma(other, symbol, b, profile))
    return abs(a - b) / spread


def _content(reading: Reading, symbol: str, profile: Profile) -> float | None:
    if symbol in reading.values:
        return reading.values[symbol]
    if symbol in reading.below:
        return 0.5 * reading.below[symbol]
    # Not reported: absent where the rest leaves no room for it, else unknown.
    return 0.0 if sum(reading.values.values()) >= WHOLE_PCT else None


def _sigma(reading: Reading, symbol: str, content: float, profile: Profile) -> float:
    model = profile.model(symbol)
    sigma = max(reading.sigma.get(symbol, model.sigma(content)), REPEAT_REL * content)
    return sigma if symbol in reading.values else max(sigma, model.lod)


def _profile(reading: Reading, profiles: Mapping[str, Profile]) -> Profile:
    return profiles.get(reading.technique, profiles[FALLBACK])
