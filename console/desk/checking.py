"""A shot on a check sample: scored, judged and written; and how every check sample stands."""

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from console.desk.done import Done
from console.desk.piece.learning import learned_of
from console.desk.refusals import DeskRefusal
from console.entry.parse import parse_line
from console.entry.token_kind import TokenKind
from console.ground.cleaning import clean
from console.ledger.keeping.store import Ledger
from console.ledger.rows.connection import LedgerSource
from console.ledger.rows.rows import Row, RowKind
from console.ledger.rows.runs import open_run_of
from console.ledger.views.check_shots import body_of, check_shots
from console.reports.check_text import controls_text
from console.yard.coupons.check_samples import CheckSample, sample_named, score
from console.yard.coupons.check_state import (
    CheckShot,
    ControlState,
    SampleControl,
    control_of,
    doubts,
    unchecked,
    widened_profiles,
    worst_state,
)
from console.yard.yard import Yard
from grade_library.facts import Reading

if TYPE_CHECKING:
    from console.desk.desk import Desk

_READS = (TokenKind.READING, TokenKind.SHOT, TokenKind.TECHNIQUE, TokenKind.NOTE)


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDone:
    """A check shot that lies on disk."""

    row: Row
    shot: CheckShot
    control: SampleControl
    """How the coupon stands with this shot."""


class Checks:
    """The check samples of the yard: how far the analyser can be trusted."""

    def __init__(self, desk: "Desk") -> None:
        self._desk = desk
        self._trusted_until: datetime | None = None
        """When the next coupon that is in control comes due."""

    def controls(self) -> tuple[SampleControl, ...]:
        """Return how every check sample stands now."""
        return controls_of(self._desk.ledger, self._desk.yard, self._desk.now())

    def state(self) -> tuple[str, bool]:
        """Return how the analyser stands in a word for the header, and whether that is as it should be.

        Empty for a yard without check samples.
        """
        state = worst_state(self.controls())
        return ("", True) if state is None else (f"analyser {state.value}", state is ControlState.IN_CONTROL)

    def charts(self) -> str:
        """Return how every check sample stands, with its charts."""
        return controls_text(self.controls())

    def learn(self) -> None:
        """Take in the yard's own frequencies and how far the analyser can be trusted now."""
        desk = self._desk
        desk.known = replace(desk.known, prior=learned_of(desk.ledger, desk.yard, desk.library).prior)
        self._take_in()

    def look_at_the_clock(self) -> None:
        """Take in how far the analyser can be trusted once a coupon that was in control comes due."""
        if self._trusted_until is not None and self._desk.now() >= self._trusted_until:
            self._take_in()

    def _take_in(self) -> None:
        desk, controls = self._desk, self.controls()
        in_control = [one.due_at for one in controls if one.state is ControlState.IN_CONTROL and one.due_at]
        self._trusted_until = min(in_control, default=None)
        desk.known = replace(
            desk.known,
            profiles=widened_profiles(controls, desk.yard.techniques),
            doubts=doubts(controls),
            unchecked=unchecked(controls),
        )

    def shoot(self, sample: str, line: str) -> Done[tuple[CheckDone, ...]]:
        """Write the shots on a check sample; from now on readings count as it says.

        Raises:
            DeskRefusal: No such sample, or the line is no reading of it.
        """
        desk = self._desk
        shots = shoot_check(desk.ledger, desk.yard, desk.person, sample, line, desk.now())
        for one in shots:
            desk.history.record(one.row)
        self.learn()
        control = shots[-1].control
        said = f"{shots[-1].shot.sample}: {control.state.value}. {control.what_to_do}"
        return Done(sentence=said, rows=tuple(one.row for one in shots), made=shots)


