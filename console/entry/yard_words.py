"""What an entry line takes from the yard: its words and units. The yard's record fits as it is."""

from collections.abc import Mapping, Sequence
from typing import Protocol

from grade_library.technique import Profile


class BayWords(Protocol):
    """A bay by its code."""

    @property
    def code(self) -> str:
        """What is typed for it."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def is_hold(self) -> bool:
        """Whether undecided pieces wait there."""


class ScaleWords(Protocol):
    """A scale on which pieces are weighed."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def largest_g(self) -> int:
        """No piece weighs more [g]."""

    @property
    def word(self) -> str:
        """Behind a weight: this scale weighed it; empty for the one that needs no word."""

    @property
    def weighs_heavy_pieces(self) -> bool:
        """Whether a piece too heavy for the other scale was weighed here."""


class YardWords(Protocol):
    """A yard as its entry lines know it."""

    @property
    def terminal(self) -> str:
        """Name of this terminal, with which its tags begin."""

    @property
    def weight_unit(self) -> str:
        """Unit of a bare number."""

    @property
    def bays(self) -> Sequence[BayWords]:
        """Every bay."""

    @property
    def piece_scale(self) -> ScaleWords:
        """What pieces are weighed on."""

    @property
    def ticket_scale(self) -> ScaleWords:
        """What heavy pieces are weighed on."""

    @property
    def technique(self) -> str:
        """Technique of a reading that names none."""

    @property
    def techniques(self) -> Mapping[str, Profile]:
        """Every technique that a reading may name."""

    def bay(self, code: str) -> BayWords:
        """Return the bay with this code, case-blind."""


def bay_codes(yard: YardWords | None) -> frozenset[str]:
    """Return the codes of the bays of a yard, case-folded; none where there is no yard."""
    return frozenset() if yard is None else frozenset(bay.code.casefold() for bay in yard.bays)
