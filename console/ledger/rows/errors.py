"""What can go wrong with the store, said so that the sorter can act on it."""

from console.ground.errors import BaywrightError


class StoreError(BaywrightError):
    """The store cannot be used; the message says which file, why, and what to do."""


class StoreLocked(StoreError):  # noqa: N818 - reads as a claim
    """Another console writes to the store."""


class StoreTooNew(StoreError):  # noqa: N818 - reads as a claim
    """The store was written by a newer program."""


class StoreDamaged(StoreError):  # noqa: N818 - reads as a claim
    """The file is not a store, or it is damaged."""


class StoreReadOnly(StoreError):  # noqa: N818 - reads as a claim
    """The disk or the file does not let itself be written to (or is full)."""


class LedgerRefusal(BaywrightError):  # noqa: N818 - the ledger says no, nothing went wrong
    """The act asked for makes no sense on this ledger: closed run, unknown row, void of a void."""