def controls_of(source: LedgerSource, yard: Yard, at: datetime) -> tuple[SampleControl, ...]:
    """Return how every check sample of the yard stands, in the order of yard.toml."""
    if not yard.check_samples:
        return ()
    shots, opened = check_shots(source), _run_opened(source)
    return tuple(control_of(sample, shots, at, opened) for sample in yard.check_samples)


def never_shot(yard: Yard, at: datetime) -> tuple[SampleControl, ...]:
    """Return how every check sample stands in a yard that has no store yet."""
    return tuple(control_of(sample, (), at) for sample in yard.check_samples)


def shoot_check(
    ledger: Ledger, yard: Yard, person: str, sample_name: str, line: str, at: datetime
) -> tuple[CheckDone, ...]:
    """Write the shots on a coupon that a line of readings holds; return once they are on disk, all or none.

    Args:
        ledger: With an open run.
        yard: Describes the coupon.
        person: Who shot it.
        sample_name: Its name, or a part of it that no other has.
        line: Readings as on an entry line, `/` between shots; no weight and nothing else of a piece.
        at: Now.

    Raises:
        DeskRefusal: No such coupon, or the line is no reading of it.
        LedgerRefusal: No run is open.
        StoreError: The disk refused; nothing was written.
    """
    try:
        sample = sample_named(yard.check_samples, clean(sample_name))
    except KeyError as error:
        raise DeskRefusal(str(error.args[0])) from error
    new = [_shot(reading, sample, yard, person, at) for reading in _readings(line, sample, yard)]
    opened = _run_opened(ledger)
    done: list[CheckDone] = []
    with ledger.act():
        shots = check_shots(ledger)
        for shot in new:
            shots.append(shot)
            control = control_of(sample, shots, at, opened)
            body = body_of(shot, clean(line), _said(control))
            row = ledger.append(RowKind.CHECK, person=person, body=body)
            done.append(CheckDone(row=row, shot=shot, control=control))
    return tuple(done)


def _shot(reading: Reading, sample: CheckSample, yard: Yard, person: str, at: datetime) -> CheckShot:
    """Return a reading as a shot on the coupon.

    Raises:
        DeskRefusal: It has no element that the coupon is known for.
    """
    elements = score(sample, reading, yard.techniques)
    if not elements:
        raise DeskRefusal(
            f"Nothing read that {sample.name} is known for ({', '.join(sample.known)}). "
            "Read one or more of these."
        )
    return CheckShot(sample=sample.name, technique=sample.technique, at=at, person=person, elements=elements)


def _readings(line: str, sample: CheckSample, yard: Yard) -> list[Reading]:
    """Return the readings of a line, all by the coupon's technique.

    Raises:
        DeskRefusal: Something on the line is not understood, or is no reading.
    """
    parsed = parse_line(line, names=None, yard=replace(yard, technique=sample.technique))
    for token in parsed.tokens:
        if token.problem or token.kind not in _READS:
            why = token.problem or f'"{token.text}" was taken for a {token.kind.value}'
            raise DeskRefusal(f"A check shot holds readings only, such as cr17.1 ni10.9 mo2.1: {why}")
    readings = [shot.reading for shot in parsed.facts.shots]
    if not readings:
        raise DeskRefusal("No reading on the line. Type what the analyser shows: cr17.1 ni10.9 mo2.1.")
    other = next((r.technique for r in readings if r.technique != sample.technique), None)
    if other is not None:
        raise DeskRefusal(
            f"{sample.name} is a check sample for {sample.technique}, the line says {other}. "
            "Name a coupon for that, or add a [[check_sample]] to yard.toml."
        )
    return readings


def _said(control: SampleControl) -> dict[str, object]:
    return {
        "state": control.state.value,
        "broken": [
            {"symbol": e.symbol, "rules": [rule.value for rule in e.rules], "size": e.size}
            for e in control.broken
        ],
        "what_to_do": control.what_to_do,
    }


def _run_opened(source: LedgerSource) -> datetime | None:
    run = open_run_of(source)
    return None if run is None else run.opened_utc
