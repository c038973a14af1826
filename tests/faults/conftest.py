"""Where the stores of the fault tests lie."""

from tests.console.ledger.conftest import ledger, store

__all__ = ["ledger", "store"]
