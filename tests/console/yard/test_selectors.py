"""Entries of `accepts` and `refuses` mean groups, families, series, scrap entries and grades."""

import pytest

from console.yard.file.selectors import SelectorError, Selectors
from grade_library.library import GradeLibrary


@pytest.fixture(scope="module")
def selectors(library: GradeLibrary) -> Selectors:
    return Selectors.of(library)


@pytest.mark.parametrize(
    ("entry", "has", "has_not"),
    [
        ("stainless", {"304", "430"}, {"6061"}),
        ("Austenitic  Stainless", {"304"}, {"430"}),
        ("6xxx", {"6061", "6063"}, {"7075", "5052"}),
        ("6000 series", {"6061"}, {"7075"}),
        ("300 series", {"304", "316"}, {"201", "430"}),
        ("series: 300", {"304"}, {"430"}),
        ("stainless 400", {"430"}, {"304"}),
        ("scrap: Sabot", {"304"}, {"430"}),
        ("S30400", {"304"}, {"316"}),
        ("1.4401", {"316"}, {"304"}),
        ("steel", {"S235JR", "heavy melting No. 1", "busheling"}, {"brake discs", "electric motor"}),
        ("cast iron", {"brake discs", "manhole cover"}, {"busheling"}),
        ("group: copper", {"copper No. 2"}, {"house cable", "copper-brass radiator"}),
        ("group: lead", {"lead wheel weights"}, {"lead-covered cable"}),
        ("stainless", {"304"}, {"busheling", "brake discs"}),
        ("everything", {"304", "6061", "C36000"}, set()),
    ],
)
def test_what_an_entry_means(selectors: Selectors, entry: str, has: set[str], has_not: set[str]) -> None:
    """Each form of an entry accepts the grades that it names and no others."""
    ids = selectors.grade_ids(entry)

    assert has <= ids
    assert not has_not & ids


def test_family_and_group_of_one_name_can_be_told_apart(selectors: Selectors) -> None:
    """A family is a part of the group of its name, and each can be named."""
    assert selectors.grade_ids("family: brass") < selectors.grade_ids("group: brass")


def test_entries_add_up(selectors: Selectors) -> None:
    """Several entries accept what each of them does."""
    assert selectors.union(["304", "316"]) == {"304", "316"}


@pytest.mark.parametrize("entry", ["", "brasss", "series: bronzes", "nonsense", ":", "group:"])
def test_an_entry_that_means_nothing_is_refused(selectors: Selectors, entry: str) -> None:
    """An entry that names no grade is refused."""
    with pytest.raises(SelectorError, match="names no"):
        selectors.grade_ids(entry)
