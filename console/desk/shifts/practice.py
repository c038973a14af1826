"""Practice: a desk of its own over a store that is thrown away, and what came of each practice piece."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from statistics import fmean
from tempfile import TemporaryDirectory

from console.desk.desk import Desk
from console.desk.shifts.practice_pieces import PIECES, PracticePiece
from console.desk.shifts.shorter import shorter
from console.ground.cleaning import clean
from console.ground.figures import many
from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import PieceState
from console.reports.columns import folded
from console.yard.rechecks.chosen import RecheckSettings

STORE = "practice.sqlite3"
NO_CLOSE_OUT = "Leave the practice first: it has no run to close."


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One practice piece as it was entered."""

    piece: PracticePiece
    taken: PieceState | None
    """None where it was passed over."""
    right_bay: str
    keys: int
    seconds: float

    @property
    def is_right(self) -> bool:
        """Whether it went where the metal belongs."""
        return self.taken is not None and self.taken.bay == self.right_bay


class Practice:
    """Follows which pieces were entered, by what keys and in what time; nothing reaches the yard's ledger."""

    def __init__(self, real: Desk) -> None:
        self._folder = TemporaryDirectory(prefix="baywright-practice-")
        folder = Path(self._folder.name)
        # No file of an analyser, no overdue coupon and no draw for a second look comes into it.
        yard = replace(
            real.yard,
            folder=folder,
            check_samples=(),
            recheck=RecheckSettings(),
            readings_files=replace(real.yard.readings_files, folder=""),
        )
        ledger = Ledger.open(folder / STORE, now=real.now, terminal=yard.terminal)
        ledger.open_run(real.person)
        known = replace(real.known, yard=yard, profiles=None, doubts=(), unchecked={})
        self.desk = Desk(known=known, yard=yard, ledger=ledger, now=real.now, person=real.person)
        self.desk.closing.why_not = NO_CLOSE_OUT
        self._before: frozenset[str] = frozenset()
        """Pieces of the walk round the screen, which are not asked about."""
        self._ends: list[tuple[str, int, datetime]] = []
        """Of each piece so far: its row or nothing, the keys pressed by then, and when."""
        self._began = (0, real.now())

    def begin(self, keys: int) -> None:
        """Begin with the first piece; what was tallied before is of the walk.

        Args:
            keys: Pressed so far.
        """
        self._before = frozenset(piece.row_id for piece in self._standing())
        self._began, self._ends = (keys, self.desk.now()), []

    @property
    def at_hand(self) -> PracticePiece | None:
        """The piece to enter now; None at the end."""
        return PIECES[len(self._ends)] if len(self._ends) < len(PIECES) else None

    count = len(PIECES)

    @property
    def number(self) -> int:
        """Of the piece at hand, from 1."""
        return len(self._ends) + 1

    def look(self, keys: int) -> None:
        """Take in which pieces were entered, and which taken back."""
        standing = [piece.row_id for piece in self._standing() if piece.row_id not in self._before]
        while self._ends and self._ends[-1][0] and self._ends[-1][0] not in standing:
            self._ends.pop()
        known = {row_id for row_id, _, _ in self._ends}
        new = [row_id for row_id in standing if row_id not in known]
        self._ends += [(row_id, keys, self.desk.now()) for row_id in new[: len(PIECES) - len(self._ends)]]

    def pass_over(self, keys: int) -> None:
        """Go on to the next piece without an answer."""
        self._ends.append(("", keys, self.desk.now()))

    def answers(self) -> list[Answer]:
        """Return what came of each piece so far."""
        standing = {piece.row_id: piece for piece in self._standing()}
        starts = [self._began, *[(keys, at) for _, keys, at in self._ends]]
        return [
            Answer(
                piece=piece,
                taken=standing.get(row_id),
                right_bay=self._right_bay(piece),
                keys=keys - began_keys,
                seconds=(at - began_at).total_seconds(),
            )
            for piece, (row_id, keys, at), (began_keys, began_at) in zip(
                PIECES, self._ends, starts, strict=False
            )
        ]

    def text(self, width: int) -> str:
        """Return what was taken for what, with keys and seconds, for so many columns."""
        answers = self.answers()
        entered = [one for one in answers if one.taken is not None]
        right = sum(one.is_right for one in entered)
        lines = [f"{right} of {many(len(entered), 'piece', 'pieces')} in the right bay."]
        if entered:
            keys, seconds = fmean(one.keys for one in entered), fmean(one.seconds for one in entered)
            lines[0] += f" Keys per piece {keys:.1f}, seconds per piece {seconds:.1f}."
        for number, one in enumerate(answers, 1):
            lines += ["", *folded(f"{number}. {one.piece.seen}.", width, indent="   ")]
            lines += folded(_said(one, self.desk), width, first="   ", indent="   ")
        return "\n".join(lines)

    def close(self) -> None:
        """Throw the store away."""
        self.desk.close()
        self._folder.cleanup()

    def _standing(self) -> Sequence[PieceState]:
        return [piece for piece in self.desk.review.pieces()[::-1] if not piece.is_void]

    def _right_bay(self, piece: PracticePiece) -> str:
        bay = self.desk.piece.bay(self.desk.consider(piece.answer))
        return bay.code if bay else ""


def _said(one: Answer, desk: Desk) -> str:
    if one.taken is None:
        return f"Passed over. It is {one.piece.metal}: {one.right_bay}."
    named = clean(one.taken.grade_label or "no name")
    verdict = "Right" if one.is_right else f"WRONG, it belongs in {one.right_bay}"
    spent = f"{many(one.keys, 'key', 'keys')}, {one.seconds:.1f} s"
    short = shorter(desk, one.taken.line) if one.is_right else ""
    # Enter is a key too; who typed as little, or less by Tab, needs no telling.
    is_news = bool(short) and len(short) + 1 < one.keys
    hint = f' Shorter, and the same: "{clean(short)}", {len(short) + 1} keys.' if is_news else ""
    return (
        f"{verdict}: it is {one.piece.metal}; taken for {named} in {one.taken.bay}, typed "
        f'"{clean(one.taken.line)}". {spent}.{hint}'
    )
