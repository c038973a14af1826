"""Which pieces come back, and the matrix of what was found."""

import hashlib

import pytest

from console.yard.errors import YardFileError
from console.yard.file.check_table import recheck_settings_from
from console.yard.file.fields import Fields
from console.yard.rechecks.chosen import RecheckSettings, is_chosen
from console.yard.rechecks.confusion import Recheck, confusion_of, wilson


def test_the_share_drawn_is_the_share_set() -> None:
    """Of 20,000 hashes as many are drawn as the share says, within four standard deviations."""
    hashes = [hashlib.sha256(str(number).encode()).hexdigest() for number in range(20_000)]

    drawn = sum(is_chosen(one, 0.05) for one in hashes)

    assert abs(drawn - 1000) < 4 * (20_000 * 0.05 * 0.95) ** 0.5
    assert not any(is_chosen(one, 0.0) for one in hashes)
    assert all(is_chosen(one, 1.0) for one in hashes[:100])


def test_the_matrix_counts_where_pieces_were_put_and_belong() -> None:
    """Rows are where it was put, columns where it belongs, bays in the order of the yard."""
    pairs = [("B", "B"), ("B", "A"), ("B", "B"), ("A", "A"), ("A", "X")]

    matrix = confusion_of([Recheck(person="P", placed=p, found=f) for p, f in pairs], ["A", "B", "C"])

    assert matrix.classes == ("A", "B", "X")
    assert matrix.counts == ((1, 0, 1), (1, 2, 0), (0, 0, 0))
    assert [(one.right, one.checked) for one in matrix.by_class] == [(1, 2), (2, 3), (0, 0)]
    assert matrix.overall == wilson(3, 5)
    assert (matrix.by_class[2].low, matrix.by_class[2].high) == (0.0, 1.0)


def test_the_table_of_the_file() -> None:
    """What is left out has a default; what is wrong is named."""
    assert recheck_settings_from(Fields("yard.toml", {})) == RecheckSettings()
    given = recheck_settings_from(
        Fields("yard.toml", {"recheck": {"share": 0.02, "by_person_for_all": True}})
    )
    assert given == RecheckSettings(share=0.02, by_person_for_all=True)
    with pytest.raises(YardFileError, match="recheck, share: 0.6 is outside 0 to 0.5"):
        recheck_settings_from(Fields("yard.toml", {"recheck": {"share": 0.6}}))
    with pytest.raises(YardFileError, match='did you mean "share"'):
        recheck_settings_from(Fields("yard.toml", {"recheck": {"shar": 0.1}}))
