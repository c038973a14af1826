"""The ledger: opens the store for writing, whole, checked and locked."""

import sqlite3
from collections.abc import Callable, Sequence
from contextlib import ExitStack, suppress
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Self

from console.ground.durable import sweep_unfinished
from console.ledger.acts.journal import Journal
from console.ledger.acts.piece_acts import PieceActs
from console.ledger.acts.run_acts import RunActs
from console.ledger.consignments.acts import ConsignmentActs
from console.ledger.keeping.anchors import EVERY_ROWS, Anchor, anchors_of, keep
from console.ledger.keeping.backup import backup_connection
from console.ledger.keeping.chain_look import Seen
from console.ledger.keeping.doubts import Doubts, doubted, doubts_of, missing_store, numbers_given
from console.ledger.keeping.going_back import hash_at
from console.ledger.keeping.settling import said_of_uncertain_act
from console.ledger.keeping.verify import restore_guards
from console.ledger.keeping.writer_lock import take_writer_lock
from console.ledger.rows.connection import open_for_writing
from console.ledger.rows.errors import StoreError
from console.ledger.rows.row_text import time_text
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import open_run_of
from console.ledger.rows.runs import runs as runs_of
from console.ledger.rows.schema import STEPS, Step
from console.ledger.rows.trouble import UNREADABLE, told_plainly


class Ledger:
    """The one writer of a store: a journal that adds rows, the acts, and what watches over them."""

    def __init__(self, journal: Journal) -> None:
        self.journal = journal
        self.path, self.terminal = journal.path, journal.terminal
        self.act, self.append = journal.act, journal.append
        self._pieces, self._runs = PieceActs(journal), RunActs(journal)
        self.add_piece, self.void, self.unvoid = self._pieces.add, self._pieces.void, self._pieces.unvoid
        self.move, self.reweigh, self.resolve = self._pieces.move, self._pieces.reweigh, self._pieces.resolve
        self.assign = self._pieces.assign
        self.open_run, self.take_over, self.close_run = (
            self._runs.open, self._runs.take_over, self._runs.close,
        )  # fmt: skip
        self.note, self.ticket, self.draw_down = self._runs.note, self._runs.ticket, self._runs.draw_down
        self.next_tag = self._runs.next_tag
        self.consignments = ConsignmentActs(journal)
        self.doubts = Doubts()
        """In what the ledger is not as it was left, until somebody consented to go on."""
        self.told_at_start: tuple[str, ...] = ()
        """What the sorter should hear of the sitting before."""
        self.chain_seen: Seen | None = None
        """Up to where this sitting has looked along the chain; None as long as it has not."""
        self._anchored = 0

    @property
    def connection(self) -> sqlite3.Connection:
        """The store, open; another one after a commit of which nobody could say whether it was made."""
        return self.journal.connection

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        now: Callable[[], datetime],
        terminal: str,
        steps: Sequence[Step] = STEPS,
        go_on: bool = False,
        elapsed: Callable[[], float] | None = None,
    ) -> Self:
        """Open the store for writing; makes it if there is none, upgrades an older one after a backup.

        Args:
            path: The store's file, in a folder that exists.
            now: Gives the time of every row, aware.
            terminal: Name of this terminal, in every row.
            steps: The schema's steps.
            go_on: Open a ledger that is not as it was left, too; `doubts` then says what is wrong, and
                `consent` must be the first act.
            elapsed: Seconds that pass whatever is done to the clock; None sees only that it was set back.

        Raises:
            StoreDoubted: The ledger is not as it was left; without `go_on` nothing is changed.
            StoreLocked: Another console writes to it; the message names it.
            StoreError: Or another of its kinds, with a message for the sorter.
        """
        with ExitStack() as undo:
            lock = take_writer_lock(path, terminal=terminal, at=now())
            undo.callback(lock.release)
            sweep_unfinished(path.parent)
            missing = missing_store(path)
            if missing and not go_on:
                raise doubted(path, missing.said)
            back_up = _backing_up(path, now, len(steps))
            connection = open_for_writing(path, before_upgrade=back_up, steps=steps)
            undo.callback(connection.close)
            ledger = cls(Journal(path, connection, lock, now=now, terminal=terminal, elapsed=elapsed))
            with told_plainly(path):
                ledger._look_at_start(missing, tuple(steps), go_on=go_on)
            undo.pop_all()
        return ledger

    def _look_at_start(self, missing: Doubts, steps: tuple[Step, ...], *, go_on: bool) -> None:
        """Compare the ledger with its anchors and look at what guards it.

        Raises:
            StoreDoubted: It is not as it was left, and nobody said that work goes on.
        """
        self.told_at_start = tuple(filter(None, [said_of_uncertain_act(self.path, self.connection)]))
        self.doubts = missing or doubts_of(self, steps)
        if self.doubts and not go_on:
            raise doubted(self.path, self.doubts.said)
        if self.doubts:
            restore_guards(self.connection)
        given = [*numbers_given(self.connection), (self.doubts.runs, self.doubts.tags)]
        runs, tags = (max(numbers) for numbers in zip(*given, strict=True))
        self._runs.runs_given, self._runs.tags_given = runs, tags
        self.journal.after_commit = self._anchor_now_and_then

    def consent(self, person: str) -> Row:
        """Write down that work goes on though the ledger is not as it was left; opens a run where none is.

        Raises:
            StoreError: The disk refused; nothing was written.
        """
        with self.act():
            run = open_run_of(self)
            run_id = run.run_id if run else self.open_run(person).run_id
            found = self.doubts
            body = {"doubts": list(found.said), "runs": found.runs, "tags": found.tags}
            if found.changed:
                body["changed"] = [list(one) for one in found.changed]
            row = self.append(RowKind.CONSENT, person=person, run_id=run_id, body=body)
        self.doubts = Doubts()
        self.anchor()
        return row

    def anchor(self) -> None:
        """Write the head of the chain down outside the store."""
        seq, row_hash = self.journal.head
        if seq == 0 or self.doubts:
            return
        ledger = hash_at(self.connection, 1) or row_hash
        runs = len(runs_of(self))
        tags = int(self.next_tag().rpartition("H")[2]) - 1
        known = [one for one in anchors_of(self.path, ledger) if one.ledger == ledger]
        before = max(known, key=lambda one: one.newest[0], default=None) or Anchor(
            ledger=ledger, store="", heads=(), runs=0, tags=0
        )
        ours = tuple(head for head in before.heads if hash_at(self.connection, head[0]) == head[1])
        kept = replace(before, store=str(self.path.resolve()), heads=ours)
        keep(kept.with_head(seq, row_hash, runs=runs, tags=tags), self.path)
        self._anchored = seq

    def _anchor_now_and_then(self, seq: int, row_hash: str) -> None:
        if seq - self._anchored >= EVERY_ROWS or seq == 1:
            self.anchor()

    def close(self) -> None:
        """Write the head of the chain down, close the store, and let the next writer in."""
        try:
            # A store that fails is closed all the same; its head is then the one written down before.
            with suppress(StoreError, *UNREADABLE):
                self.anchor()
        finally:
            self.journal.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _backing_up(
    path: Path, now: Callable[[], datetime], newest: int
) -> Callable[[sqlite3.Connection, int], None]:
    """Return what copies a store beside itself before it is upgraded."""

    def back_up(connection: sqlite3.Connection, version: int) -> None:
        stamp = time_text(now()).replace(":", "").replace("-", "")[:15]
        copy = path.with_name(f"{path.name}.version-{version}.{stamp}.backup")
        backup_connection(connection, copy, newest=newest)

    return back_up
