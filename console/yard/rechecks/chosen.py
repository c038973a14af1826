"""Which pieces come back to be checked again: drawn by the ledger, not by a person."""

from dataclasses import dataclass

_HASH_DIGITS = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class RecheckSettings:
    """What [recheck] of yard.toml says."""

    share: float = 0.0
    """Share of the pieces that come back, 0..0.5; 0 for none."""
    by_person_for_all: bool = False
    """True shows everybody how often each person was right; else each person sees their own only."""


def is_chosen(hash_before: str, share: float) -> bool:
    """Return whether the next piece comes back.

    The hash of the row before it decides: it is spread evenly, fixed once it is written, and anyone can draw
    again with the ledger in hand.

    Args:
        hash_before: SHA-256 of the ledger's newest row, 64 hex digits.
        share: Of the pieces, 0..1.

    >>> is_chosen("0" * 64, 0.02), is_chosen("f" * 64, 0.02), is_chosen("0" * 64, 0.0)
    (True, False, False)
    """
    return int(hash_before, 16) < share * float(16**_HASH_DIGITS)
