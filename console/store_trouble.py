"""What the console does when the store is damaged, in doubt, or lost under it."""

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from console.ground.cleaning import told
from console.panes.said_pane import Said

if TYPE_CHECKING:
    from console.app import ConsoleApp
    from console.desk import Desk
    from console.ledger.rows.errors import StoreError
    from console.yard_at_work import YardAtWork

STORE_FILE = "yard.sqlite3"
SAVED = "saved-rows-%Y%m%d-%H%M%S.jsonl"
"""Name of the file that the rows of a damaged store are saved to."""


class StoreTrouble:
    """Offers what can be done about a store by number; watches the one that is worked with."""

    def __init__(self, app: "ConsoleApp", yard: "YardAtWork") -> None:
        self.goes_on = False
        """The sorter said that work goes on though the ledger is not as it was left."""
        self._app = app
        self._yard = yard
        self._at: datetime | None = None

    def show(self, error: "StoreError", at: datetime) -> None:
        """Say what is wrong with the store, and offer what can be done about it."""
        from console.ledger.rows.errors import StoreDoubted
        from console.screens.further.store_trouble import copies_beside, doubts_told, trouble_screen

        self._at, self._app.failure = at, str(error)
        copies, is_readable = len(copies_beside(self._store)), isinstance(error, StoreDoubted)
        found = doubts_told(self._store, error.doubts) if isinstance(error, StoreDoubted) else str(error)
        screen = trouble_screen(told(found), is_readable=is_readable, copies=copies)
        self._app.push_screen(screen, self._treat)

    def watch(self, desk: "Desk") -> None:
        """End when nothing more can be written; tell what the ledger tells; look along the chain at rest."""
        ledger, say = desk.ledger, self._app.sorting.say
        ledger.journal.when_lost = lambda why: self._later(self._end, why)
        ledger.journal.when_told = lambda sentence: say(Said(sentence))
        for sentence in ledger.told_at_start:
            say(Said(sentence))
        self._app.run_worker(lambda: self._look_along_chain(desk), thread=True, group="chain", exclusive=True)

    @property
    def _store(self) -> Path:
        return self._yard.folder / STORE_FILE

    def _treat(self, chosen: str | None) -> None:
        from console.screens.further import store_trouble as offered

        if chosen == offered.GO_ON:
            self.goes_on, self._app.failure = True, ""
            self._yard.open_desk()
        elif chosen == offered.RESTORE:
            self._app.push_screen(offered.copies_screen(offered.copies_beside(self._store)), self._restore)
        else:
            saved = str(self._yard.folder / f"{self._at:{SAVED}}")
            wanted = {offered.VERIFY: ("verify",), offered.SALVAGE: ("salvage", saved)}
            self._app.wanted = wanted.get(chosen or "", ())
            self._app.exit(return_code=1)

    def _restore(self, file: str | None) -> None:
        self._app.wanted = ("restore", file, "--overwrite") if file else ()
        self._app.exit(return_code=1)

    def _later(self, act: Callable[[str], None], said: str) -> None:
        self._app.call_later(act, said)

    def _end(self, why: str) -> None:
        self._app.failure = why
        self._app.exit(return_code=1)

    def _look_along_chain(self, desk: "Desk") -> None:
        from console.ledger.keeping.chain_look import look_at_rest
        from console.ledger.rows.errors import StoreError

        with suppress(StoreError):
            found = look_at_rest(desk.ledger.path, lambda: self._yard.desk is not desk)
            if isinstance(found, str):
                self._app.call_from_thread(self._app.sorting.say, Said(found, is_refusal=True))
            else:
                desk.ledger.chain_seen = found
