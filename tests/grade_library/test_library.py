"""Loading: what a grade file may say, what it may not, and what the message is."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from grade_library.errors import GradeDataError
from grade_library.grade import GROUPS, Citation, Colour, MagneticClass
from grade_library.library import GradeLibrary, load, read_library
from grade_library.loading.grade_file import KEYS

HEAD = """
family = "austenitic stainless"
group = "stainless"
series = "300"
base = "Fe"
magnet = "non"
colour = "white"
sources = { magnet = "memory", colour = "memory", limits = "book: table 1", density = "book" }
"""
GRADE = """
["304"]
uns = "S30400"
en = ["1.4301"]
names = ["18-8"]
limits = { C = "<=0.07", Cr = "17.5-19.5", Ni = "8-10.5", Fe = "rest" }
density = 7.93
"""
SOURCES = '[book]\nkind = "handbook"\ncite = "A. Author, Book of Metals, 3rd ed., 2001"\n'


def _library(folder: Path, grade: str = GRADE, head: str = HEAD, sources: str = SOURCES) -> GradeLibrary:
    (folder / "sources.toml").write_text(sources, "utf-8")
    (folder / "steel.toml").write_text(head + grade, "utf-8")
    return read_library(folder)


def test_a_grade_is_read_with_its_head(tmp_path: Path) -> None:
    """Values of the grade and defaults of the file head make one record, each with its citation."""
    library = _library(tmp_path)

    grade = library.grade("304")
    assert (grade.family, grade.series, grade.uns, grade.en) == (
        "austenitic stainless",
        "300",
        "S30400",
        ("1.4301",),
    )
    assert (grade.magnet, grade.colour, grade.density_g_cm3) == (MagneticClass.NON, Colour.WHITE, 7.93)
    assert grade.citation_for("limits.Cr") == Citation(source_id="book", where="table 1")
    assert library.sources["book"].cite.startswith("A. Author")


def test_a_grade_overrides_the_head_and_cites_single_values(tmp_path: Path) -> None:
    """A key of the grade wins over the head, and a dotted source wins over its block."""
    grade = GRADE + 'magnet = "weak when cold worked"\nsources = { "limits.C" = "memory: recalled" }\n'

    loaded = _library(tmp_path, grade).grade("304")

    assert loaded.magnet is MagneticClass.WEAK_WHEN_WORKED
    assert loaded.citation_for("limits.C") == Citation(source_id="memory", where="recalled")
    assert loaded.citation_for("limits.Ni").source_id == "book"


def test_arrays_share_the_order_of_the_grades(tmp_path: Path) -> None:
    """Minimum, maximum and rest stand at row and column of their grade and element; NaN is not stated."""
    library = _library(tmp_path, GRADE + GRADE.replace('"304"', '"301"').replace("8-10.5", "6-8"))

    assert [grade.grade_id for grade in library.grades] == ["301", "304"]
    assert library.elements == ("C", "Cr", "Fe", "Ni")
    row, nickel, carbon, iron = (
        library.index_of("304"),
        *(library.elements.index(s) for s in ("Ni", "C", "Fe")),
    )
    assert (library.low[row, nickel], library.high[row, nickel]) == (8.0, 10.5)
    assert np.isnan(library.low[row, carbon]) and library.high[row, carbon] == 0.07
    assert library.is_rest[row, iron] and not library.is_rest[row, nickel]
    assert np.isnan(library.others_each).all() and library.others_total.shape == (2,)


def test_records_and_arrays_cannot_be_changed(tmp_path: Path) -> None:
    """Everybody shares the library, so nobody may write to it."""
    library = _library(tmp_path)

    with pytest.raises(ValueError, match="read-only"):
        library.low[0, 0] = 1.0
    with pytest.raises(TypeError):
        library.grade("304").limits["Cr"] = None  # type: ignore[index]
    with pytest.raises(AttributeError):
        library.grade("304").density_g_cm3 = 1.0  # type: ignore[misc]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("density = 7.93", 'density = "7.93"', "density: '7.93' needs a number of 0.5 to 23 g/cm3"),
        ("density = 7.93", "densty = 7.93", 'unknown key "densty" (nearest: "density")'),
        ("density = 7.93", "", "density is missing"),
        ("17.5-19.5", "19.5-17.5", "Cr: limit 19.5 to 17.5 wt %: needs 0 <= min <= max <= 100"),
        ("17.5-19.5", "17,5-19,5", 'Cr: limit "17,5-19,5" is not understood'),
        ('Cr = "17.5', 'cr = "17.5', 'cr: "cr" is no element symbol; meant "Cr"?'),
        ('Cr = "17.5-19.5"', "Cr = 18", 'Cr: 18 needs quotes and a sign: "<=18"'),
        ('Fe = "rest"', 'Fe = "<=50"', "the maxima sum to only 80.07 wt %"),
        ('Fe = "rest"', 'Mn = "<=2"', "Fe: the base has no limit"),
        ('Ni = "8-10.5"', 'Ni = "90-95"', "the minima sum to 107.50 wt %, which is over 100"),
        ('Ni = "8-10.5"', 'Ni = "rest"', '"rest" stands at Ni, Fe'),
        ('uns = "S30400"', 'uns = "30400"', 'uns: "30400" needs one capital letter and five figures'),
        (
            "density = 7.93",
            'density = 7.93\ngroup = "stainles"',
            '"stainles" is unknown (nearest: "stainless")',
        ),
        ("density = 7.93", 'density = 7.93\ncolour = "withe"', '"withe" is unknown (nearest: "white")'),
        ("density = 7.93", 'density = 7.93\nmagnet = "strng"', '"strng" is unknown (nearest: "strong")'),
        (
            "density = 7.93",
            'density = 7.93\nsources = { density = "bok" }',
            'source "bok" is not in sources.toml (nearest: "book")',
        ),
        (
            "density = 7.93",
            'density = 7.93\nsources = { "limits.Mo" = "book" }',
            "cites limits.Mo, but the grade states no Mo",
        ),
        (
            "density = 7.93",
            'density = 7.93\nsources = { dens = "book" }',
            '"dens" is no block (nearest: "density")',
        ),
        ("density = 7.93", 'density = 7.93\niacs = "50-30"', 'iacs: "50-30" needs "low-high" in % IACS'),
        ("density = 7.93", 'density = 7.93\niacs = "3"', "iacs has no source"),
        ("density = 7.93", 'density = 7.93\nforms = ["sheet"]', "forms has no source"),
        ("density = 7.93", "density = 7.93\nothers = { each = 0.05, sum = 1 }", 'others: unknown key "sum"'),
        ("density = 7.93", 'density = 7.93\nsums = { "Si" = "<=1" }', "a sum names two elements or more"),
        (
            "density = 7.93",
            'density = 7.93\nsums = { "Cr+Ni" = "<=20" }',
            "the minima of the parts sum to 25.5 wt %",
        ),
        ("density = 7.93", 'density = 7.93\ndiffers = ["Ni 8-11"]', "ELEMENT LIMIT: source[, note]"),
        ("density = 7.93", 'density = 7.93\ncast = "yes"', "cast: needs true or false"),
    ],
)
def test_a_broken_grade_names_file_grade_and_what_would_be_right(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    """Each fault comes out with the file, the grade, the element or key, and what would be right."""
    with pytest.raises(GradeDataError) as error:
        _library(tmp_path, GRADE.replace(old, new))

    assert 'steel.toml, grade "304"' in str(error.value)
    assert said in str(error.value)


def test_all_faults_come_out_at_once(tmp_path: Path) -> None:
    """Two faults in two grades make two lines of one message."""
    broken = GRADE.replace("17.5-19.5", "x") + GRADE.replace('"304"', '"301"').replace("7.93", "0.1")

    with pytest.raises(GradeDataError) as error:
        _library(tmp_path, broken)

    assert len(str(error.value).splitlines()) == 2


def test_a_dotted_source_without_quotes_gets_a_hint(tmp_path: Path) -> None:
    """The slip that TOML itself refuses is explained."""
    with pytest.raises(GradeDataError, match='in quotes: "limits.N"'):
        _library(tmp_path, GRADE + 'sources = { limits = "book", limits.C = "memory" }\n')


def test_an_id_is_unique_in_the_whole_library(tmp_path: Path) -> None:
    """Two files with one grade id are refused, and the message names both files."""
    (tmp_path / "again.toml").write_text(HEAD + GRADE, "utf-8")

    with pytest.raises(GradeDataError, match='steel.toml, grade "304": the id is taken in again.toml'):
        _library(tmp_path)


@pytest.mark.parametrize(
    ("sources", "said"),
    [
        ('[book]\nkind = "handbok"\ncite = "x"\n', 'kind "handbok" (nearest: "handbook")'),
        ('[book]\nkind = "handbook"\ncite = " "\n', "needs cite"),
        ('[book]\nkind = "handbook"\ncit = "x"\n', 'unknown key "cit" (nearest: "cite")'),
        ("book = 3\n", "needs a table"),
    ],
)
def test_a_source_says_what_it_is(tmp_path: Path, sources: str, said: str) -> None:
    """An entry of sources.toml without kind or text is refused by name."""
    with pytest.raises(GradeDataError) as error:
        _library(tmp_path, sources=sources)

    assert 'sources.toml, source "book"' in str(error.value)
    assert said in str(error.value)


def test_files_that_are_no_text_are_named(tmp_path: Path) -> None:
    """A file that is not UTF-8 is named, and other files of the folder are left alone."""
    (tmp_path / "broken.toml").write_bytes(b"family = '\xff'\n")
    (tmp_path / "prices.toml").write_text("[lead]\nprice = 2\n", "utf-8")

    with pytest.raises(GradeDataError, match=r"broken\.toml: not UTF-8"):
        _library(tmp_path)


def test_an_empty_folder_is_said(tmp_path: Path) -> None:
    """A folder without grade files is told."""
    with pytest.raises(GradeDataError, match="no grade file found"):
        read_library(tmp_path)


def test_the_shipped_library_is_whole() -> None:
    """At least 1,250 grades over every group, each figure within its bounds."""
    library = load()

    assert len(library) >= 1250
    assert {grade.group for grade in library.grades} == set(GROUPS)
    assert list(library.grades) == sorted(library.grades, key=lambda grade: grade.grade_id)
    assert not library.clashes
    low, high = np.nan_to_num(library.low), np.where(np.isnan(library.high), 100.0, library.high)
    assert (low <= high).all()
    assert (library.is_rest.sum(axis=1) <= 1).all()


def test_the_library_stands_alone() -> None:
    """Importing and loading the grade library brings in no screen, no store and no console."""
    code = (
        "import sys; from grade_library.library import load; "
        "import grade_library.naming.names, grade_library.card, grade_library.auditing.audit; load(); "
        "print([m for m in sys.modules if m.split('.')[0] in ('textual', 'sqlite3', 'console', 'scipy')])"
    )

    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )

    assert done.stdout.strip() == "[]"


WEIRD = (
    "3",
    "-1.5",
    "nan",
    "true",
    '""',
    '"x"',
    "[]",
    '["x"]',
    "[1, 2]",
    "{}",
    '{ a = "b" }',
    "{ Cr = 3 }",
    "1979-05-27",
)


@pytest.mark.parametrize("key", KEYS)
def test_no_value_of_a_key_breaks_the_loader(tmp_path: Path, key: str) -> None:
    """Whatever stands behind a key of a grade or the head, the file loads or is refused with a message."""
    for weird in WEIRD:
        for grade, head in ((f'["304"]\n{key} = {weird}\n', HEAD), (GRADE, f"{key} = {weird}\n")):
            try:
                _library(tmp_path, grade, head)
            except GradeDataError as error:
                assert "steel.toml" in str(error) or "no grade file" in str(error)
