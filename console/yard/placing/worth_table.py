"""What every bay is worth for many possible findings at once: the rules of `place` laid out as arrays."""

import functools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from console.yard.metals import metals_of
from console.yard.placing.vetoes import by_limits, veto_whatever_metal
from console.yard.yard import Bay, Yard
from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from grade_library.normal import FloatArray
from grade_library.verdict import Candidate, Verdict

HOLD = -1
"""Stands for the hold bay among the rows of bays."""
LEAST_AS_IS = 0.25
"""A piece that no second look pays for goes to no bay whose buyer takes it less likely than this (own
choice)."""
REFUSED_S = 600.0
"""Time of the sorter that a refused piece is taken to cost where no price is written [s] (own choice): then
checks are weighed against that, and every bay whose buyer takes the piece is as good as another."""
_MOST_KEPT = 4
_NOTHING = Verdict(candidates=(), unlisted=0.0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Decisions:
    """Where a piece would go after each possible finding, and what that is worth."""

    bay: NDArray[np.int64]
    """Row of the bay, or HOLD, shape (n_findings,)."""
    worth: FloatArray
    """Expected worth of the piece there [currency], shape (n_findings,)."""
    accepted: FloatArray
    """Probability that the bay's buyer takes it, 0 on hold, shape (n_findings,)."""

    def part(self, first: int, last: int) -> "Decisions":
        """Return the same for some findings."""
        return Decisions(
            bay=self.bay[first:last], worth=self.worth[first:last], accepted=self.accepted[first:last]
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Situation:
    """The bays as they stand for one piece: what covers it, what hangs on it, what it weighs.

    "Metals at hand" are rows of `metals_of`: grades of the library and unlisted alloys of its kinds.
    """

    bays: tuple[Bay, ...]
    is_open: NDArray[np.bool_]
    """Nothing but the grade can rule the bay out, shape (n_bays,)."""
    of_metals: FloatArray
    """Side by side for each metal at hand, shape (n_metals at hand, 4 * n_bays): 1 where the buyer takes it;
    1 where it is among the refused; 1 where it cannot keep the bay's other limits; and what it fetches there
    [currency/kg]: the price where the buyer takes it, else as `worth_refused` says."""
    price: FloatArray
    downgrade: FloatArray
    best_price: FloatArray
    """What each metal fetches where it belongs [currency/kg], shape (n_metals at hand,)."""
    salvage: float
    """What metal of no kind fetches [currency/kg]: the least downgrade of the yard."""
    leaning: float
    veto: float
    kg: float
    """Weight [kg]; where no price is written, what a piece in a bay that takes it is worth [currency]."""
    second_look_cost: float
    is_priced: bool
    """Some bay has a price."""

    def perfect(self, shares: FloatArray, no_kind: FloatArray) -> FloatArray:
        """Return what the piece fetches where its metal belongs [currency], shape (n_findings,)."""
        return np.asarray((shares @ self.best_price + no_kind * self.salvage) * self.kg)

    def most(self, shares: FloatArray, no_kind: FloatArray) -> FloatArray:
        """Return what the piece fetches at most [currency], shape (n_findings,): `decide` never says more.

        A bay may pay more for a metal than where it belongs, while it is little of what the piece can be.
        """
        fetched = self.of_metals[:, 3 * len(self.bays) :]
        highest = np.where(self.is_open, fetched, self.salvage).max(axis=1, initial=self.salvage)
        paid = np.maximum(highest, self.best_price)
        return np.asarray((shares @ paid + no_kind * self.salvage) * self.kg)

    def decide(self, shares: FloatArray, no_kind: FloatArray) -> Decisions:
        """Return where the piece would go for each set of probabilities, as `place` says.

        Args:
            shares: Probability of the metals at hand, shape (n_findings, n_metals at hand).
            no_kind: Of a metal of no kind, shape (n_findings,); with the shares it sums to 1.
        """
        accepted, is_out, worth = self._bays(shares, no_kind)
        rule = accepted * self.price + (1.0 - accepted) * self.downgrade
        allowed = np.where(is_out | (accepted < self.leaning), -np.inf, rule)
        best = allowed.argmax(axis=1)
        rows = np.arange(len(shares))
        is_held = ~np.isfinite(allowed[rows, best])
        held = self._held(shares, no_kind, accepted, is_out, worth)
        return Decisions(
            bay=np.where(is_held, HOLD, best),
            worth=np.where(is_held, held, worth[rows, best]),
            accepted=np.where(is_held, 0.0, accepted[rows, best]),
        )

    def best_as_is(self, shares: FloatArray, no_kind: float) -> int:
        """Return the bay where a piece on hold is worth most as it is, or HOLD where a second look pays.

        Args:
            shares: Probability of the metals at hand, shape (n_metals at hand,).
            no_kind: Of a metal of no kind.
        """
        every, none = shares[None, :], np.array([no_kind])
        accepted, is_out, worth = self._bays(every, none)
        as_is = np.where(is_out | (accepted < LEAST_AS_IS), -np.inf, worth)[0]
        best = int(as_is.argmax())
        later = float(self.perfect(every, none)[0]) - self.second_look_cost
        return best if as_is[best] > later else HOLD

    def worth_in(self, bay: int, shares: FloatArray, no_kind: FloatArray) -> FloatArray:
        """Return what the piece is worth in one bay for each set of probabilities [currency]."""
        accepted, is_out, worth = self._bays(shares, no_kind)
        if bay == HOLD:
            return self._held(shares, no_kind, accepted, is_out, worth)
        return worth[:, bay]

    def _bays(
        self, shares: FloatArray, no_kind: FloatArray
    ) -> tuple[FloatArray, NDArray[np.bool_], FloatArray]:
        """Return the accepted share, whether the bay is ruled out, and the worth there [currency].

        Each of shape (n_findings, n_bays).
        """
        summed = (shares @ self.of_metals).reshape(len(shares), 4, -1)
        accepted, refused, exceeding, fetched = (summed[:, k] for k in range(4))
        is_out = (refused > self.veto) | (exceeding > self.veto) | ~self.is_open
        return accepted, is_out, (fetched + self.salvage * no_kind[:, None]) * self.kg

    def _held(
        self,
        shares: FloatArray,
        no_kind: FloatArray,
        accepted: FloatArray,
        is_out: NDArray[np.bool_],
        worth: FloatArray,
    ) -> FloatArray:
        """Return the worth of a held piece: settled later for the cost of a second look, or left as it is."""
        later = self.perfect(shares, no_kind) - self.second_look_cost
        as_is = np.where(is_out | (accepted < LEAST_AS_IS), -np.inf, worth)
        return np.asarray(np.maximum(later, as_is.max(axis=1)))


@dataclass(frozen=True, kw_only=True, eq=False)
class WorthTable:
    """The rules of all bays but hold against every grade, and an unlisted alloy of each kind."""

    yard: Yard
    library: GradeLibrary
    bays: tuple[Bay, ...]
    accepts: FloatArray
    """1 where the buyer takes the metal, shape (n_bays, n_metals)."""
    refuses: FloatArray
    exceeds: FloatArray

    @classmethod
    def of(cls, yard: Yard, library: GradeLibrary) -> "WorthTable":
        """Return the table of a yard, made once for each yard and library."""
        for known in _kept:
            if known.yard is yard and known.library is library:
                return known
        bays = tuple(bay for bay in yard.bays if not bay.is_hold)
        ids = [grade.grade_id for grade in library.grades]
        kinds = list(metals_of(library).row_of_kind)
        made = cls(
            yard=yard,
            library=library,
            bays=bays,
            accepts=_flags(
                [[*map(bay.takes, ids), *(kind in bay.taken_kinds for kind in kinds)] for bay in bays]
            ),
            refuses=_flags(
                [
                    [
                        *(one in bay.refused_ids for one in ids),
                        *(kind in bay.refused_kinds for kind in kinds),
                    ]
                    for bay in bays
                ]
            ),
            exceeds=_exceeds(bays, library, yard.thresholds.veto),
        )
        _kept[:] = [made, *_kept[: _MOST_KEPT - 1]]
        return made

    def situation(self, facts: PieceFacts, rows: NDArray[np.int64], kg: float) -> Situation:
        """Return the bays as they stand for one piece.

        Args:
            facts: Surfaces, attachments and readings that rule bays out whatever the metal.
            rows: Metals at hand, as rows of `metals_of`.
            kg: What the piece weighs [kg], > 0.
        """
        is_priced = self.yard.has_prices
        is_open = np.array([not veto_whatever_metal(bay, _NOTHING, facts) for bay in self.bays], dtype=bool)
        accepts = self.accepts[:, rows]
        price, downgrade = self._prices
        salvage = float(downgrade.min(initial=0.0 if not self.bays else np.inf))
        belongs = (accepts > 0.0) & (self.exceeds[:, rows] == 0.0) & is_open[:, None]
        best_price = np.where(belongs, price[:, None], salvage).max(axis=0, initial=salvage)
        refused = worth_refused(price[:, None], downgrade[:, None], best_price)
        fetched = np.where(accepts > 0.0, price[:, None], refused)
        parts = (accepts, self.refuses[:, rows], self.exceeds[:, rows], fetched)
        return Situation(
            bays=self.bays,
            is_open=is_open,
            of_metals=np.ascontiguousarray(np.concatenate(parts).T),
            price=price,
            downgrade=downgrade,
            best_price=best_price,
            salvage=salvage,
            leaning=self.yard.thresholds.leaning,
            veto=self.yard.thresholds.veto,
            kg=kg if is_priced else self.yard.sorter.cost_of(REFUSED_S) or 1.0,
            second_look_cost=self.yard.sorter.second_look_cost,
            is_priced=is_priced,
        )

    @functools.cached_property
    def _prices(self) -> tuple[FloatArray, FloatArray]:
        """Price and downgrade price of each bay [currency/kg]; every price 1 where none is written."""
        prices = [bay.price_per_kg if self.yard.has_prices else 1.0 for bay in self.bays]
        downgrades = [bay.downgrade_per_kg for bay in self.bays]
        return np.array(prices, dtype=np.float64), np.array(downgrades, dtype=np.float64)


_kept: list[WorthTable] = []


def worth_refused(price: FloatArray, downgrade: FloatArray, best_price: FloatArray) -> FloatArray:
    """Return what metal fetches in a bay whose buyer turns it away [currency/kg].

    The bay's downgrade price is meant for metal that is nearly right. Other metal loses the same part of what
    it is worth where it belongs, so that iron in a copper bay never fetches the price of downgraded copper.

    Args:
        price: What the bay's buyer pays for what he takes [currency/kg].
        downgrade: What metal that is nearly right fetches [currency/kg], same shape.
        best_price: What the metal fetches where it belongs [currency/kg], any shape that goes with these.
    """
    part = np.divide(downgrade, price, out=np.zeros_like(downgrade), where=price > 0.0)
    return np.asarray(np.minimum(downgrade, part * best_price))


def _flags(rows: list[list[bool]]) -> FloatArray:
    return np.array(rows, dtype=np.float64)


def _exceeds(bays: tuple[Bay, ...], library: GradeLibrary, most_refused: float) -> FloatArray:
    """Ask the veto itself which grades it stops that the bay does not name as refused: by their limits."""
    columns = []
    for grade in library.grades:
        alone = Verdict(candidates=(Candidate(grade=grade, probability=1.0),), unlisted=0.0)
        columns.append([bool(by_limits(bay, alone, most_refused)) for bay in bays])
    # No limit of an element is known of an alloy that the library does not list.
    columns += [[False] * len(bays)] * len(metals_of(library).row_of_kind)
    return _flags(columns).T
