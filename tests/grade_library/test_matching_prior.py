"""Priors: usual frequencies, a yard's own counts, and switched off."""

import pytest

from grade_library.facts import BenchFacts, MagnetPull, PieceFacts, Reading, Shot
from grade_library.grade import Colour
from grade_library.library import GradeLibrary, load
from grade_library.matcher.matching import identify
from grade_library.matcher.prior import FLOOR, Prior
from grade_library.verdict import ReasonKind

YELLOW = PieceFacts(bench=BenchFacts(scratch=Colour.YELLOW, magnet=MagnetPull.NONE))


def test_shares_sum_to_one_and_nobody_has_none() -> None:
    """Every grade stays possible under every prior."""
    library = load()
    for prior in (Prior.flat(), Prior.usual(library), Prior.from_counts({"304": 5000}, library)):
        shares = prior.shares(library)
        assert shares.sum() == pytest.approx(1.0)
        assert (shares > 0).all()


def test_a_yard_learns_what_it_meets() -> None:
    """A yard that has tallied C46400 a thousand times expects it of a yellow scratch."""
    library = load()
    own = Prior.from_counts({"C46400": 1000, "304": 200}, library)

    best = identify(YELLOW, library, own).best

    assert best is not None and best.grade.grade_id == "C46400"


def test_a_few_pieces_teach_little_and_counts_never_pass_the_floor() -> None:
    """The usual frequencies keep at least their floor however much was counted."""
    library = load()
    usual = Prior.usual(library).shares(library)
    few = Prior.from_counts({"304": 3}, library).shares(library)
    many = Prior.from_counts({"304": 10**9}, library).shares(library)
    row, rare = library.index_of("304"), library.index_of("MP35N")

    assert few[row] - usual[row] < 0.03
    assert many[rare] == pytest.approx(FLOOR * usual[rare], rel=1e-6)


def test_counting_a_grade_raises_its_family() -> None:
    """Of the counts a part goes to the family of the grade."""
    library = load()
    usual = Prior.usual(library).shares(library)
    own = Prior.from_counts({"304": 1000}, library).shares(library)

    assert own[library.index_of("316")] > usual[library.index_of("316")]
    assert own[library.index_of("6061")] < usual[library.index_of("6061")]


def test_no_counts_and_unknown_grades_leave_the_usual_frequencies() -> None:
    """A grade that the library no longer has is left out, not an error."""
    library = load()

    assert Prior.from_counts({}, library) is Prior.usual(library)
    assert Prior.from_counts({"no such grade": 7, "304": 0}, library) is Prior.usual(library)


def test_the_prior_can_be_switched_off() -> None:
    """With all grades alike the rare twin is as likely as the common one on equal evidence."""
    shot = PieceFacts(shots=(Shot(reading=Reading(values={"Cu": 61.0, "Zn": 35.6, "Pb": 3.0, "Fe": 0.15})),))

    usual, flat = identify(shot, load()), identify(shot, load(), Prior.flat())
    chance = {c.grade.grade_id: c.probability for c in flat.candidates}

    assert usual.best is not None and usual.best.grade.grade_id == "C36000"
    assert chance["CW603N"] > 0.1


def test_a_learned_prior_is_said_among_the_reasons() -> None:
    """The yard's own frequency is shown where it counts, and never claimed where nothing was counted."""
    library = load()
    own = Prior.from_counts({"C46400": 1000, "304": 200}, library)

    learned, usual = identify(YELLOW, library, own), identify(YELLOW, library)

    assert learned.best is not None and usual.best is not None
    said = [reason for reason in learned.best.reasons if reason.kind is ReasonKind.PRIOR]
    assert said and said[0].is_for and said[0].text == "often met in this yard (1200 pieces counted)"
    assert not [reason for reason in usual.best.reasons if reason.kind is ReasonKind.PRIOR]


def test_what_was_asked_before_changes_no_answer() -> None:
    """A question with another prior first leaves the answer to the next one as it was."""
    one, other = load(), GradeLibrary(load().grades, load().sources)
    tin = PieceFacts(shots=(Shot(reading=Reading(values={"Sn": 100.0})),))

    identify(tin, one, Prior.flat())

    assert identify(tin, one).skin == identify(tin, other).skin
