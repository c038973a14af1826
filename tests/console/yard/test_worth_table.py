"""The bays' rules as arrays say the same as `place` says of one piece."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from console.yard.metals import metals_of
from console.yard.placing.place import place
from console.yard.placing.vetoes import veto_of
from console.yard.placing.worth_table import HOLD, WorthTable
from console.yard.yard import Yard
from grade_library.facts import BenchFacts, PieceFacts, Surface
from grade_library.library import GradeLibrary
from grade_library.verdict import Candidate, FamilyShare, Verdict
from tests.yards import load_yard

DEMO = Path(__file__).parents[3] / "demo_yard"


@pytest.fixture(scope="module")
def yard(library: GradeLibrary) -> Yard:
    return load_yard(DEMO, library)


def _verdict(library: GradeLibrary, rows: np.ndarray, shares: np.ndarray, unlisted: float) -> Verdict:
    ids = [library.grades[int(row)].grade_id for row in rows]
    return Verdict(
        candidates=tuple(
            Candidate(grade=library.grades[int(row)], probability=float(share))
            for row, share in zip(rows, shares, strict=True)
        ),
        unlisted=1.0 - float(shares.sum()),
        share_by_id=dict(zip(ids, shares.tolist(), strict=True)),
        families=(_family(library, int(rows[0]), unlisted),),
        no_family=1.0 - float(shares.sum()) - unlisted,
    )


def _family(library: GradeLibrary, row: int, unlisted: float) -> FamilyShare:
    grade = library.grades[row]
    return FamilyShare(
        family=grade.family, group=grade.group, series=grade.series, listed=0.0, unlisted=unlisted
    )


@pytest.mark.parametrize("surface", [Surface.BARE, Surface.PAINTED, Surface.PLATED])
def test_the_table_sends_pieces_where_place_does(yard: Yard, library: GradeLibrary, surface: Surface) -> None:
    """Over 150 random sets of up to five grades and an unlisted alloy, the same bay; only sums near a veto
    may differ."""
    rng = np.random.default_rng(5)
    facts = PieceFacts(bench=BenchFacts(surfaces=frozenset({surface})))
    table = WorthTable.of(yard, library)
    different = 0
    for _ in range(150):
        group = rng.choice([grade.group for grade in library.grades])
        pool = np.array([i for i, grade in enumerate(library.grades) if grade.group == group])
        rows = np.unique(rng.choice(pool, size=5))
        shares = rng.dirichlet(np.full(len(rows), 0.4)) * rng.uniform(0.3, 1.0)
        unlisted = rng.uniform(0.8, 1.0) * (1.0 - shares.sum())
        placement = place(_verdict(library, rows, shares, unlisted), facts, 1000, yard)

        grade = library.grades[int(rows[0])]
        kind = metals_of(library).row_of_kind[grade.group, grade.family, grade.series]
        situation = table.situation(facts, np.append(rows, kind), 1.0)
        rest = np.array([1.0 - shares.sum() - unlisted])
        decided = situation.decide(np.append(shares, unlisted)[None, :], rest)

        code = yard.hold_bay.code if decided.bay[0] == HOLD else table.bays[decided.bay[0]].code
        different += code != placement.bay.code
    assert different <= 3


def test_an_unlisted_alloy_that_a_bay_refuses_is_a_veto(yard: Yard, library: GradeLibrary) -> None:
    """Ten per cent of an unlisted 2xxx keep 6061 out of bays that refuse 2xxx, in the table as in place."""
    kind = metals_of(library).row_of_kind["aluminium", "aluminium wrought", "2xxx"]
    row = library.index_of("6061")
    family = FamilyShare(
        family="aluminium wrought", group="aluminium", series="2xxx", listed=0.0, unlisted=0.1
    )
    verdict = Verdict(
        candidates=(Candidate(grade=library.grades[row], probability=0.9),), unlisted=0.1, families=(family,)
    )
    situation = WorthTable.of(yard, library).situation(PieceFacts(), np.array([row, kind]), 1.0)

    decided = situation.decide(np.array([[0.9, 0.1], [1.0, 0.0]]), np.zeros(2))

    with_doubt, without = (WorthTable.of(yard, library).bays[bay].code for bay in decided.bay.tolist())
    assert with_doubt == place(verdict, PieceFacts(), 1000, yard).bay.code == "AMX"
    assert without == "AXC"


def test_metal_never_fetches_more_in_a_wrong_bay_than_where_it_belongs(
    yard: Yard, library: GradeLibrary
) -> None:
    """Steel in a copper bay does not become worth the downgrade price of copper."""
    table = WorthTable.of(yard, library)
    rows = np.array([library.index_of("SAE 1010")])
    situation = table.situation(PieceFacts(), rows, 1.0)
    copper = [bay.code for bay in table.bays].index("CUB")

    worth = situation.worth_in(copper, np.ones((1, 1)), np.zeros(1))

    assert worth[0] <= yard.bay("FER").price_per_kg


def test_a_held_piece_is_worth_its_second_look(yard: Yard, library: GradeLibrary) -> None:
    """Heavy and open: what it fetches rightly placed, less the look. Light and open: what it fetches as it
    is."""
    rows = np.array([library.index_of("304"), library.index_of("316")])
    shares, none = np.array([[0.5, 0.5]]), np.zeros(1)
    table = WorthTable.of(yard, library)

    heavy = table.situation(PieceFacts(), rows, 100.0)
    light = table.situation(PieceFacts(), rows, 0.1)

    rightly = 50.0 * yard.bay("STN").price_per_kg + 50.0 * yard.bay("STM").price_per_kg
    assert heavy.worth_in(HOLD, shares, none)[0] == pytest.approx(rightly - yard.sorter.second_look_cost)
    assert heavy.best_as_is(shares[0], 0.0) == HOLD
    assert light.best_as_is(shares[0], 0.0) != HOLD
    assert light.worth_in(HOLD, shares, none)[0] > 0.0


def test_no_decision_fetches_more_than_the_most(yard: Yard, library: GradeLibrary) -> None:
    """Over 60 random sets of probabilities the worth that is decided on never passes what is said to be the
    most, and comes up to it where the metal is known."""
    rng = np.random.default_rng(11)
    none = np.zeros(1)
    for _ in range(60):
        rows = np.unique(rng.integers(len(library), size=6))
        situation = WorthTable.of(yard, library).situation(PieceFacts(), rows, 2.0)
        shares = rng.dirichlet(np.full(len(rows), 0.3))[None, :]

        assert situation.decide(shares, none).worth[0] <= situation.most(shares, none)[0] + 1e-12
    # A bay pays for a grade that its limits cannot keep, as long as that is little of what the piece can be.
    two = replace(
        situation,
        bays=situation.bays[:1],
        is_open=np.array([True]),
        of_metals=np.array([[1.0, 0.0, 0.0, 3.0], [1.0, 0.0, 1.0, 3.0]]),
        price=np.array([3.0]),
        downgrade=np.array([0.5]),
        best_price=np.array([3.0, 0.5]),
        leaning=0.5,
    )
    shares = np.array([[0.99, 0.01]])
    assert two.decide(shares, none).worth == pytest.approx(two.most(shares, none))


def test_the_table_knows_every_grade_that_a_bay_rules_out(yard: Yard, library: GradeLibrary) -> None:
    """Named as refused, or never below a limit of the bay: as the vetoes say of a piece that is surely it."""
    table = WorthTable.of(yard, library)
    for row in range(0, len(library), 9):
        grade = library.grades[row]
        alone = _verdict(library, np.array([row]), np.ones(1), 0.0)
        said = [veto_of(bay, {grade.grade_id: 1.0}, alone, PieceFacts(), 0.0) for bay in table.bays]

        is_out = (table.refuses[:, row] > 0.0) | (table.exceeds[:, row] > 0.0)
        assert is_out.tolist() == [bool(why) for why in said], grade.grade_id
    assert table.exceeds.any(axis=1).sum() >= 3


def test_the_table_is_made_once(yard: Yard, library: GradeLibrary) -> None:
    """The table of worth is made once for a yard and library."""
    assert WorthTable.of(yard, library) is WorthTable.of(yard, library)


def test_what_buyers_pay_goes_by_how_likely_they_take_it(yard: Yard, library: GradeLibrary) -> None:
    """The rule of a bay is the mean of price and downgrade, weighed by the chance that it is accepted."""
    situation = replace(
        WorthTable.of(yard, library).situation(PieceFacts(), np.array([library.index_of("304")]), 1.0),
        bays=WorthTable.of(yard, library).bays[:2],
        is_open=np.array([True, True]),
        of_metals=np.array([[0.7, 0.9, 0.0, 0.0, 0.0, 0.0, 1.0, 1.0]]),
        price=np.array([2.0, 1.95]),
        downgrade=np.array([1.0, 0.0]),
        leaning=0.5,
    )
    # 0.7 · 2.0 + 0.3 · 1.0 = 1.70 against 0.9 · 1.95 = 1.755; sold off for 1.3 the first comes to 1.79.
    assert situation.decide(np.ones((1, 1)), np.zeros(1)).bay.tolist() == [1]
    other = replace(situation, downgrade=np.array([1.3, 0.0]))
    assert other.decide(np.ones((1, 1)), np.zeros(1)).bay.tolist() == [0]


def test_metal_of_no_kind_fetches_the_least_downgrade(yard: Yard, library: GradeLibrary) -> None:
    """The least that any bay's metal is sold off for; nothing in a yard without bays."""
    situation = WorthTable.of(yard, library).situation(PieceFacts(), np.array([0]), 1.0)

    least = min(bay.downgrade_per_kg for bay in yard.bays if not bay.is_hold)
    assert least > 0.0 and situation.salvage == pytest.approx(least)
