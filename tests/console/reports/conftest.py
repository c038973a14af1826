from collections.abc import Iterator
from pathlib import Path

import pytest

from console.ledger.keeping.store import Ledger
from console.yard.yard import Bay, Scale, Yard
from tests.console.ledger.clock import open_ledger


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    """A yard with three bays and a hold shelf."""

    def bay(
        code: str, name: str, price: float = 0.0, downgrade: float = 0.0, *, is_hold: bool = False
    ) -> Bay:
        return Bay(
            code=code,
            name=name,
            accepts=(),
            grade_ids=frozenset({"C36000"}) if code == "YB" else frozenset(),
            price_per_kg=price,
            downgrade_per_kg=downgrade,
            bale_g=25_000 if code == "SS" else None,
            is_hold=is_hold,
        )

    return Yard(
        folder=tmp_path,
        name="Lowfield Yard",
        weight_unit="kg",
        currency="EUR",
        bays=(
            bay("YB", "yellow brass", 4.2, 2.0),
            bay("RB", "red brass", 5.0, 2.5),
            bay("SS", "stainless 18-8", 1.1, 0.2),
            bay("HO", "hold shelf", is_hold=True),
        ),
        people=("Ada", "Ben"),
        piece_scale=Scale(name="bench", division_g=10, largest_g=60_000),
        ticket_scale=Scale(name="platform", division_g=500, largest_g=1_500_000),
    )


@pytest.fixture
def ledger(tmp_path: Path) -> Iterator[Ledger]:
    """A new ledger with one open run, worked by Ada."""
    with open_ledger(tmp_path / "yard.sqlite3") as opened:
        opened.open_run("Ada")
        yield opened
