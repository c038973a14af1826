"""How many kilograms an hour are sorted today."""

from datetime import datetime
from typing import TYPE_CHECKING

from console.ground.dates import local, midnight
from console.ledger.views.latest import entered_before

if TYPE_CHECKING:
    from console.desk.desk import Desk

SHORTEST_S = 600.0
"""A rate over a shorter time jumps with every piece and tells nothing (own choice) [s]."""


class Pace:
    """Today's rate of the open run; asks the ledger once a day and else reckons with the sums at hand."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._day: datetime | None = None
        self._before_g = 0
        self._first: datetime | None = None

    def grams_per_hour(self, mass_g: int) -> float | None:
        """Return the rate [g/h] at a mass of the run as it stands; None while it is too early to tell."""
        now = self._desk.now()
        day = midnight(local(now).date())
        if day != self._day or self._first is None:
            self._day = day
            self._before_g, self._first = entered_before(self._desk.ledger, self._desk.run().run_id, day)
        if self._first is None:
            return None
        seconds = (now - self._first).total_seconds()
        return None if seconds < SHORTEST_S else max(0, mass_g - self._before_g) * 3600.0 / seconds
