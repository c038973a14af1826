"""What the console says of a reading in which one thing was mistyped.

A person's slips, none of them of the matcher's making: two figures transposed, a point that slipped, a
neighbouring key of a keypad, a figure lost or doubled, the values of two elements exchanged, the symbol of
another element, an element left out. Real metal (split in two by document, as in `open_world`) is read by
x-rays and by laser, rounded as an analyser shows it, and typed with one slip. Prints how often the placement
in the demo yard is called settled then, and how often it is wrong; a reading whose sum is refused is not
settled.
"""

import argparse
import itertools
import zlib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

import numpy as np

from console.desk.piece.known import load_yard_and_library
from grade_library.errors import ObservationError
from grade_library.facts import Reading
from grade_library.technique import profiles
from tests.benchmarks.begun import Told, told
from tests.benchmarks.certified import Material, materials
from tests.benchmarks.open_world import (
    DEMO_YARD,
    SEED,
    World,
    documents,
    is_reported_half,
    read_bare,
    right_bays,
)

BY = ("xrf", "libs")
NO_SLIP = "none"
LEAST_SHOWN = 0.05
"""Less is not typed [wt %]."""
TYPED_IN = 6
"""So many values, the largest ones, can be mistyped."""
OF_EACH = 3
"""Slips of one kind that are tried with each reading."""
NEIGHBOURS = {
    "7": "48", "8": "579", "9": "68", "4": "157", "5": "2468", "6": "359", "1": "24", "2": "135", "3": "26",
    "0": "12",
}  # fmt: skip
"""Keys beside each other on a keypad of figures, as ISO/IEC 9995-4 lays it out (from memory)."""
MISTAKEN = {
    "Mn": "Mo", "Mo": "Mn", "Ni": "Nb", "Nb": "Ni", "Sn": "Sb", "Sb": "Sn", "Co": "Cr", "Cr": "Co",
    "Cu": "Co", "Si": "Sn", "Ti": "Ni", "W": "V", "V": "W", "Al": "Ag", "Zn": "Zr", "Pb": "P",
}  # fmt: skip
"""Symbols that are easily taken for one another (own choice)."""

Figures = Mapping[str, str]
"""Symbol -> figure as typed."""


def shown(reading: Reading) -> dict[str, str]:
    """Return the figures of a reading as an analyser shows them, the largest first."""
    values = sorted(reading.values.items(), key=lambda item: -item[1])
    return {symbol: f"{x:.1f}" if x >= 10.0 else f"{x:.2f}" for symbol, x in values if x >= LEAST_SHOWN}


def slips(figures: Figures, rng: np.random.Generator) -> Iterator[tuple[str, dict[str, str]]]:
    """Yield every kind of slip with the figures that it makes."""
    typed = list(figures)[:TYPED_IN]
    for symbol in typed:
        for kind, figure in _of_figure(figures[symbol], rng):
            yield kind, {**figures, symbol: figure}
        others = {one: figure for one, figure in figures.items() if one != symbol}
        yield "element left out", others
        if (mistaken := MISTAKEN.get(symbol)) and mistaken not in figures:
            yield "other symbol", {**others, mistaken: figures[symbol]}
    for one, other in itertools.pairwise(typed):
        yield "two exchanged", {**figures, one: figures[other], other: figures[one]}


def _of_figure(text: str, rng: np.random.Generator) -> Iterator[tuple[str, str]]:
    """Yield what one figure can become."""
    places = [i for i, sign in enumerate(text) if sign.isdigit()]
    for a, b in itertools.pairwise(places):
        if text[a] != text[b]:
            signs = list(text)
            signs[a], signs[b] = signs[b], signs[a]
            yield "transposed", "".join(signs)
    yield from (("slipped point", f"{float(text) * factor:.4g}") for factor in (0.1, 10.0))
    i = places[int(rng.integers(len(places)))]
    beside = NEIGHBOURS[text[i]]
    yield "neighbouring key", text[:i] + beside[int(rng.integers(len(beside)))] + text[i + 1 :]
    yield "figure lost", text[:i] + text[i + 1 :]
    yield "figure doubled", text[:i] + text[i] + text[i:]


def tried(metals: Iterable[Material], world: World) -> Mapping[str, list[Told]]:
    """Return what is said of every metal that a bay takes, by the kind of slip."""
    found: dict[str, list[Told]] = defaultdict(list)
    for metal in metals:
        right = right_bays(metal, world)
        if metal.grade_id is None or not right:
            continue
        for technique in BY:
            rng = np.random.default_rng([SEED, zlib.crc32(metal.item_id.encode())])
            figures = shown(read_bare(metal, profiles()[technique], rng).shots[0].reading)
            of_kind: dict[str, list[Figures]] = defaultdict(list, {NO_SLIP: [figures]})
            for kind, typed in slips(figures, rng):
                of_kind[kind].append(typed)
            for kind, ways in of_kind.items():
                for i in rng.permutation(len(ways))[:OF_EACH].tolist():
                    found[kind].append(_told(metal, ways[i], technique, right, world))
    return found


def _told(metal: Material, typed: Figures, technique: str, right: set[str], world: World) -> Told:
    try:
        reading = Reading(technique=technique, values={one: float(figure) for one, figure in typed.items()})
    except (ObservationError, ValueError):
        return False, False, ""
    return told(metal, reading, right, world)


def lines(found: Mapping[str, list[Told]], n_misses: int) -> Iterator[str]:
    """Yield a row for each kind of slip, the sum of the slips, and as many of the mistakes."""
    for kind, of_kind in sorted(found.items()):
        yield f"  {kind}: {_counted(of_kind)}"
    every = [one for kind, of_kind in found.items() if kind != NO_SLIP for one in of_kind]
    yield f"  any slip: {_counted(every)}"
    wrong = [name for is_settled, is_right, name in every if is_settled and not is_right]
    yield from (f"     {name}" for name in wrong[:n_misses])


def _counted(of_kind: list[Told]) -> str:
    settled = [is_right for is_settled, is_right, _ in of_kind if is_settled]
    wrong = settled.count(False)
    return f"{len(settled)} of {len(of_kind)} settled, {wrong} wrong ({wrong / max(len(settled), 1):.3f})"


def main() -> int:
    """Run the benchmark; 0 whatever it finds."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks slips", description=__doc__)
    parser.add_argument("--misses", type=int, default=0, help="show mistakes, of the tuned half only")
    options = parser.parse_args()
    yard, library = load_yard_and_library(DEMO_YARD)
    world, source = World(library=library, yard=yard, judges={}), documents()
    for half in ("tuned", "reported"):
        is_reported = half == "reported"
        chosen = [m for m in materials(library) if is_reported_half(source[m.item_id]) == is_reported]
        print(f"{half} half")
        for line in lines(tried(chosen, world), 0 if is_reported else options.misses):
            print(line)
    return 0
