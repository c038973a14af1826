"""What the tests of the entry line share: the shipped names and a small yard."""

from pathlib import Path

import pytest

from console.entry.parse import parse_line
from console.entry.parsed import ParsedLine, Token
from console.entry.token_kind import TokenKind
from console.yard.yard import Bay, Scale, Yard
from grade_library.library import load
from grade_library.naming.names import NameIndex


@pytest.fixture(scope="session")
def names() -> NameIndex:
    return NameIndex(load())


def bay(code: str, name: str, *, is_hold: bool = False) -> Bay:
    return Bay(code=code, name=name, accepts=(), grade_ids=frozenset(), is_hold=is_hold)


@pytest.fixture(scope="session")
def yard() -> Yard:
    return Yard(
        folder=Path("."),
        name="test yard",
        weight_unit="kg",
        currency="EUR",
        bays=(bay("AXC", "extrusions"), bay("YBR", "yellow brass"), bay("HLD", "hold", is_hold=True)),
        people=("Ilse",),
        piece_scale=Scale(name="bench scale", division_g=20, largest_g=300_000),
        ticket_scale=Scale(name="platform scale", division_g=500, largest_g=3_000_000, word="p"),
    )


class Reader:
    """Parses lines against the shipped names and the small yard."""

    def __init__(self, names: NameIndex, yard: Yard) -> None:
        self.names, self.yard = names, yard

    def __call__(self, line: str) -> ParsedLine:
        return parse_line(line, names=self.names, yard=self.yard)


@pytest.fixture(scope="session")
def read(names: NameIndex, yard: Yard) -> Reader:
    return Reader(names, yard)


def token(parsed: ParsedLine, kind: TokenKind) -> Token:
    """Return the only token of a kind."""
    found = [token for token in parsed.tokens if token.kind is kind]
    assert len(found) == 1, parsed.tokens
    return found[0]
