"""The [[check]] and [sorter] tables of yard.toml, and what is said when they are wrong."""

from pathlib import Path

import pytest

from console.yard.errors import YardFileError
from console.yard.file.check_table import checks_from, sorter_time_from
from console.yard.file.fields import Fields
from console.yard.next_check.checks import USUAL_CHECKS, CheckKind, SorterTime, YardCheck
from grade_library.library import GradeLibrary
from tests.console.yard.conftest import spoil
from tests.yards import load_yard


def test_checks_are_read_in_their_order() -> None:
    """Checks of yard.toml keep their order, times and costs."""
    table = {"check": [{"kind": "reading", "seconds": 20}, {"kind": "Magnet", "seconds": 3, "cost": 0.5}]}

    assert checks_from(Fields("yard.toml", table)) == (
        YardCheck(kind=CheckKind.READING, seconds=20.0),
        YardCheck(kind=CheckKind.MAGNET, seconds=3.0, cost=0.5),
    )


def test_a_yard_that_lists_none_has_the_usual_ones() -> None:
    """Without a list the usual checks and costs count."""
    assert checks_from(Fields("yard.toml", {})) == USUAL_CHECKS
    assert sorter_time_from(Fields("yard.toml", {})) == SorterTime()


@pytest.mark.parametrize(
    ("check", "said"),
    [
        ({"kind": "sniff", "seconds": 3}, 'yard.toml, check sniff, kind: "sniff" is not one of magnet, heft'),
        ({"kind": "magnet"}, "yard.toml, check magnet, seconds: is missing"),
        ({"kind": "magnet", "seconds": -1}, "check magnet, seconds: -1 is outside 0 to 3600"),
        ({"kind": "magnet", "seconds": 3, "costs": 1}, 'costs: this key is not known; did you mean "cost"?'),
        ({"seconds": 3}, "yard.toml, check 1, kind: is missing"),
        ({"kind": "magnet", "seconds": "3"}, "seconds: '3' is no number"),
    ],
)
def test_a_wrong_check_is_named(check: dict[str, object], said: str) -> None:
    """A wrong check is named with what would be right."""
    with pytest.raises(YardFileError) as error:
        checks_from(Fields("yard.toml", {"check": [check]}))

    assert said in str(error.value)


def test_a_check_stands_there_once() -> None:
    """One kind of check twice is refused."""
    twice = [{"kind": "file", "seconds": 9}, {"kind": "file", "seconds": 8}]

    with pytest.raises(YardFileError, match='check: "file" stands there twice'):
        checks_from(Fields("yard.toml", {"check": twice}))


def test_one_table_is_no_list_of_checks() -> None:
    """A single table in place of the list of checks is told with the right brackets."""
    with pytest.raises(YardFileError, match=r"every check starts with a line \[\[check\]\]"):
        checks_from(Fields("yard.toml", {"check": {"kind": "file"}}))


def test_the_yard_file_brings_them(folder: Path, library: GradeLibrary) -> None:
    """What stands in yard.toml is what the yard has."""
    spoil(
        folder,
        "[thresholds]",
        '[sorter]\ncost_per_hour = 42\n\n[[check]]\nkind = "grind"\nseconds = 60\n\n[thresholds]',
    )

    yard = load_yard(folder, library)

    assert yard.sorter.cost_per_hour == 42.0
    assert [check.kind for check in yard.checks] == [CheckKind.GRIND]
    assert yard.sorter.cost_of_check(yard.checks[0]) == pytest.approx(0.7)


def test_a_wrong_sorter_key_is_named(folder: Path, library: GradeLibrary) -> None:
    """An unknown key of the sorter's table is named with its place."""
    spoil(folder, "[thresholds]", "[sorter]\ncost_hour = 42\n\n[thresholds]")

    with pytest.raises(YardFileError, match="yard.toml, sorter, cost_hour"):
        load_yard(folder, library)
