"""A sale as a mixed-integer linear program, solved by HiGHS through scipy."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from console.yard.selling.reach import NO_EXTRA, reach
from console.yard.selling.sale import LoadLimit, Outlet, Part, PlanError, Sale, ShadowPrice, Solved, Source

if TYPE_CHECKING:
    from grade_library.normal import FloatArray

NONE_IN_TIME = "No sale was found within {seconds:g} s; give it more time, or plan fewer bales at once."
LEAST_KG = 1e-6
"""Below it nothing is sold: rounding of the solver [kg]."""
PROVED_WITHIN = 1e-4
"""The search ends once no sale can bring more by this share; what is left of it is told (own choice)."""
LEAST_PRICE = 0.005
"""Shadow prices below half a hundredth of the currency are not told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One inequality: coefficients · x <= most."""

    coefficients: "FloatArray"
    most: float
    limit: tuple[Outlet, LoadLimit, str] | None = None
    """The limit that it stands for; None for weights and tonnages."""


class Program:
    """The arrays of one sale.

    Variables: for each pair of source and outlet the share of the source that goes there (0..1, a whole
    number for bales), then for each outlet whether it is served at all.
    """

    def __init__(self, sale: Sale) -> None:
        """Lay the sale out."""
        self.sale = sale
        self.pairs = [(source, outlet) for source in sale.sources for outlet in sale.outlets]
        self._size = len(self.pairs) + len(sale.outlets)
        self.gains = np.zeros(self._size)
        self.most = np.ones(self._size)
        self.whole = np.zeros(self._size)
        for at, (source, outlet) in enumerate(self.pairs):
            self.gains[at] = source.mass_kg * (outlet.pays(source) - source.kept_per_kg)
            self.most[at] = 0.0 if outlet.name in source.refused_by else 1.0
            self.whole[at] = source.is_whole
        self.whole[len(self.pairs) :] = 1.0
        self.rows = [*self._once(), *self._tonnages(), *self._limits()]

    def _row(self, of: "dict[int, float]", most: float, limit: Any = None) -> _Row:
        coefficients = np.zeros(self._size)
        for at, value in of.items():
            coefficients[at] = value
        return _Row(coefficients=coefficients, most=most, limit=limit)

    def _of_outlet(self, outlet: Outlet) -> list[tuple[int, Source]]:
        return [(at, source) for at, (source, one) in enumerate(self.pairs) if one is outlet]

    def _once(self) -> list[_Row]:
        """Nothing is sold twice."""
        count = len(self.sale.outlets)
        return [
            self._row({first * count + at: 1.0 for at in range(count)}, 1.0)
            for first in range(len(self.sale.sources))
        ]

    def _tonnages(self) -> list[_Row]:
        """An outlet takes nothing, or between its least and its most."""
        rows = []
        everything = sum(source.mass_kg for source in self.sale.sources)
        for number, outlet in enumerate(self.sale.outlets, start=len(self.pairs)):
            weights = {at: source.mass_kg for at, source in self._of_outlet(outlet)}
            most = everything if outlet.most_kg is None else outlet.most_kg
            rows.append(self._row({**weights, number: -most}, 0.0))
            if outlet.least_kg > 0.0:
                less = {at: -weight for at, weight in weights.items()}
                rows.append(self._row({**less, number: outlet.least_kg}, 0.0))
        return rows

    def _limits(self) -> list[_Row]:
        """Every load keeps every limit as far as its contents may reach: linear in the weights, cautious."""
        rows = []
        for outlet in self.sale.outlets:
            of_outlet = self._of_outlet(outlet)
            for limit in outlet.limits:
                reaches = [
                    (at, source.mass_kg, reach(source, limit.weights, self.sale.confidence))
                    for at, source in of_outlet
                ]
                if limit.high is not None:
                    over = {at: kg * (one.high - limit.high) for at, kg, one in reaches}
                    rows.append(self._row(over, 0.0, (outlet, limit, "at most")))
                if limit.low is not None:
                    under = {at: kg * (limit.low - one.low) for at, kg, one in reaches}
                    rows.append(self._row(under, 0.0, (outlet, limit, "at least")))
        return rows

    def solve(self, seconds: float) -> Solved:
        """Return the best sale found in time, with the proved bound on any other.

        Raises:
            PlanError: scipy is not there, or nothing was found in time.
        """
        try:
            from scipy.optimize import Bounds, LinearConstraint, milp
        except ImportError:
            raise PlanError(NO_EXTRA) from None
        if not self.sale.sources or not self.sale.outlets:
            raise PlanError("There is nothing to sell." if self.sale.outlets else "There is no buyer.")
        left, most = np.array([row.coefficients for row in self.rows]), [row.most for row in self.rows]
        found = milp(
            -self.gains,
            integrality=self.whole,
            bounds=Bounds(0.0, self.most),
            constraints=LinearConstraint(left, -np.inf, most),
            options={"time_limit": seconds, "mip_rel_gap": PROVED_WITHIN},
        )
        if found.x is None:
            raise PlanError(NONE_IN_TIME.format(seconds=seconds))
        kept = sum(source.mass_kg * source.kept_per_kg for source in self.sale.sources)
        shares = np.where(self.whole > 0.0, np.round(found.x), found.x)
        bound = -float(found.mip_dual_bound) if found.mip_dual_bound is not None else -float(found.fun)
        return Solved(
            parts=self._parts(shares),
            money=float(self.gains @ shares) + kept,
            bound=max(bound + kept, float(self.gains @ shares) + kept),
            shadow_prices=self._shadow_prices(shares, left, most),
        )

    def _parts(self, shares: "FloatArray") -> tuple[Part, ...]:
        masses = [
            (source, outlet, source.mass_kg * shares[at]) for at, (source, outlet) in enumerate(self.pairs)
        ]
        return tuple(
            Part(source=source.name, outlet=outlet.name, mass_kg=float(mass))
            for source, outlet, mass in masses
            if mass > LEAST_KG
        )

    def _shadow_prices(
        self, shares: "FloatArray", left: "FloatArray", most: list[float]
    ) -> tuple[ShadowPrice, ...]:
        """Return what more room in each limit would be worth, by the linear program that is left.

        What goes whole, and who is served, stays as it was found: a price of the loose metal only.
        """
        from scipy.optimize import linprog

        is_whole = self.whole > 0.0
        bounds = np.column_stack([np.where(is_whole, shares, 0.0), np.where(is_whole, shares, self.most)])
        found = linprog(-self.gains, A_ub=left, b_ub=most, bounds=bounds, method="highs")
        if found.status != 0:
            return ()
        prices = []
        for row, marginal in zip(self.rows, found.ineqlin.marginals, strict=True):
            if row.limit is None:
                continue
            outlet, limit, side = row.limit
            sold = math.fsum(source.mass_kg * found.x[at] for at, source in self._of_outlet(outlet))
            worth = -float(marginal) * 0.01 * sold
            if worth >= LEAST_PRICE:
                prices.append(
                    ShadowPrice(outlet=outlet.name, limit=limit.name, side=side, per_hundredth=worth)
                )
        return tuple(prices)
