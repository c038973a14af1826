"""A process whose disk fails to sync: `python -m tests.faults.sync_fails STORE FLAG once|always`."""

import json
import sys
from pathlib import Path

from console.ledger.rows.errors import StoreError
from tests.console.ledger.clock import brass, open_ledger


def main() -> None:
    """Enter a piece while every sync fails; say what was said, and what the store holds afterwards."""
    store, flag, how = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
    ledger = open_ledger(store)
    ledger.open_run("Ada")
    ledger.add_piece(brass(1000), "Ada")
    if how == "once":
        # The disk comes to itself as soon as the log is looked at again.
        trace = ledger.connection.set_trace_callback
        trace(lambda said: flag.unlink(missing_ok=True) if "checkpoint" in said else None)
    flag.touch()
    try:
        ledger.add_piece(brass(2000), "Ada")
        said = "written"
    except StoreError as error:
        said = f"{type(error).__name__}: {error}"
    if how == "once":
        ledger.add_piece(brass(3000), "Ada")
    print(json.dumps(said))
    # No closing: the process ends as a killed one does.


if __name__ == "__main__":
    main()
