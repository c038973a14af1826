"""How long a consignment of 200 bales out of 100,000 pieces takes: put in, page, seal, papers.

`python -m tests.benchmarks consign [--pieces N] [--bales N]`
"""

import argparse
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from console.desk import Desk
from console.desk.consigning.papers import FORMS, MAKERS, paper_of
from console.ledger.keeping.store import Ledger
from console.ledger.rows.rows import PieceEntry
from console.yard.chemistry.bale import bale_body, bale_of
from console.yard.chemistry.composition import BaySums
from console.yard.chemistry.content import Content
from grade_library.facts import Reading
from grade_library.library import load
from tests.conftest import DEMO_YARD
from tests.yards import load_yard

TARGET_MS = 1000.0
"""For one consignment, from the first bale put in to its papers in every form."""
BAY = "AXC"
SAID = {
    "candidates": [
        {"grade": grade, "probability": 0.9 / 2**place, "reasons": ["x" * 120]}
        for place, grade in enumerate(("6063", "6060", "6005A", "6061"), start=1)
    ]
}
READ = Reading(values={"Al": 98.7, "Mg": 0.5, "Si": 0.45, "Cu": 0.06, "Zn": 0.03})


def main() -> int:
    """Run the benchmark; 1 when the target is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pieces", type=int, default=100_000)
    parser.add_argument("--bales", type=int, default=200)
    arguments = parser.parse_args()
    with TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "readings").mkdir()
        (folder / "yard.toml").write_bytes((DEMO_YARD / "yard.toml").read_bytes())
        Desk.open(folder, now=_now).close()
        _grow(folder, arguments.pieces, arguments.bales)
        desk = Desk.open(folder, now=_now)
        desk.bays.book.sums()
        total_ms = _consigned(desk)
        desk.close()
    print(f"{'together':>8} {total_ms:8.1f} ms, target {TARGET_MS:.0f} ms")
    return 0 if total_ms <= TARGET_MS else 1


def _grow(folder: Path, pieces: int, bales: int) -> None:
    """Fill the store: so many pieces, all of them taken out of their bay in so many bales."""
    with Ledger.open(folder / "yard.sqlite3", now=_now, terminal="T1") as ledger, ledger.act():
        bay = load_yard(folder, load()).bay(BAY)
        content = Content(mass_g=1_000.0, shares={"6063": 0.9, "6060": 0.1}, reading=READ)
        for bale in range(bales):
            sums = BaySums.empty(load())
            for number in range(pieces // bales):
                ledger.add_piece(_entry(number), "Ilse")
                sums = sums if number > 20 else sums.plus(content, bay)
            mass_g = 1_000 * (pieces // bales)
            made = bale_of(bay, sums, mass_g, f"T1-{BAY}-{bale + 1:04d}", empties=True)
            ledger.draw_down(BAY, mass_g, "Ilse", body=bale_body(made))


def _consigned(desk: Desk) -> float:
    """Return what one consignment of every bale costs [ms], printing it step by step."""
    acts = desk.consignments
    tag = acts.begin("RX1").made.tag
    tags = [str(row.body["bale"]) for row in desk.bays.sold()]

    def papers() -> None:
        own, sheet = acts.all()[-1], acts.sheet(tag)
        for kind in MAKERS:
            for write in FORMS.values():
                write(paper_of(own, sheet, kind))

    steps: dict[str, Callable[[], object]] = {
        "put": lambda: acts.put(tag, tags),
        "page": lambda: acts.page(tag, 80),
        "seal": lambda: acts.seal(tag, "more than the order wants"),
        "papers": papers,
    }
    total_ms = 0.0
    for step, act in steps.items():
        start = time.perf_counter()
        act()
        took_ms = 1000.0 * (time.perf_counter() - start)
        print(f"{step:>8} {took_ms:8.1f} ms")
        total_ms += took_ms
    return total_ms


def _entry(number: int) -> PieceEntry:
    """Return one of the pieces."""
    line = f"1 6063 {number}"
    return PieceEntry(bay=BAY, grade_id="6063", mass_g=1_000, pieces=1, line=line, evidence=SAID)


def _now() -> datetime:
    return datetime.now(UTC)
