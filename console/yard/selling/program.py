"""A sale as a mixed-integer linear program, solved by HiGHS through scipy."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from console.yard.selling.reach import NO_EXTRA, reach
from console.yard.selling.sale import (
    Level,
    LoadLimit,
    Outlet,
    Part,
    PlanError,
    Sale,
    ShadowPrice,
    Solved,
    Source,
)

if TYPE_CHECKING:
    from grade_library.normal import FloatArray

LEAST_KG = 1e-6
"""Below it nothing is sold: rounding of the solver [kg]."""
PROVED_WITHIN = 1e-4
"""The search ends once no sale can bring more by this share; what is left of it is told (own choice)."""
LEAST_PRICE = 0.005
"""Shadow prices below half a hundredth of the currency are not told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Load:
    """A load that could be made: an outlet at one of its prices."""

    outlet: Outlet
    level: Level
    served: int | None
    """Variable that says whether it is made at all; None where nothing hangs on that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One inequality: coefficients · x <= most."""

    coefficients: "FloatArray"
    most: float
    limit: tuple[int, LoadLimit, str] | None = None
    """Number of the load, limit and side that it stands for; None for weights and tonnages."""


class Program:
    """The arrays of one sale.

    Variables: for each pair of source and load the share of the source that goes there (0..1, a whole number
    for bales), then for each load on which something hangs whether it is made at all. An outlet with several
    prices is as many loads, of which one is made at most: its price steps stay linear so.
    """

    def __init__(self, sale: Sale) -> None:
        """Lay the sale out.

        Raises:
            PlanError: scipy is not there, or an order has too many steps.
        """
        self.sale = sale
        levels = [(outlet, outlet.levels()) for outlet in sale.outlets]
        self.pairs = [
            (source, number)
            for source in sale.sources
            for number, (outlet, _) in enumerate((o, one) for o, of in levels for one in of)
            if outlet.name not in source.refused_by
        ]
        self.loads: list[_Load] = []
        self._size = len(self.pairs)
        for outlet, of in levels:
            for level in of:
                is_asked = outlet.least_kg > 0.0 or len(of) > 1
                self.loads.append(_Load(outlet=outlet, level=level, served=self._size if is_asked else None))
                self._size += is_asked
        self.gains, self.whole = np.zeros(self._size), np.ones(self._size)
        for at, (source, number) in enumerate(self.pairs):
            load = self.loads[number]
            brings = load.outlet.pays(source, load.level.price_per_kg)
            self.gains[at] = source.mass_kg * (brings - source.kept_per_kg)
            self.whole[at] = source.is_whole
        self.unsplit = np.where(np.arange(self._size) < len(self.pairs), 0.0, 1.0)
        """Whole numbers where bales may be split: whether a load is made."""
        self._into: dict[int, list[tuple[int, Source]]] = {number: [] for number in range(len(self.loads))}
        for at, (source, number) in enumerate(self.pairs):
            self._into[number].append((at, source))
        self.rows = [*self._once(), *self._tonnages(), *self._limits()]
        self.left = np.array([row.coefficients for row in self.rows])
        self.most = np.array([row.most for row in self.rows])
        self.kept = sum(source.mass_kg * source.kept_per_kg for source in sale.sources)
        """What everything is worth where it lies [currency]."""

    def _row(
        self, of: Mapping[int, float], most: float, limit: tuple[int, LoadLimit, str] | None = None
    ) -> _Row:
        coefficients = np.zeros(self._size)
        coefficients[list(of)] = list(of.values())
        return _Row(coefficients=coefficients, most=most, limit=limit)

    def _once(self) -> Iterator[_Row]:
        """Nothing is sold twice; an outlet gets one load at most."""
        by_source: dict[str, dict[int, float]] = {}
        for at, (source, _) in enumerate(self.pairs):
            by_source.setdefault(source.name, {})[at] = 1.0
        yield from (self._row(of, 1.0) for of in by_source.values())
        by_outlet: dict[str, dict[int, float]] = {}
        for load in self.loads:
            if load.served is not None:
                by_outlet.setdefault(load.outlet.name, {})[load.served] = 1.0
        yield from (self._row(of, 1.0) for of in by_outlet.values() if len(of) > 1)

    def _tonnages(self) -> Iterator[_Row]:
        """A load is nothing, or between the least and the most of its outlet."""
        for number, load in enumerate(self.loads):
            weights = {at: source.mass_kg for at, source in self._into[number]}
            there = sum(weights.values())
            most = there if load.outlet.most_kg is None else min(there, load.outlet.most_kg)
            if load.served is not None:
                yield self._row({**weights, load.served: -most}, 0.0)
            elif most < there:
                yield self._row(weights, most)
            if load.served is not None and load.outlet.least_kg > 0.0:
                less = {at: -weight for at, weight in weights.items()}
                yield self._row({**less, load.served: load.outlet.least_kg}, 0.0)

    def _limits(self) -> Iterator[_Row]:
        """Every load keeps every limit as far as its contents may reach: linear in the weights, cautious."""
        for number, load in enumerate(self.loads):
            confidence = load.outlet.confidence(self.sale.confidence)
            for limit in (*load.outlet.limits, *load.level.claimed):
                reaches = [
                    (at, source.mass_kg, reach(source, limit.weights, confidence))
                    for at, source in self._into[number]
                ]
                if limit.high is not None:
                    over = {at: kg * (one.high - limit.high) for at, kg, one in reaches}
                    yield self._row(over, 0.0, (number, limit, "at most"))
                if limit.low is not None:
                    under = {at: kg * (limit.low - one.low) for at, kg, one in reaches}
                    yield self._row(under, 0.0, (number, limit, "at least"))

    def run(self, low: "FloatArray", high: "FloatArray", seconds: float, *, is_split: bool = False) -> Any:
        """Return what HiGHS makes of shares between two bounds of each."""
        try:
            from scipy.optimize import Bounds, LinearConstraint, milp
        except ImportError:
            raise PlanError(NO_EXTRA) from None
        return milp(
            -self.gains,
            integrality=self.unsplit if is_split else self.whole,
            bounds=Bounds(low, high),
            constraints=LinearConstraint(self.left, -np.inf, self.most),
            options={"time_limit": seconds, "mip_rel_gap": PROVED_WITHIN},
        )

    def bounds(self) -> "tuple[FloatArray, FloatArray]":
        """Return the least and the most of every share."""
        return np.zeros(self._size), np.ones(self._size)

    def rounded(self, shares: "FloatArray | None") -> "FloatArray | None":
        """Return shares with whole numbers where they must be."""
        return None if shares is None else np.where(self.whole > 0.0, np.round(shares), shares)

    def bales(self) -> list[list[int]]:
        """Return the places of the shares of every bale."""
        bales: dict[str, list[int]] = {}
        for at, (source, _) in enumerate(self.pairs):
            if source.is_whole:
                bales.setdefault(source.name, []).append(at)
        return list(bales.values())

    def solved(self, shares: "FloatArray", bound: float) -> Solved:
        """Return shares as a sale, with a proved bound on what shares can gain [currency]."""
        money = float(self.gains @ shares) + self.kept
        return Solved(
            parts=self._parts(shares),
            money=money,
            bound=max(bound + self.kept, money),
            levels=self._levels(shares),
            shadow_prices=self._shadow_prices(shares),
        )

    def _parts(self, shares: "FloatArray") -> tuple[Part, ...]:
        masses = [
            (source, self.loads[number].outlet, source.mass_kg * shares[at])
            for at, (source, number) in enumerate(self.pairs)
        ]
        return tuple(
            Part(source=source.name, outlet=outlet.name, mass_kg=float(mass))
            for source, outlet, mass in masses
            if mass > LEAST_KG
        )

    def _levels(self, shares: "FloatArray") -> dict[str, Level]:
        return {
            self.loads[number].outlet.name: self.loads[number].level
            for at, (source, number) in enumerate(self.pairs)
            if source.mass_kg * shares[at] > LEAST_KG
        }

    def _shadow_prices(self, shares: "FloatArray") -> tuple[ShadowPrice, ...]:
        """Return what more room in each limit would be worth, by the linear program that is left.

        What goes whole, and who is served, stays as it was found: a price of the loose metal only.
        """
        from scipy.optimize import linprog

        is_whole = self.whole > 0.0
        bounds = np.column_stack([np.where(is_whole, shares, 0.0), np.where(is_whole, shares, 1.0)])
        found = linprog(-self.gains, A_ub=self.left, b_ub=self.most, bounds=bounds, method="highs")
        if found.status != 0:
            return ()
        prices = []
        for row, marginal in zip(self.rows, found.ineqlin.marginals, strict=True):
            if row.limit is None:
                continue
            number, limit, side = row.limit
            sold = math.fsum(source.mass_kg * found.x[at] for at, source in self._into[number])
            worth = -float(marginal) * 0.01 * sold
            if worth >= LEAST_PRICE:
                prices.append(
                    ShadowPrice(
                        outlet=self.loads[number].outlet.name,
                        limit=limit.name,
                        side=side,
                        per_hundredth=worth,
                    )
                )
        return tuple(prices)
