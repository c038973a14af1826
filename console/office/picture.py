"""The office's picture of all yards, asked of the views of its schema."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import TypeVar

from psycopg.rows import class_row

from console.office.address import Connection
from console.office.errors import told_in_a_line
from console.office.schema import require_step

Line = TypeVar("Line")
MOST_LINES = 200
"""So many holds, draw-downs, consignments and downgrades are listed, the most pressing first (own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TerminalLine:
    """A terminal, as far as the office has heard of it."""

    yard: str
    terminal: str
    chain: int
    """The office's number of its chain of rows."""
    counts: bool
    """Whether its rows are in the sums; of a fork only one way is."""
    rows: int
    rows_waiting: int
    """Rows that it had and the office had not when it was last heard of."""
    written_at: datetime | None
    """When its newest row was written, by its own clock."""
    lag: timedelta | None
    """Since it was last heard of; None where it never was."""
    state: str | None
    """ "in step", "behind" or "fork"."""
    clock_off: timedelta | None
    """Its clock less the office's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """What lies in the bays of one code in a yard [g], and how old it is, first in first out."""

    yard: str
    bay: str
    lying_g: int
    entries: int
    week_g: int
    """In the last 7 days."""
    month_g: int
    """Before that, in the last 30 days."""
    older_g: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RunLine:
    """A run."""

    yard: str
    terminal: str
    run_id: str
    person: str
    opened_at: datetime | None
    closed_at: datetime | None
    """None while it is open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldLine:
    """A piece that waits on hold."""

    yard: str
    tag: str
    mass_g: int
    person: str
    age_days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawDownLine:
    """Metal that left a bay."""

    yard: str
    at: datetime
    bay: str
    bale: str
    mass_g: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsignmentLine:
    """What goes to one buyer at one time."""

    yard: str
    terminal: str
    consignment: str
    """Its tag."""
    buyer: str
    state: str
    """ "open", "sealed" or "sent"."""
    parts: int
    net_g: int
    begun_at: datetime
    sealed_at: datetime | None
    sent_at: datetime | None
    found_at: datetime | None
    """When the buyer last said what he found; None where he did not."""
    paid: Decimal | None
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DowngradeLine:
    """Metal that a buyer did not take for what it was sold as."""

    yard: str
    at: datetime
    mass_g: int
    loss: Decimal
    currency: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BiasLine:
    """How an analyser reads a check sample: mean of measured less known."""

    yard: str
    terminal: str
    technique: str
    sample: str
    element: str
    shots: int
    bias_wt_pct: Decimal
    mean_z: Decimal
    """The same in standard deviations of the reading."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WordLine:
    """How far a terminal is with what the office said to its yard."""

    yard: str
    terminal: str
    said_up_to: int
    """Number of the newest word to the yard."""
    taken_up_to: int
    """Number of the newest word in the rows that the terminal sent; 0 for none."""
    waits_since: datetime | None
    """When the oldest word that it has not taken was said; None where it has taken all."""
    untaken: tuple[str, ...]
    """What it has not taken, oldest first: TOML as signed (`console.yard.office_says`)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBackLine:
    """A terminal found that it had sent more than the office held: an older copy of it was put back."""

    yard: str
    terminal: str
    sent_up_to: int
    """Newest row that the office took before."""
    held_up_to: int
    """Newest of these rows that it still held."""
    noticed_at: datetime
    filled_at: datetime | None
    """When the terminal had sent the rows again; None where it has not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """All yards at one moment."""

    at: datetime
    terminals: tuple[TerminalLine, ...]
    stock: tuple[StockLine, ...]
    runs: tuple[RunLine, ...]
    """Open ones, and those closed in the stretch of time."""
    holds: tuple[HoldLine, ...]
    """Oldest first."""
    draw_downs: tuple[DrawDownLine, ...]
    """In the stretch of time, newest first; so are the downgrades."""
    consignments: tuple[ConsignmentLine, ...]
    """Those that are not settled, and those sent or settled in the stretch of time."""
    downgrades: tuple[DowngradeLine, ...]
    bias: tuple[BiasLine, ...]
    words: tuple[WordLine, ...]
    put_back: tuple[PutBackLine, ...]
    """Of all time, newest first."""


_TERMINALS = """
    SELECT yard, terminal, chain, counts, rows, rows_waiting, written_at, lag, state, clock_off
    FROM baywright.terminal_v ORDER BY yard, terminal, chain
"""
_STOCK = """
    SELECT s.yard, s.bay, s.lying_g::bigint, s.entries::bigint, coalesce(a.week_g, 0)::bigint AS week_g,
        coalesce(a.month_g, 0)::bigint AS month_g, coalesce(a.older_g, 0)::bigint AS older_g
    FROM baywright.stock_v s LEFT JOIN (
        SELECT yard, bay, sum(lying_g) FILTER (WHERE age_days < 7) AS week_g,
            sum(lying_g) FILTER (WHERE age_days >= 7 AND age_days < 30) AS month_g,
            sum(lying_g) FILTER (WHERE age_days >= 30) AS older_g
        FROM baywright.stock_age_v GROUP BY yard, bay
    ) a USING (yard, bay) ORDER BY s.yard, s.bay
"""
_RUNS = """
    SELECT yard, terminal, run_id, coalesce(person, '') AS person, opened_at, closed_at FROM baywright.run_v
    WHERE closed_at IS NULL OR closed_at >= %(start)s AND closed_at < %(end)s
    ORDER BY closed_at IS NOT NULL, yard, terminal, opened_at
"""
_HOLDS = """
    SELECT yard, coalesce(tag, '') AS tag, mass_g, person, age_days FROM baywright.hold_v
    ORDER BY since, yard, tag LIMIT %(most)s
"""
_DRAW_DOWNS = """
    SELECT yard, at, bay, bale, mass_g, reason FROM baywright.draw_down_v
    WHERE NOT is_void AND at >= %(start)s AND at < %(end)s ORDER BY at DESC LIMIT %(most)s
"""
_CONSIGNMENTS = """
    SELECT yard, terminal, consignment, coalesce(buyer, '') AS buyer, state, parts, net_g, begun_at,
        sealed_at, sent_at, found_at, paid, currency
    FROM baywright.consignment_v
    WHERE found_at IS NULL OR greatest(sent_at, found_at) >= %(start)s AND sent_at < %(end)s
    ORDER BY state = 'sent', yard, begun_at DESC LIMIT %(most)s
"""
_DOWNGRADES = """
    SELECT yard, at, mass_g, loss, currency, reason FROM baywright.downgrade_v
    WHERE at >= %(start)s AND at < %(end)s ORDER BY at DESC LIMIT %(most)s
"""
_BIAS = """
    SELECT yard, terminal, technique, sample, element, shots, bias_wt_pct, mean_z FROM baywright.check_bias_v
    ORDER BY yard, terminal, technique, sample, element
"""
_WORDS = """
    SELECT v.yard, v.terminal, v.said_up_to, v.taken_up_to, min(w.at_utc)::timestamptz AS waits_since,
        coalesce(array_agg(w.said ORDER BY w.number) FILTER (WHERE w.number IS NOT NULL), '{}') AS untaken
    FROM baywright.word_v v
    LEFT JOIN baywright.word w ON w.yard = v.yard AND w.number > v.taken_up_to
    GROUP BY v.yard, v.terminal, v.said_up_to, v.taken_up_to ORDER BY v.yard, v.terminal
"""
_PUT_BACK = """
    SELECT yard, terminal, sent_up_to, held_up_to, noticed_at, filled_at FROM baywright.put_back_v
    ORDER BY noticed_at DESC LIMIT %(most)s
"""


def picture_of(connection: Connection, *, start: datetime, end: datetime) -> Picture:
    """Return the picture of all yards that the login may see, all of it at one moment.

    Args:
        connection: The office.
        start: Runs closed, draw-downs and downgrades from this time on, aware.
        end: Up to but without this time, aware.

    Raises:
        OfficeError: The office does not answer, refuses, or is of another step.
    """
    require_step(connection)
    within = {"start": start, "end": end, "most": MOST_LINES}

    def lines(kind: type[Line], query: str) -> tuple[Line, ...]:
        with connection.cursor(row_factory=class_row(kind)) as cursor:
            return tuple(cursor.execute(query.encode(), within))

    with told_in_a_line(), connection.transaction():
        connection.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        now = connection.execute("SELECT now()").fetchone()
        assert now is not None, "a select without FROM gives a row"
        return Picture(
            at=now[0],
            terminals=lines(TerminalLine, _TERMINALS),
            stock=lines(StockLine, _STOCK),
            runs=lines(RunLine, _RUNS),
            holds=lines(HoldLine, _HOLDS),
            draw_downs=lines(DrawDownLine, _DRAW_DOWNS),
            consignments=lines(ConsignmentLine, _CONSIGNMENTS),
            downgrades=lines(DowngradeLine, _DOWNGRADES),
            bias=lines(BiasLine, _BIAS),
            words=lines(WordLine, _WORDS),
            put_back=lines(PutBackLine, _PUT_BACK),
        )
