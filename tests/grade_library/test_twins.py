"""Twins: grades that a technique cannot tell apart, worked out from the overlap of what it sees."""

import pytest

from grade_library.library import load
from grade_library.matcher.twins import TWIN_OVERLAP, finder_for, twins_of
from grade_library.technique import profiles


def _names(grade_id: str, technique: str) -> set[str]:
    return {twin.grade_id for twin in twins_of(load(), grade_id, technique)}


def test_x_rays_cannot_tell_304_from_304l() -> None:
    """They differ in carbon, which x-rays do not see."""
    assert "304L" in _names("304", "xrf")
    assert "304" in _names("304L", "xrf")


def test_a_certificate_tells_low_from_high_carbon_steel_and_x_rays_do_not() -> None:
    """1018 and 1045 are twins by x-ray and strangers by certificate."""
    assert "SAE 1045" in _names("SAE 1035", "xrf")
    assert "SAE 1045" not in _names("SAE 1018", "lab")


def test_one_composition_in_two_groups_is_twins() -> None:
    """A bearing and an engineering steel are sold as tool steels too, an ingot is cast: nothing that either
    names tells the two apart, certificates included (EN ISO 4957 beside EN ISO 683: memory)."""
    for one, other in (("1.2067", "SAE 52100"), ("1.1730", "C45"), ("AM60B ingot", "AM60B")):
        assert other in _names(one, "lab")
        assert one in _names(other, "lab")


def test_strangers_are_no_twins() -> None:
    """304 and 316, 6061 and 7075, C26000 and C36000 are told apart by every technique."""
    for technique in profiles():
        assert "316" not in _names("304", technique)
        assert "7075" not in _names("6061", technique)
        assert "C36000" not in _names("C26000", technique)


def test_being_twins_is_mutual_and_nobody_is_its_own() -> None:
    """The overlap does not depend on the order."""
    library = load()
    finder = finder_for(library, profiles()["xrf"])

    for grade in library.grades[::40]:
        row = library.index_of(grade.grade_id)
        overlap = finder.overlap(row)
        assert overlap[row] == pytest.approx(1.0)
        for twin in finder.twins(row):
            assert twin.grade_id != grade.grade_id
            back = finder.overlap(library.index_of(twin.grade_id))[row]
            assert back == pytest.approx(overlap[library.index_of(twin.grade_id)])
            assert back >= TWIN_OVERLAP


def test_an_unknown_technique_is_taken_as_x_ray() -> None:
    """The list is shown with every candidate; a misspelt technique must not break it."""
    assert twins_of(load(), "304", "no such thing") == twins_of(load(), "304", "xrf")


def test_an_unknown_grade_is_an_error() -> None:
    """Asking for a grade that is not there is a mistake of the caller."""
    with pytest.raises(KeyError):
        twins_of(load(), "no such grade", "xrf")
