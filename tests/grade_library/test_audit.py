"""The audit: clean on the shipped library, and each check finds the grade that was broken for it."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from grade_library.auditing.audit import audit
from grade_library.auditing.citations import cited_values
from grade_library.auditing.conductivity_bounds import conductivity_bounds
from grade_library.auditing.findings import (
    Acceptance,
    Accepted,
    Check,
    Finding,
    load_acceptance,
    read_acceptance,
)
from grade_library.card import card_text
from grade_library.errors import GradeDataError
from grade_library.grade import Citation, Colour, Grade, Limit, MagneticClass
from grade_library.library import GradeLibrary, load
from grade_library.loading.sources import Source
from grade_library.naming.trade_words import TradeWord

SHIPPED = load()


def _with(grade_id: str, **changes: Any) -> GradeLibrary:
    """Return the shipped library with one grade changed."""
    grades = {grade.grade_id: grade for grade in SHIPPED.grades}
    grades[grade_id] = replace(grades[grade_id], **changes)
    return GradeLibrary(grades.values(), SHIPPED.sources)


def _limits(grade_id: str, **changes: Limit) -> Mapping[str, Limit]:
    return {**SHIPPED.grade(grade_id).limits, **changes}


def _found(library: GradeLibrary, check: Check, about: str) -> list[Finding]:
    return [
        finding for finding in audit(library).findings if (finding.check, finding.about) == (check, about)
    ]


def test_the_shipped_library_is_clean() -> None:
    """Nothing is found but what is accepted with a reason."""
    report = audit(SHIPPED)

    assert [str(finding) for finding in report.findings] == []
    assert report.is_clean and report.n_grades == len(SHIPPED)
    assert all(reason for _, reason in report.accepted)


def test_values_are_counted_by_kind_of_source() -> None:
    """The counts sum to every value of the library, and most limits come from a document that was seen."""
    counts = audit(SHIPPED).values_by_kind

    total = sum(blocks.total() for blocks in counts.values())
    assert total == sum(1 for grade in SHIPPED.grades for _ in cited_values(grade))
    limits = {kind: blocks["limits"] for kind, blocks in counts.items()}
    assert limits["memory"] < 0.5 * sum(limits.values())
    print({kind: blocks.total() for kind, blocks in counts.items()})


_RATIO = re.compile(r"\b([A-Z][a-z]?(?:\+[A-Z][a-z]?)?) at least [\d.]+\+?[\d.]*x")


def test_reckoned_ends_are_marked_and_never_counted_as_seen() -> None:
    """A least that follows from a ratio to carbon is marked in the data and on the card, and the audit counts
    it apart from what was seen and from memory."""
    by_ratio = [
        (grade, symbols)
        for grade in SHIPPED.grades
        for symbols in _RATIO.findall(grade.note)
        if symbols not in _PRINTED_WITH_RATIO.get(grade.grade_id, ())
    ]
    marked = [
        limit
        for grade in SHIPPED.grades
        for limit in (*grade.limits.values(), *grade.sums.values())
        if limit.is_reckoned
    ]

    assert len(by_ratio) > 20
    for grade, symbols in by_ratio:
        assert {**grade.limits, **grade.sums}[symbols].is_low_reckoned, grade.grade_id
        assert "~ reckoned, not printed in the source" in card_text(grade, SHIPPED, twins=None)
    for grade in SHIPPED.grades:
        if re.search("computed|working band", grade.citation_for("limits").where):
            ranges = [one for one in grade.limits.values() if one.low is not None and one.nominal is None]
            assert ranges and all(one.is_low_reckoned for one in ranges), grade.grade_id
    counts = audit(SHIPPED).values_by_kind
    assert counts["reckoned"].total() == len(marked) >= len(by_ratio)
    assert set(counts["reckoned"]) <= {"limits", "sums"}
    assert "reckoned" not in card_text(SHIPPED.grade("304"), SHIPPED, twins=None)


_PRINTED_WITH_RATIO = {"29-4C": ("Nb+Ti",)}
"""Where the standard prints the least beside the ratio."""


def test_an_impossible_sum_is_found() -> None:
    """Minima that sum to more than 100 are found."""
    library = _with("304", limits=_limits("304", Ni=Limit(low=85.0, high=90.0)))

    assert "minima sum" in _found(library, Check.SUM, "304")[0].found


def test_a_missing_base_is_found() -> None:
    """A grade without its base is found, and one whose base is next to nothing."""
    without = {symbol: limit for symbol, limit in SHIPPED.grade("304").limits.items() if symbol != "Fe"}
    little = _limits("304", Ni=Limit(low=70.0, high=80.0))

    assert _found(_with("304", limits={**without, "Ni": Limit(is_rest=True)}), Check.BASE, "304")
    assert _found(_with("304", limits=little), Check.BASE, "304")


@pytest.mark.parametrize(
    ("grade_id", "symbol", "limit"),
    [
        ("SAE 1018", "S", Limit(high=0.5)),  # a slipped point: 0.050
        ("17-4", "P", Limit(high=0.4)),  # 0.040
        ("304", "Cr", Limit(low=1.75, high=19.5)),  # 17.5
        ("6061", "Zn", Limit(high=25.0)),  # 0.25
    ],
)
def test_a_limit_out_of_line_is_found(grade_id: str, symbol: str, limit: Limit) -> None:
    """A slipped decimal point stands out from the maxima of the family, or from its own minimum."""
    findings = _found(_with(grade_id, limits=_limits(grade_id, **{symbol: limit})), Check.SIBLING, grade_id)

    assert any(finding.found.startswith(symbol) for finding in findings)


def test_one_metal_under_two_names_is_found() -> None:
    """The same limits under a second id, and the same UNS number twice, are found."""
    twin = replace(SHIPPED.grade("304"), grade_id="304 again")

    findings = audit(GradeLibrary([*SHIPPED.grades, twin], SHIPPED.sources)).findings

    about = [finding.found for finding in findings if finding.check is Check.DUPLICATE]
    assert any("the same limits as 304" in found for found in about)
    assert any("S30400 stands for 304 too" in found for found in about)


@pytest.mark.parametrize(
    ("grade_id", "density"), [("6061", 2.5), ("C26000", 8.35), ("304", 7.7), ("CF8", 8.2)]
)
def test_a_density_off_the_mixture_is_found(grade_id: str, density: float) -> None:
    """A density further from the mixture than its family may be is found; castings may only be lighter."""
    assert _found(_with(grade_id, density_g_cm3=density), Check.DENSITY, grade_id)
    assert not _found(SHIPPED, Check.DENSITY, grade_id)


@pytest.mark.parametrize(
    ("grade_id", "low", "high"), [("6061", 64.0, 66.0), ("7075", 45.0, 60.0), ("C26000", 60.0, 65.0)]
)
def test_a_conductivity_out_of_line_is_found(grade_id: str, low: float, high: float) -> None:
    """A conductivity that the solutes do not allow is found."""
    assert _found(_with(grade_id, iacs_low_pct=low, iacs_high_pct=high), Check.CONDUCTIVITY, grade_id)


def test_conductivity_bounds_hold_published_figures() -> None:
    """Between the bounds lie the published figures of tempers far apart: 2024 from 30 (T3) to 50 (O)."""
    least, most = conductivity_bounds(SHIPPED.grade("2024")) or (0.0, 0.0)

    assert least < 30.0 < 50.0 < most < 62.0
    assert conductivity_bounds(SHIPPED.grade("304")) is None


@pytest.mark.parametrize(
    ("grade_id", "colour"),
    [
        ("C26000", Colour.RED),
        ("C11000", Colour.YELLOW),
        ("C71500", Colour.REDDISH),
        ("6061", Colour.GREY),
        ("Lead 99.97", Colour.WHITE),
    ],
)
def test_a_colour_out_of_line_is_found(grade_id: str, colour: Colour) -> None:
    """A colour that the composition does not have is found."""
    assert _found(_with(grade_id, colour=colour), Check.COLOUR, grade_id)


@pytest.mark.parametrize(
    ("grade_id", "magnet"),
    [
        ("6061", MagneticClass.STRONG),
        ("SAE 1018", MagneticClass.NON),
        ("C26000", MagneticClass.STRONG),
        ("Nickel 200", MagneticClass.NON),
    ],
)
def test_a_magnetic_class_out_of_line_is_found(grade_id: str, magnet: MagneticClass) -> None:
    """A pull that the composition cannot have is found."""
    assert _found(_with(grade_id, magnet=magnet), Check.MAGNET, grade_id)


def test_missing_and_empty_citations_are_found() -> None:
    """A value without a source, a source that is not listed and one that is never cited are found."""
    sources = dict(SHIPPED.grade("304").sources)
    uncited = {value: citation for value, citation in sources.items() if value != "density"}
    unknown = {**sources, "density": Citation(source_id="nobody")}
    library = GradeLibrary(
        SHIPPED.grades, {**SHIPPED.sources, "idle": Source(source_id="idle", kind="paper", cite="Idle, 2001")}
    )

    assert "no source for density" in _found(_with("304", sources=uncited), Check.CITATION, "304")[0].found
    assert "says nothing" in _found(_with("304", sources=unknown), Check.CITATION, "304")[0].found
    assert _found(library, Check.CITATION, "idle")


def test_an_unknown_caution_is_found() -> None:
    """A grade that names a caution which is not there is found."""
    assert _found(_with("304", cautions=("NO-SUCH",)), Check.CAUTION, "304")


def test_a_trade_word_for_a_grade_that_is_gone_is_found() -> None:
    """A trade word names grades, families, groups and series that are there, and a source."""
    word = TradeWord(word="odd", grades=("no such grade",), families=("no family",), source="nobody")

    found = [
        finding for finding in audit(SHIPPED, trade_words=[word]).findings if finding.check is Check.WORD
    ]

    assert len(found) == 3


def test_an_acceptance_holds_for_what_was_found_then_only() -> None:
    """Another value is a new finding, and an acceptance of nothing is one itself."""
    assert _found(_with("904L", density_g_cm3=7.0), Check.DENSITY, "904L")
    idle = Acceptance(
        entries={**load_acceptance().entries, ("density", "304"): Accepted(found="7.93", reason="made up")},
        density_tolerances=load_acceptance().density_tolerances,
    )

    assert [finding.about for finding in audit(SHIPPED, idle).findings] == ["304"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[density]\n"304" = { found = "7.93" }\n', 'density, "304": needs found'),
        ('[densty]\n"304" = { found = "x", reason = "y" }\n', '"densty" is no check'),
        ('["density tolerance"]\nbrass = { pct = 2 }\n', 'density tolerance "brass": needs pct and reason'),
    ],
)
def test_an_acceptance_needs_a_reason(text: str, said: str) -> None:
    """An accepted finding without a reason is refused."""
    with pytest.raises(GradeDataError) as error:
        read_acceptance(text)

    assert said in str(error.value)


def test_a_library_of_one_grade_can_be_audited() -> None:
    """Too few siblings say nothing; the checks of the grade itself still run."""
    one: Grade = SHIPPED.grade("304")

    report = audit(GradeLibrary([one], SHIPPED.sources), Acceptance(entries={}, density_tolerances={}), [])

    assert {finding.check for finding in report.findings} <= {Check.CITATION}
