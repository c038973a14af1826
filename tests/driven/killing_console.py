"""The real console on a real terminal, killed while pieces are typed into it, and started again."""

import random
import re
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

from console.ledger.keeping.verify import verify
from console.ledger.rows.queries import LedgerReader
from tests.driven.pty_session import LONGEST_WAIT_S, PtySession

KEY_GAP_S = 0.004
"""Between two keys: a fast typist's 100 ms would only make the series longer."""
BEFORE_ENTER_S = 0.02
"""How long before Enter a kill may fall: most are wanted between Enter and the answer."""
AFTER_ENTER = 1.0
"""How long after Enter a kill may fall, as a multiple of the usual time from Enter to the answer."""
FIRST_GUESS_S = 0.05
LIGHTEST = 1000
"""Weight of the first piece [10 g]; each further one weighs 10 g more, so that every line is its own."""


@dataclass(slots=True, kw_only=True)
class ConsoleKills:
    """What a series of kills came to."""

    kills: int = 0
    acknowledged: int = 0
    """Pieces that the screen said were done."""
    lost: int = 0
    """Of these, not in the store afterwards."""
    doubled: int = 0
    strange: int = 0
    """Lines in the store that nobody typed so."""
    forgotten: int = 0
    """Starts whose screen showed fewer pieces than had been acknowledged, or more than had been typed."""
    before_enter: int = 0
    """Kills while the line was being typed."""
    in_flight: int = 0
    """Kills between Enter and the answer on the screen."""
    written_in_flight: int = 0
    """Of these, with the piece in the store: it was committed but not yet acknowledged."""
    after_answer: int = 0
    findings: int = 0
    """What the check of the whole store finds at the end."""
    seconds: float = 0.0
    answer_s: list[float] = field(default_factory=list)
    """From Enter to the answer, of the pieces that were not killed."""

    @property
    def is_clean(self) -> bool:
        """Whether nothing was lost, doubled, made up or forgotten, and the chain is whole."""
        return not (self.lost or self.doubled or self.strange or self.forgotten or self.findings)


@dataclass(slots=True)
class _Series:
    """A series under way on one yard."""

    yard: Path
    chance: random.Random
    result: ConsoleKills
    typed: list[str] = field(default_factory=list)
    acknowledged: list[str] = field(default_factory=list)
    in_flight: list[str] = field(default_factory=list)


def kill_console_often(yard: Path, *, kills: int, seed: int) -> ConsoleKills:
    """Start the console, type pieces, kill it (SIGKILL) at a random moment, and again, on one store.

    Args:
        yard: A folder with yard.toml, that takes 304 in one of its bays, and no store.
        kills: How often.
        seed: Of the moments.
    """
    series = _Series(yard, random.Random(seed), ConsoleKills(kills=kills))
    start = time.monotonic()
    for _ in range(kills):
        _one_life(series)
    _look_into_store(series)
    series.result.seconds = time.monotonic() - start
    return series.result


def _one_life(series: _Series) -> None:
    """Start, look how many pieces are there, enter a few, and be killed over the last one."""
    session = PtySession(["-m", "console.cli", "--yard", str(series.yard)])
    try:
        count = _compare_count(series, session.wait_for("since"))
        for _ in range(series.chance.randrange(3)):
            line = _next_line(series)
            sent = time.monotonic()
            session.send(f"{line}\r")
            _wait_for_answer(session, line, count)
            count += 1
            series.result.answer_s.append(time.monotonic() - sent)
            series.acknowledged.append(line)
        _killed_over_a_piece(series, session, count)
    finally:
        session.close()


def _killed_over_a_piece(series: _Series, session: PtySession, count: int) -> None:
    """Type one more piece and kill the console at a random moment around its Enter."""
    line = _next_line(series)
    usual_s = median(series.result.answer_s or [FIRST_GUESS_S])
    moments = [number * KEY_GAP_S for number in range(len(line) + 1)]
    end = moments[-1] + series.chance.uniform(-BEFORE_ENTER_S, AFTER_ENTER * usual_s)
    start = time.monotonic()
    is_entered = False
    for moment, key in zip(moments, f"{line}\r", strict=True):
        if moment > end:
            break
        _read_until(session, start + moment)
        session.send(key)
        is_entered = key == "\r"
    _read_until(session, start + end)
    session.process.kill()
    session.process.wait()
    while session.read(0.05):
        pass
    if _is_answered(session.text, line, count):
        series.acknowledged.append(line)
        series.result.after_answer += 1
    elif is_entered:
        series.in_flight.append(line)
        series.result.in_flight += 1
    else:
        series.result.before_enter += 1


def _read_until(session: PtySession, at: float) -> None:
    """Take in what is painted until a moment, so that the console never waits for its reader."""
    while (left := at - time.monotonic()) > 0.0:
        session.read(left)


def _compare_count(series: _Series, screen: str) -> int:
    """Return the number of pieces on a fresh screen, held against what was acknowledged or was in flight."""
    count = _count_on(screen)
    least = len(series.acknowledged)
    if not least <= count <= least + len(series.in_flight):
        series.result.forgotten += 1
    return count


def _count_on(screen: str) -> int:
    """Return how many pieces the header of the screen counts."""
    found = re.search(r"(\d+) pieces?\b", screen)
    return int(found[1]) if found else 0


def _next_line(series: _Series) -> str:
    """Return a line that was never typed before."""
    weight = (LIGHTEST + len(series.typed)) / 100
    series.typed.append(f"{weight:.2f} 304")
    return series.typed[-1]


def _is_answered(screen: str, line: str, count: int) -> bool:
    """Tell whether the screen says that a line is on disk: in a sentence, or by counting one piece more."""
    return f"done {line.split()[0]} kg ->" in screen or _count_on(screen) > count


def _wait_for_answer(session: PtySession, line: str, count: int) -> None:
    """Wait until the screen says that a line is on disk.

    Raises:
        AssertionError: It never did.
    """
    end = time.monotonic() + LONGEST_WAIT_S
    while not _is_answered(session.text, line, count):
        assert time.monotonic() < end, f"{line!r} was never acknowledged; the screen:\n{session.text}"
        session.read(0.05)


def _look_into_store(series: _Series) -> None:
    """Hold what the store has against what was typed and acknowledged."""
    with LedgerReader.open(series.yard / "yard.sqlite3") as reader:
        rows = reader.connection.execute(
            "SELECT json_extract(body, '$.line') FROM ledger WHERE kind = 'piece'"
        )
        there = Counter(line for (line,) in rows)
        series.result.findings = len(verify(reader).findings)
    result = series.result
    result.acknowledged = len(series.acknowledged)
    result.lost = sum(line not in there for line in series.acknowledged)
    result.doubled = sum(count - 1 for count in there.values())
    result.written_in_flight = sum(line in there for line in series.in_flight)
    result.strange = len(there.keys() - set(series.acknowledged) - set(series.in_flight))
