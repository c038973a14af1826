"""Four ways to decide which pieces to check, and what each earns on one piece."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from console.yard.next_check.checks import CheckKind, YardCheck
from console.yard.next_check.choosing import next_check
from console.yard.next_check.observing import HIDES_READING
from console.yard.next_check.reading_worth import posterior
from console.yard.placing.place import place
from console.yard.placing.worth_table import WorthTable, worth_refused
from console.yard.yard import Bay, Yard
from grade_library.facts import PieceFacts
from grade_library.library import GradeLibrary
from grade_library.matcher.matching import identify
from grade_library.technique import FALLBACK, profiles
from tests.benchmarks.placing_pieces import Piece, checked

MOST_CHECKS = 8
STILL_POSSIBLE = 0.05
"""The fixed rule takes a bay for possible from this chance on that it takes the piece."""


@dataclass(kw_only=True)
class Outcome:
    """What one policy came to over all pieces."""

    earned: float = 0.0
    """What the pieces fetch [currency]."""
    misplaced_g: int = 0
    """Weight that lies where its buyer refuses it [g]."""
    pieces_misplaced: int = 0
    seconds: float = 0.0
    """Time for checks and second looks [s]."""
    used_up: float = 0.0
    """Material [currency]."""
    held: int = 0
    checks: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, eq=False)
class House:
    """The yard in which all policies work."""

    yard: Yard
    library: GradeLibrary

    def check(self, kind: CheckKind) -> YardCheck | None:
        """Return a check of the yard by its kind."""
        return next((one for one in self.yard.checks if one.kind is kind), None)

    def make(self, piece: Piece, kind: CheckKind, facts: PieceFacts, outcome: Outcome) -> PieceFacts:
        """Make a check on a piece, and count its time."""
        check = self.check(kind)
        assert check is not None
        outcome.seconds += check.seconds
        outcome.used_up += check.cost
        outcome.checks[kind.value] = outcome.checks.get(kind.value, 0) + 1
        profile = profiles().get(self.yard.technique, profiles()[FALLBACK])
        return checked(piece, kind, facts, self.library, profile)

    def taken(self, bay: Bay, piece: Piece) -> bool:
        """Return whether the bay's buyer takes the piece as it truly is."""
        if not bay.takes(piece.grade.grade_id) or piece.surface in bay.refused_surfaces:
            return False
        return all(piece.melt.get(symbol, 0.0) <= most for symbol, most in bay.element_limits.items())

    def best_price(self, piece: Piece) -> float:
        """Return what the piece fetches where it truly belongs [currency/kg]."""
        bays = [bay for bay in self.yard.bays if not bay.is_hold]
        prices = [bay.price_per_kg for bay in bays if self.taken(bay, piece)]
        return max(prices, default=min(bay.downgrade_per_kg for bay in bays))

    def settle(self, piece: Piece, bay: Bay, outcome: Outcome) -> None:
        """Put the piece into a bay and count what it fetches; one on hold is settled rightly by a second
        look."""
        kg = piece.mass_g / 1000.0
        best = self.best_price(piece)
        if bay.is_hold:
            outcome.held += 1
            # Metal that no bay takes is where it belongs on the hold shelf: nobody looks at it twice.
            if any(self.taken(one, piece) for one in self.yard.bays if not one.is_hold):
                outcome.seconds += self.yard.sorter.second_look_s
            outcome.earned += best * kg
        elif self.taken(bay, piece):
            outcome.earned += bay.price_per_kg * kg
        else:
            prices = (bay.price_per_kg, bay.downgrade_per_kg, best)
            outcome.earned += float(worth_refused(*(np.array(one, dtype=np.float64) for one in prices))) * kg
            outcome.misplaced_g += piece.mass_g
            outcome.pieces_misplaced += 1


Policy = Callable[[House, Piece, Outcome], None]


def never_shoot(house: House, piece: Piece, outcome: Outcome) -> None:
    """Put the piece where magnet and eye say it most likely belongs; nothing waits on hold."""
    verdict = identify(piece.first, house.library)
    placement = place(verdict, piece.first, piece.mass_g, house.yard)
    bay = placement.bay
    if bay.is_hold:
        free = [one for one in placement.ranking if not one.veto] or list(placement.ranking)
        bay = max(free, key=lambda one: one.accepted).bay
    house.settle(piece, bay, outcome)


def shoot_everything(house: House, piece: Piece, outcome: Outcome) -> None:
    """Read every piece, on a ground spot where a covering is seen."""
    facts = house.make(piece, _shot_kind(piece.first), piece.first, outcome)
    verdict = identify(facts, house.library)
    house.settle(piece, place(verdict, facts, piece.mass_g, house.yard).bay, outcome)


def fixed_rule(house: House, piece: Piece, outcome: Outcome) -> None:
    """Read the piece when magnet and eye leave more than one bay."""
    verdict = identify(piece.first, house.library)
    placement = place(verdict, piece.first, piece.mass_g, house.yard)
    if placement.bay.is_hold or _bays_left(house, piece, placement.bay) > 1:
        shoot_everything(house, piece, outcome)
    else:
        house.settle(piece, placement.bay, outcome)


def advised(house: House, piece: Piece, outcome: Outcome) -> None:
    """Make the checks that the program advises, one after another, until none pays."""
    facts = piece.first
    for _ in range(MOST_CHECKS):
        verdict = identify(facts, house.library)
        placement = place(verdict, facts, piece.mass_g, house.yard)
        advice = next_check(facts, verdict, placement, piece.mass_g, house.yard, house.library)
        if advice.best is None:
            break
        facts = house.make(piece, advice.best.check.kind, facts, outcome)
    house.settle(piece, house.yard.bay(advice.tally_bay), outcome)


POLICIES: dict[str, Policy] = {
    "never shoot": never_shoot,
    "shoot everything": shoot_everything,
    "fixed rule": fixed_rule,
    "Baywright's advice": advised,
}


def _shot_kind(facts: PieceFacts) -> CheckKind:
    return CheckKind.GRIND if facts.bench.surfaces & HIDES_READING else CheckKind.READING


def _bays_left(house: House, piece: Piece, suggested: Bay) -> int:
    """Return how many bays magnet and eye leave: those where the grades still possible belong."""
    shares = posterior(piece.first, house.library)
    table = WorthTable.of(house.yard, house.library)
    price = np.array([bay.price_per_kg for bay in table.bays])
    belongs = np.where(table.accepts > 0.0, price[:, None], -np.inf)
    home = belongs.argmax(axis=0)
    chance = np.bincount(home, shares, minlength=len(table.bays))
    return int((chance >= STILL_POSSIBLE).sum()) or int(not suggested.is_hold)
