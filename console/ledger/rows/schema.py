"""The shape of the store, its numbered steps, and the way up from an older one.

A step brings a store from its number minus one to its number. Steps are never edited once stores of
that number exist; a change of shape is a new step.
"""

import sqlite3
from collections.abc import Sequence

APPLICATION_ID = 0x42575931
"""Marks the file as a store of this program (in ASCII: BWY1)."""

Step = tuple[str, ...]
"""The statements of one step."""

STEP_1: Step = (
    """
    CREATE TABLE ledger (
        seq INTEGER PRIMARY KEY CHECK (seq > 0),
        row_id TEXT NOT NULL UNIQUE,
        kind TEXT NOT NULL,
        at_utc TEXT NOT NULL,
        person TEXT NOT NULL,
        terminal TEXT NOT NULL,
        run_id TEXT NOT NULL,
        refers TEXT REFERENCES ledger(row_id),
        bay TEXT,
        grade_id TEXT,
        mass_g INTEGER CHECK (mass_g IS NULL OR mass_g > 0),
        pieces INTEGER CHECK (pieces IS NULL OR pieces > 0),
        tag TEXT,
        body TEXT NOT NULL,
        prev_hash TEXT NOT NULL CHECK (length(prev_hash) = 64),
        row_hash TEXT NOT NULL CHECK (length(row_hash) = 64),
        evidence TEXT
    ) STRICT
    """,
    # Everything that the sums of a run need, so that they never touch the rows themselves.
    "CREATE INDEX ledger_by_run ON ledger(run_id, kind, bay, mass_g, pieces)",
    "CREATE INDEX ledger_of_runs ON ledger(kind) WHERE kind IN ('open', 'take-over', 'close')",
    "CREATE INDEX ledger_by_reference ON ledger(refers) WHERE refers IS NOT NULL",
    "CREATE INDEX ledger_by_tag ON ledger(run_id, tag) WHERE tag IS NOT NULL",
    """
    CREATE TRIGGER ledger_never_changes BEFORE UPDATE ON ledger
    BEGIN SELECT RAISE(ABORT, 'ledger rows are never changed; add a correcting row'); END
    """,
    """
    CREATE TRIGGER ledger_never_shrinks BEFORE DELETE ON ledger
    BEGIN SELECT RAISE(ABORT, 'ledger rows are never deleted; add a correcting row'); END
    """,
    # INSERT OR REPLACE would overwrite a row without passing the two guards above.
    """
    CREATE TRIGGER ledger_only_grows BEFORE INSERT ON ledger
    WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM ledger)
        OR EXISTS (SELECT 1 FROM ledger WHERE row_id = NEW.row_id)
    BEGIN SELECT RAISE(ABORT, 'ledger rows are only added at the end'); END
    """,
    """
    CREATE TRIGGER ledger_keeps_its_chain BEFORE INSERT ON ledger
    WHEN NEW.prev_hash IS NOT
        coalesce((SELECT row_hash FROM ledger WHERE seq = NEW.seq - 1), printf('%064d', 0))
    BEGIN SELECT RAISE(ABORT, 'a ledger row names the hash of the row before it'); END
    """,
)

STEPS: tuple[Step, ...] = (STEP_1,)


def version_of(connection: sqlite3.Connection) -> int:
    """Return the schema version of the store, 0 for an empty file."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def climb(connection: sqlite3.Connection, steps: Sequence[Step] = STEPS) -> None:
    """Bring the store to the newest version, all steps or none.

    Args:
        connection: Open for writing, outside a transaction.
        steps: Step n brings version n - 1 to n.
    """
    # sqlite-utils takes a tenth of a second to import; a store that is up to date never comes here.
    from sqlite_utils import Database

    store = Database(connection)
    store.execute("BEGIN IMMEDIATE")
    try:
        for step in steps[version_of(connection) :]:
            for statement in step:
                store.execute(statement)
        # Both pragmas belong to the transaction and roll back with it.
        store.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        store.execute(f"PRAGMA user_version = {len(steps)}")
        store.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
