"""A reading from a file as it is offered: as text for the entry line, and as the ledger keeps it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from console.entry.editing.bench_text import bench_as_words
from console.entry.editing.onto_line import words_of
from console.entry.parse import parse_line
from console.ground.cleaning import clean
from console.readings.csv_rows import PieceReadings
from console.readings.shot_text import shots_as_line
from console.yard.yard import Yard
from grade_library.facts import BenchFacts, PieceFacts, Shot

LONGEST_TEXT = 800
"""Characters of one reading; the entry line holds 1000, and the sorter adds weight and words of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedReading:
    """Shots on one piece, by one technique, that came in one go."""

    piece: str
    """What the file calls the piece."""
    file: str
    line: int
    """Line of its first row."""
    row_ids: tuple[str, ...]
    """Never empty."""
    facts: PieceFacts
    """Shots in the order taken, and bench facts; one of both at least."""

    @property
    def technique(self) -> str:
        """Technique of the shots; empty where there is none."""
        return self.facts.shots[0].reading.technique if self.facts.shots else ""

    @property
    def of_one_piece(self) -> tuple[str, str, str]:
        """What readings have in common that go onto one line together: file, piece and technique."""
        return self.file, self.piece, self.technique

    @property
    def core(self) -> str:
        """The shots as words, without bench facts and technique: what tells this reading from another."""
        return shots_as_line(self.facts.shots, self.technique)

    def is_left_on(self, line: str) -> bool:
        """Return whether something of it still stands on a line, figures changed or not."""
        words = words_of(line)
        if not self.facts.shots:
            return any(word in words for word in bench_as_words(self.facts.bench))
        elements = {s for shot in self.facts.shots for s in (*shot.reading.values, *shot.reading.below)}
        leads = tuple(f"{symbol.casefold()}{sign}" for symbol in elements for sign in "=<")
        return any(word.startswith(leads) for word in words)


def offered(piece: PieceReadings) -> tuple[OfferedReading, ...]:
    """Return what a piece of a file has to offer: one reading, or several where one line cannot hold them.

    A line says one technique, and is 1000 characters long.
    """
    ids_of_shots = [row_id for _, row_id in piece.shots_at]
    others = [row_id for row_id in piece.row_ids if row_id not in ids_of_shots]
    whole = OfferedReading(
        piece=clean(piece.piece, 60),
        file=piece.file,
        line=piece.line,
        row_ids=tuple(piece.row_ids),
        facts=replace(piece.facts, claim=None),
    )
    parts = list(_parts(piece))
    if len(parts) < 2:
        return (whole,)
    return tuple(
        replace(
            whole,
            line=part[0][0],
            row_ids=tuple([*(others if number == 0 else ()), *[row_id for _, row_id, _ in part]]),
            facts=PieceFacts(
                shots=tuple(shot for _, _, shot in part),
                bench=piece.facts.bench if number == 0 else BenchFacts(),
            ),
        )
        for number, part in enumerate(parts)
    )


def text_of(readings: Sequence[OfferedReading], usual_technique: str) -> str:
    """Return readings of one piece as text for the entry line; a later bench fact replaces an earlier one.

    Args:
        readings: Of one piece and technique, in order.
        usual_technique: What the line takes where it names none.
    """
    shots = tuple(shot for reading in readings for shot in reading.facts.shots)
    words = bench_as_words(_bench_of(readings))
    return " ".join(filter(None, (*words, shots_as_line(shots, usual_technique))))


def kept_form(readings: Sequence[OfferedReading], yard: Yard) -> tuple[dict[str, Any], ...]:
    """Return readings as the ledger keeps them; see from_json."""
    return tuple(
        {
            "piece": reading.piece,
            "file": reading.file,
            "line": reading.line,
            "rows": list(reading.row_ids),
            "text": text_of([reading], yard.technique),
        }
        for reading in readings
    )


def from_json(kept: Mapping[str, Any], yard: Yard) -> OfferedReading:
    """Return the reading that the ledger kept, so that it can be offered again when its file is long gone."""
    return OfferedReading(
        piece=str(kept["piece"]),
        file=str(kept["file"]),
        line=int(kept["line"]),
        row_ids=tuple(str(row_id) for row_id in kept["rows"]),
        facts=parse_line(str(kept["text"]), names=None, yard=yard).facts,
    )


def _parts(piece: PieceReadings) -> Iterator[list[tuple[int, str, Shot]]]:
    """Yield line, row id and shot of as many shots as a line can hold together."""
    part: list[tuple[int, str, Shot]] = []
    for (line, row_id), shot in zip(piece.shots_at, piece.facts.shots, strict=True):
        if part:
            shots = [*[other for _, _, other in part], shot]
            is_other = part[-1][2].reading.technique != shot.reading.technique
            if is_other or len(shots_as_line(shots, "")) > LONGEST_TEXT:
                yield part
                part = []
        part.append((line, row_id, shot))
    if part:
        yield part


def _bench_of(readings: Sequence[OfferedReading]) -> BenchFacts:
    """Return the bench facts of readings together; what is not known replaces nothing."""
    known: dict[str, Any] = {}
    for reading in readings:
        told = {field.name: getattr(reading.facts.bench, field.name) for field in fields(BenchFacts)}
        known |= {name: value for name, value in told.items() if value}
    return BenchFacts(**known)
