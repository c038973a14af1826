"""Look-up by the names that yards and certificates use."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grade_library.errors import GradeDataError
from grade_library.grade import Grade
from grade_library.library import load
from grade_library.naming.name_text import LONGEST_NAME, bare_variants, lookalike, squash
from grade_library.naming.names import NameIndex
from grade_library.naming.trade_words import read_trade_words

LISTS = tomllib.loads((Path(__file__).parent / "names_300.toml").read_text("utf-8"))
NAMES = [(name, grade_id) for names in LISTS["names"].values() for name, grade_id in names.items()]
AMBIGUOUS = [(name, tuple(ids)) for names in LISTS["ambiguous"].values() for name, ids in names.items()]
LEAST_SHARE_FIRST = 0.98
INDEX = NameIndex(load())


def test_the_right_grade_is_first_for_98_of_100_names() -> None:
    """Of at least 300 names from certificates, tables and the trade, 98 % find their grade first."""
    missed = []
    for name, grade_id in NAMES:
        found = INDEX.find(name, limit=1)
        if not found or found[0].grade.grade_id != grade_id:
            missed.append(name)

    print(f"{len(NAMES) - len(missed)} of {len(NAMES)} first; missed: {missed}")
    assert len(NAMES) >= 300
    assert len(missed) <= (1.0 - LEAST_SHARE_FIRST) * len(NAMES)


@pytest.mark.parametrize(("name", "grade_ids"), AMBIGUOUS)
def test_an_ambiguous_name_says_so(name: str, grade_ids: tuple[str, ...]) -> None:
    """The claim holds every grade that the words can mean, and more than one."""
    claim = INDEX.resolve(name)

    assert claim is not None and claim.is_exact
    assert set(grade_ids) <= claim.grade_ids
    assert len(claim.grade_ids) > 1


@pytest.mark.parametrize("typed", ["3O4", "6O61", "60661", "316ll", "inconell 625", "brasss", "alumnium"])
def test_a_slip_is_only_close(typed: str) -> None:
    """A name with a slip is never taken as exact: another figure is another grade."""
    claim = INDEX.resolve(typed)

    assert claim is not None
    assert not claim.is_exact
    assert not any(match.is_exact for match in INDEX.find(typed))


@pytest.mark.parametrize(
    "typed", ["", "  ", "-", "?!", "qqqq", "bar", "x" * (LONGEST_NAME + 1), "\x1b[2J", "[/red]"]
)
def test_what_is_no_name_means_nothing(typed: str) -> None:
    """Blanks, signs, words that only look short, and pasted text give no claim and no error."""
    assert INDEX.resolve(typed) is None


def test_a_ratio_is_no_alloy_number() -> None:
    """70/30 is brass or cupronickel; 70/75 is no way to write 7075, which is at most close."""
    ratio, no_ratio = INDEX.resolve("70/30"), INDEX.resolve("70/75")

    assert ratio is not None and ratio.grade_ids == frozenset({"C26000", "C71500"})
    assert no_ratio is None or not no_ratio.is_exact


def test_a_word_for_the_kind_narrows_a_number() -> None:
    """360 may be a brass or a casting alloy; "360 brass" is the brass."""
    assert INDEX.resolve("360").grade_ids == frozenset({"360.0", "C36000"})  # type: ignore[union-attr]
    assert INDEX.resolve("brass 360").grade_ids == frozenset({"C36000"})  # type: ignore[union-attr]
    assert INDEX.resolve("cast aluminium 360").grade_ids == frozenset({"360.0"})  # type: ignore[union-attr]


def test_completion_begins_as_typed_and_is_short_first() -> None:
    """Every completion begins with the text, signs aside, and the shortest comes first."""
    found = INDEX.complete("316")

    assert found[0] == "316"
    assert "316L" in found
    assert all(squash(name).startswith("316") for name in found)
    assert [len(squash(name)) for name in found] == sorted(len(squash(name)) for name in found)
    assert INDEX.complete("") == ()
    assert "brass" in INDEX.complete("bra")


def test_prefixes_and_tempers_are_taken_off() -> None:
    """Prefix and temper are no part of a grade's name, and a letter like a digit is read as one."""
    assert "6061" in list(bare_variants("EN AW-6061-T651"))
    assert "304" in list(bare_variants("AISI type 304 2B"))
    assert lookalike("1.43o1") == "1.4301"


