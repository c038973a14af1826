"""What a terminal remembers of its office: the newest row that it took. So an office put back is noticed.

The memory lies beside the store and decides nothing: what is sent goes by the office's rows alone. An office
is known by the moment at which it was made, which a copy of its database bears too.
"""

import json
from contextlib import suppress
from datetime import UTC
from pathlib import Path
from typing import Any

from console.ground.durable import replace_whole
from console.office.address import Connection
from console.office.chains import Standing
from grade_library.user_files import UserFileError, read_text

ENDING = ".gathered.json"
"""Behind the name of the store."""
MOST_BYTES = 1_000_000


def lost_by(connection: Connection, store: Path, ledger: str) -> int:
    """Return the newest row that the office took of a ledger and no longer has; 0 where it lost none.

    Args:
        connection: The office.
        store: The terminal's store; its memory lies beside it.
        ledger: Hash of its first row.
    """
    said = _memory(store).get(office_of(connection))
    if not isinstance(said, dict) or said.get("ledger") != ledger or type(said.get("seq")) is not int:
        return 0
    is_there = connection.execute(
        "SELECT FROM baywright.ledger_row JOIN baywright.chain USING (chain) "
        "WHERE ledger = %s AND seq = %s AND row_hash = %s",
        (ledger, said["seq"], str(said.get("row_hash"))),
    ).fetchone()
    return 0 if is_there is not None else int(said["seq"])


def put_back_noticed(connection: Connection, store: Path, ledger: str, standing: Standing) -> int:
    """Return what `lost_by` does; where it lost some the office is told, for everybody who reads it.

    Before the rows are sent again, so that a gather that is cut off then has told it all the same.

    Args:
        connection: The office.
        store: The terminal's store.
        ledger: Hash of its first row.
        standing: How it stands to the office, with a chain.
    """
    lost = lost_by(connection, store, ledger)
    if lost and standing.chain is not None:
        connection.execute(
            "INSERT INTO baywright.put_back (chain, sent_seq, held_seq) VALUES (%s, %s, %s)",
            (standing.chain.chain, lost, standing.common_seq),
        )
    return lost


def office_of(connection: Connection) -> str:
    """Return what an office is known by."""
    found = connection.execute("SELECT made_at FROM baywright.step WHERE number = 1").fetchone()
    assert found is not None, "an office has its first step"
    return str(found[0].astimezone(UTC).isoformat())


def remember(store: Path, office: str, ledger: str, seq: int, row_hash: str) -> None:
    """Remember the newest row that an office has; a folder that cannot be written is gathered all the same.

    Args:
        store: The terminal's store.
        office: See `office_of`.
        ledger: Hash of the store's first row.
        seq: Number of the row.
        row_hash: Its hash.
    """
    before = _memory(store)
    now = before | {office: {"ledger": ledger, "seq": seq, "row_hash": row_hash}}
    if now != before:
        with suppress(OSError):
            replace_whole(store.with_name(store.name + ENDING), json.dumps(now, indent=1) + "\n")


def _memory(store: Path) -> dict[str, Any]:
    """Return what is remembered of each office; nothing where the file is not there or damaged."""
    try:
        found = json.loads(read_text(store.with_name(store.name + ENDING), MOST_BYTES))
    except (OSError, UserFileError, ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}
