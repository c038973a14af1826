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
    """The bench scale."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def largest_g(self) -> int:
        """No piece weighs more [g]."""


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
    def technique(self) -> str:
        """Technique of a reading that names none."""

    @property
    def techniques(self) -> Mapping[str, Profile]:
        """Every technique that a reading may name."""

    def bay(self, code: str) -> BayWords:
        """Return the bay with this code, case-blind."""
