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


class StoreReplaced(StoreError):  # noqa: N818 - reads as a claim
    """The file that was opened lies no longer under its name: nothing may be added to it any more."""


class StoreUncertain(StoreError):  # noqa: N818 - reads as a claim
    """The disk did not say whether the last act is on it; only a new start can."""


class StoreDoubted(StoreError):  # noqa: N818 - reads as a claim
    """The ledger can be read, but is not as it was left: rows went, came or changed. Needs somebody's word.

    `doubts` holds what was found, a sentence each.
    """

    def __init__(self, message: str, doubts: tuple[str, ...]) -> None:
        super().__init__(message)
        self.doubts = doubts


class LedgerRefusal(BaywrightError):  # noqa: N818 - the ledger says no, nothing went wrong
    """The act asked for makes no sense on this ledger: closed run, unknown row, void of a void."""
