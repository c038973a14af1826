"""Scale tolerances against published tables and worked examples.

Sources are named beside each check. Where a table was not read at its origin, that is said.
"""

import pytest

from console.ledger.acts.scale_tables import ToleranceTable, largest_error_g


@pytest.mark.parametrize(
    ("load_divisions", "initial_divisions"),
    [(0, 0.5), (500, 0.5), (501, 1.0), (2000, 1.0), (2001, 1.5), (10_000, 1.5)],
)
def test_oimlr76_class_iii_in_service_is_twice_initial(load_divisions: int, initial_divisions: float) -> None:
    """OIML R 76-1, Table 6, class III (initial verification 0.5, 1.0, 1.5 e); in service twice that."""
    assert largest_error_g(load_divisions * 20, 20, ToleranceTable.R76_III) == 2 * initial_divisions * 20


def test_oimlr76_worked_example() -> None:
    """3000 kg on e = 1 kg: 1.5 kg at initial verification, 3 kg in service (R 76-1, Table 6)."""
    assert largest_error_g(3_000_000, 1000, ToleranceTable.R76_III) == 3000


@pytest.mark.parametrize(
    ("load_divisions", "divisions"),
    [(1, 1), (500, 1), (501, 2), (2000, 2), (2001, 3), (4000, 3), (4001, 5), (10_000, 5)],
)
def test_handbook_44_class_iii_maintenance(load_divisions: int, divisions: int) -> None:
    """NIST Handbook 44, Table 6, class III, maintenance, as quoted in a quality forum (edition of 2007)."""
    assert largest_error_g(load_divisions * 50, 50, ToleranceTable.HB44_III) == divisions * 50


def test_handbook_44_worked_example() -> None:
    """A 500 lb x 0.05 lb class III scale at 150 lb may be 0.15 lb out (same forum thread).

    Weights are whole grams here, so the division is taken as 1 g for 0.05 lb: the table counts divisions.
    """
    assert largest_error_g(150 * 20, 1, ToleranceTable.HB44_III) * 0.05 == pytest.approx(0.15)


def test_both_tables_agree_up_to_four_thousand_divisions() -> None:
    """The American and the international table allow the same up to 4000 divisions."""
    for load in range(0, 4001):
        assert largest_error_g(load, 1, ToleranceTable.HB44_III) == largest_error_g(
            load, 1, ToleranceTable.R76_III
        )