@given(st.text(max_size=60))
@settings(max_examples=150, deadline=None)
def test_any_text_can_be_asked(typed: str) -> None:
    """No text breaks the look-up; scores are 0..100 in falling order, and no grade comes twice."""
    found = INDEX.find(typed, limit=8)

    assert [match.score for match in found] == sorted((match.score for match in found), reverse=True)
    assert all(0.0 <= match.score <= 100.0 for match in found)
    assert len({match.grade.grade_id for match in found}) == len(found) <= 8
    INDEX.complete(typed)
    claim = INDEX.resolve(typed)
    assert claim is None or claim.text == typed
    assert claim is None or claim.grade_ids or claim.material_ids or claim.ask


@pytest.mark.parametrize("grade", load().grades[::13], ids=lambda grade: grade.grade_id)
def test_every_name_of_a_grade_finds_it(grade: Grade) -> None:
    """Id, UNS number, European numbers and other names all lead to the grade."""
    for name in (grade.grade_id, grade.uns, *grade.en, *grade.names):
        if name:
            claim = INDEX.resolve(name)
            assert claim is not None and claim.is_exact, name
            assert grade.grade_id in claim.grade_ids, name


@pytest.mark.parametrize("typed", ["inox 999", "alu 999", "SUS999", "A9999", "钢304", "Ж65"])
def test_what_a_name_is_told_by_is_never_left_out(typed: str) -> None:
    """A word for metal, or letters of another script: what is left without them is not what was typed."""
    claim = INDEX.exact(typed)

    assert claim is None or (claim.remark and "Zinc 99.9" not in claim.grade_ids)


def test_the_point_of_a_casting_number_counts() -> None:
    """705.0 is a casting and 7050 a wrought alloy: neither name leads to the other."""
    casting, wrought = INDEX.exact("705.0"), INDEX.exact("7050")

    assert wrought is not None and wrought.grade_ids == {"7050"}
    assert casting is None or casting.grade_ids.isdisjoint({"7050"})
    assert all(match.grade.grade_id != "7050" or not match.is_exact for match in INDEX.find("705.0"))


def test_an_everyday_word_is_no_slip_for_a_code_word() -> None:
    """Only the code word itself names the entry of the circular."""
    assert INDEX.resolve("drive") is None and INDEX.resolve("drove") is not None


@pytest.mark.parametrize(
    ("russian", "latin"),
    [("12Х18Н10Т", "12Kh18N10T"), ("ШХ15", "ShKh15"), ("БрАЖ9-4", "BrAZh9-4"), ("Л63", "L63")],
)
def test_cyrillic_designations_mean_what_their_latin_spelling_means(russian: str, latin: str) -> None:
    """A GOST designation is the same metal in either alphabet."""
    claims = [INDEX.exact(typed) for typed in (russian, latin)]

    assert claims[0] is not None and claims[1] is not None
    assert claims[0].grade_ids == claims[1].grade_ids


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('["x"]\ngrads = ["304"]\nsource = "memory"\n', 'unknown key "grads" (nearest: "grades")'),
        ('["x"]\ngrades = "304"\nsource = "memory"\n', "grades needs a list of texts"),
        ('["x"]\ngrades = ["304"]\n', "needs source"),
        ("[x\n", "not valid TOML"),
    ],
)
def test_a_broken_trade_word_is_named(text: str, said: str) -> None:
    """A wrong row of the trade words is named."""
    with pytest.raises(GradeDataError) as error:
        read_trade_words(text)

    assert said in str(error.value)
