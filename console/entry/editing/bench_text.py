"""Bench facts that came from elsewhere, as a sorter would have typed them: words for the entry line."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from console.entry.token_kind import TokenKind
from console.entry.vocabulary import VOCABULARY
from console.entry.words_abroad import ATTACHED
from console.readings.shot_text import number_text
from grade_library.facts import BenchFacts, Measured

_WORD: Mapping[tuple[TokenKind, str], str] = MappingProxyType(
    {(row.kind, str(row.value)): row.short for row in VOCABULARY}
)


def bench_as_words(bench: BenchFacts) -> tuple[str, ...]:
    """Return bench facts as words that parse to the same facts; none where nothing was tried.

    >>> from grade_library.facts import MagnetPull, Surface
    >>> bench_as_words(BenchFacts(magnet=MagnetPull.NONE, surfaces=frozenset({Surface.BARE})))
    ('m0', '+b')
    """
    said: list[tuple[TokenKind, StrEnum | str | None]] = [
        (TokenKind.MAGNET, bench.magnet),
        (TokenKind.COLOUR, bench.colour),
        (TokenKind.SCRATCH, bench.scratch),
        (TokenKind.HEFT, bench.heft),
        (TokenKind.FORM, bench.form),
        (TokenKind.SPARK, bench.spark),
        *[(TokenKind.SURFACE, surface) for surface in sorted(bench.surfaces)],
        (TokenKind.SURFACE, ATTACHED if bench.has_attachments else None),
    ]
    words = [_WORD[kind, str(value)] for kind, value in said if value is not None]
    words += _measured("d", bench.density_g_cm3) + _measured("iacs", bench.iacs_pct)
    return tuple(words)


def _measured(lead: str, measured: Measured | None) -> list[str]:
    if measured is None:
        return []
    figure = number_text(measured.value)
    # Without a point "d3" is a tool steel and no density.
    figure += "" if "." in figure else ".0"
    spread = f"+-{number_text(measured.sigma)}" if measured.sigma is not None else ""
    return [f"{lead}{figure}{spread}"]
