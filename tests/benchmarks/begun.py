"""What the console says of a reading that somebody has only begun to type.

Enter takes a line as it stands, and a sorter stops where the screen says settled. So real metal (split in two
by document, as in `open_world`) is read by every technique and only its first elements are given: those that
there is most of, as analysers list them, or in the order in which the console takes values alone: of the
metal itself, base metal last, or of another metal of its group, that was read before; or in the order in
which the console asks, behind the one that there is most of. Prints how often the placement in the demo yard
is called settled then, and how often it is wrong.
"""

import argparse
import zlib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from console.desk.piece.known import load_yard_and_library
from console.entry.editing.spelling_out import elements_of
from console.yard.next_check.grades_at_hand import Matching
from console.yard.next_check.next_element import next_element
from console.yard.placing.place import place
from console.yard.placing.placement import Sureness
from grade_library.facts import PieceFacts, Reading, Shot
from grade_library.library import GradeLibrary
from grade_library.matcher.matching import identify
from grade_library.technique import profiles
from tests.benchmarks.certified import Material, materials
from tests.benchmarks.open_world import (
    DEMO_YARD,
    SEED,
    TECHNIQUES,
    World,
    documents,
    is_reported_half,
    read_bare,
    right_bays,
)

MOST_GIVEN = 4
ASKED = "as asked"
ORDERS = ("most first", "order of the metal", "order of the metal before")
MOST_WRONG = 0.015
"""Share of the placements called settled that may be wrong."""

Told = tuple[bool, bool, str]
"""Whether it is called settled, whether the bay is right, and of what that was said."""


def orders_of(reading: Reading, grade_id: str, before: str, library: GradeLibrary) -> dict[str, list[str]]:
    """Return the elements of a reading in each order."""
    most_first = sorted(reading.values, key=lambda symbol: -reading.values[symbol])
    of_metals = [elements_of([library.grade(one)]) for one in (grade_id, before)]
    rows = [most_first, *([one for one in order if one in reading.values] for order in of_metals)]
    return dict(zip(ORDERS, rows, strict=True))


def begun(reading: Reading, first: Sequence[str]) -> Reading:
    """Return a reading of these elements alone."""
    return replace(
        reading,
        values={symbol: reading.values[symbol] for symbol in first},
        sigma={symbol: sigma for symbol, sigma in reading.sigma.items() if symbol in first},
        below={},
    )


def tried(metals: Iterable[Material], world: World) -> Mapping[tuple[str, int], list[Told]]:
    """Return what is said of every metal that a bay takes, by order and number of elements given."""
    found: dict[tuple[str, int], list[Told]] = defaultdict(list)
    before: dict[str, str] = {}
    for metal in metals:
        right = right_bays(metal, world)
        if metal.grade_id is None or not right:
            continue
        last = before.get(metal.group, metal.grade_id)
        before[metal.group] = metal.grade_id
        for technique in TECHNIQUES:
            rng = np.random.default_rng([SEED, zlib.crc32(metal.item_id.encode())])
            whole = read_bare(metal, profiles()[technique], rng).shots[0].reading
            for order, symbols in orders_of(whole, metal.grade_id, last, world.library).items():
                for count in range(1, min(MOST_GIVEN + 1, len(symbols))):
                    found[order, count].append(told(metal, begun(whole, symbols[:count]), right, world))
            symbols = asked_for(whole, world)
            for count in range(2, min(MOST_GIVEN, len(symbols)) + 1):
                found[ASKED, count].append(told(metal, begun(whole, symbols[:count]), right, world))
    return found


def asked_for(whole: Reading, world: World) -> list[str]:
    """Return the elements of a reading in the order in which the console asks for them, until it is settled;
    what it asks for and the reading does not have is passed over."""
    symbols = [max(whole.values, key=lambda symbol: whole.values[symbol])]
    skipped: set[str] = set()
    while len(symbols) < min(MOST_GIVEN, len(whole.values)):
        facts = PieceFacts(shots=(Shot(reading=begun(whole, symbols)),))
        verdict = identify(facts, world.library)
        if place(verdict, facts, 4000, world.yard).sureness is Sureness.SETTLED:
            break
        symbol = next_element(
            facts,
            verdict,
            world.library,
            Matching(prior=None, techniques=profiles()),
            technique=whole.technique,
            done={*symbols, *skipped},
        )
        if not symbol:
            break
        if symbol in whole.values:
            symbols.append(symbol)
        else:
            skipped.add(symbol)
    return symbols


def told(metal: Material, reading: Reading, right: set[str], world: World) -> Told:
    """Return what is said of one reading of a metal."""
    facts = PieceFacts(shots=(Shot(reading=reading),))
    placement = place(identify(facts, world.library), facts, 4000, world.yard)
    typed = " ".join(f"{symbol}{value:.3g}" for symbol, value in reading.values.items())
    name = f"{metal.item_id} ({metal.grade_id}) {reading.technique} {typed} -> {placement.bay.code}"
    return placement.sureness is Sureness.SETTLED, placement.bay.code in right, name


def lines(found: Mapping[tuple[str, int], list[Told]], n_misses: int) -> Iterator[str]:
    """Yield the table, the sum, and as many of the mistakes."""
    for (order, count), of_order in sorted(found.items()):
        settled = [is_right for is_settled, is_right, _ in of_order if is_settled]
        wrong = settled.count(False)
        yield f"  {order}, {count} given: {len(settled)} of {len(of_order)} settled, {wrong} wrong"
    every = [one for of_order in found.values() for one in of_order]
    wrong = [name for is_settled, is_right, name in every if is_settled and not is_right]
    n_settled = sum(is_settled for is_settled, _, _ in every)
    share = len(wrong) / max(n_settled, 1)
    word = "met" if n_settled and share <= MOST_WRONG else "NOT met"
    yield f"  settled and wrong {share:.3f} of {n_settled}  <= {MOST_WRONG:g}: {word}"
    yield from (f"     {name}" for name in wrong[:n_misses])


def main() -> int:
    """Run the benchmark; 0 whatever it finds."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks begun", description=__doc__)
    parser.add_argument("--half", choices=("tuned", "reported", "both"), default="both")
    parser.add_argument("--misses", type=int, default=0, help="show mistakes, of the tuned half only")
    options = parser.parse_args()
    yard, library = load_yard_and_library(DEMO_YARD)
    world, source = World(library=library, yard=yard, judges={}), documents()
    for half in ("tuned", "reported"):
        if options.half not in (half, "both"):
            continue
        is_reported = half == "reported"
        chosen = [m for m in materials(library) if is_reported_half(source[m.item_id]) == is_reported]
        print(f"{half} half")
        for line in lines(tried(chosen, world), 0 if is_reported else options.misses):
            print(line)
    return 0
