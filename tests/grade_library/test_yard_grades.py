"""The yard's own grades: added, laid over the shipped ones, and said where they disagree."""

import tomllib
from pathlib import Path

import pytest

from grade_library.card import card_text
from grade_library.errors import GradeDataError
from grade_library.grade import Grade
from grade_library.library import load
from grade_library.loading.grade_file import KEYS, read_grade
from grade_library.loading.grade_table import grade_table
from grade_library.loading.grade_template import new_grade_template
from grade_library.loading.table_reader import TableReader
from grade_library.naming.names import NameIndex

OWN = """
["Acme 9"]
family = "customer alloys"
group = "stainless"
base = "Fe"
names = ["nine"]
limits = { Cr = "17-19", Ni = "8-11", Mo = "4-5", Fe = "rest" }
density = 7.9
magnet = "non"
colour = "white"
"""


def _file(folder: Path, text: str) -> Path:
    file = folder / "grades.toml"
    file.write_text(text, "utf-8")
    return file


def test_a_new_grade_stands_beside_the_shipped_ones(tmp_path: Path) -> None:
    """The yard's grade is found by its names, is the yard's, and every value of it is cited as the yard's."""
    library = load(_file(tmp_path, OWN))

    grade = library.grade("Acme 9")
    assert len(library) == len(load()) + 1
    assert grade.owner == "yard"
    assert {citation.source_id for citation in grade.sources.values()} == {"yard"}
    assert NameIndex(library).resolve("nine").grade_ids == frozenset({"Acme 9"})  # type: ignore[union-attr]
    assert library.clashes == ()


def test_words_keep_their_meaning_beside_an_own_grade(tmp_path: Path) -> None:
    """An own grade that moves the rows of all others joins its group, and every word means what it meant."""
    own = NameIndex(load(_file(tmp_path, OWN)))
    shipped = NameIndex(load())

    for word in ("Kupfer", "yellow brass", "Honey", "304", "stainless"):
        meant, means = shipped.resolve(word), own.resolve(word)
        assert meant is not None and means is not None
        assert means.grade_ids - meant.grade_ids == ({"Acme 9"} if word == "stainless" else set())
        assert meant.grade_ids <= means.grade_ids and meant.material_ids == means.material_ids


def test_an_override_changes_only_what_it_states(tmp_path: Path) -> None:
    """One limit and the density are the yard's; the others stay the library's, with their sources."""
    shipped = load().grade("304")

    library = load(_file(tmp_path, '["304"]\nlimits = { Cr = "17-20" }\ndensity = 7.9\n'))

    grade = library.grade("304")
    assert (grade.limits["Cr"].high, grade.density_g_cm3, grade.owner) == (20.0, 7.9, "yard")
    assert grade.limits["Ni"] == shipped.limits["Ni"]
    assert grade.citation_for("limits.Cr").source_id == "yard"
    assert grade.citation_for("limits.Ni") == shipped.citation_for("limits.Ni")
    assert [clash.split(":")[0] for clash in library.clashes] == ["304, Cr", "304, density"]
    assert "the yard says 17-20, the library 17.5-19.5" in library.clashes[0]
    assert load().grade("304") == shipped


def test_a_name_that_is_taken_is_a_clash(tmp_path: Path) -> None:
    """A new grade under a shipped grade's name, or with its limits, is reported."""
    shipped = grade_table(load().grade("316"))
    limits = ", ".join(f'{symbol} = "{limit}"' for symbol, limit in shipped["limits"].items())
    text = OWN.replace('"nine"', '"316"').replace(
        'Cr = "17-19", Ni = "8-11", Mo = "4-5", Fe = "rest"', limits
    )

    clashes = load(_file(tmp_path, text)).clashes

    assert 'Acme 9: the name "316" is also 316 of the library' in clashes
    assert "Acme 9: has the same limits as 316 of the library" in clashes


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (OWN.replace("17-19", "19-17"), 'grades.toml, grade "Acme 9", Cr: limit 19 to 17'),
        (OWN.replace("density", "densty"), 'unknown key "densty" (nearest: "density")'),
        (
            '["304"]\nlimits = { Cr = "lots" }\n',
            'grades.toml, grade "304", Cr: limit "lots" is not understood',
        ),
        ("[oops", "not valid TOML"),
        ("familly = 'x'\n" + OWN, 'head: unknown key "familly" (nearest: "family")'),
    ],
)
def test_a_broken_file_names_grade_and_element(tmp_path: Path, text: str, said: str) -> None:
    """A wrong grades file of the yard is told with grade and element."""
    with pytest.raises(GradeDataError) as error:
        load(_file(tmp_path, text))

    assert said in str(error.value)


def test_a_file_that_cannot_be_read_is_said(tmp_path: Path) -> None:
    """Bytes that are no text and a folder in the file's place give a message; a missing file is none."""
    bad = tmp_path / "bad.toml"
    bad.write_bytes(b"\xff\xfe")

    with pytest.raises(GradeDataError, match="not UTF-8"):
        load(bad)
    with pytest.raises(GradeDataError, match="cannot be read"):
        load(tmp_path)
    assert load(tmp_path / "missing.toml") is load()


@pytest.mark.parametrize("name", ["customer alloy 7", 'he said "hi"', "ünïcode", "a.b", "7"])
def test_the_template_loads_as_it_stands(tmp_path: Path, name: str) -> None:
    """Whatever the name, the template is a grade file with a comment for every value."""
    template = new_grade_template(name)

    library = load(_file(tmp_path, template))

    assert library.grade(name).owner == "yard"
    assert set(tomllib.loads(template)) == {name}
    lines = template.splitlines()
    assert sum(line.startswith("# ") for line in lines) >= 10


@pytest.mark.parametrize("name", ["", "  ", "limits", "family"])
def test_a_template_needs_a_name(name: str) -> None:
    """A template without a name is refused."""
    with pytest.raises(GradeDataError, match="needs a name"):
        new_grade_template(name)


def test_the_card_says_whose_value_is_whose(tmp_path: Path) -> None:
    """The card of an overridden grade cites the yard for its values and the document for the others."""
    library = load(_file(tmp_path, '["304"]\ndensity = 7.9\n'))

    card = card_text(library.grade("304"), library, 100, twins=None)

    assert "the yard's own entry" in card
    assert any(
        line.split()[:1] == ["density"] and "yard's own grade file" in line for line in card.splitlines()
    )


@pytest.mark.parametrize("grade", load().grades[::7], ids=lambda grade: grade.grade_id)
def test_a_grade_written_down_reads_back(grade: Grade) -> None:
    """The table of any shipped grade gives the same grade again."""
    reader = TableReader(grade_table(grade))

    assert read_grade(grade.grade_id, reader, load().sources, "library") == grade
    assert not reader.problems


WEIRD = ("3", "nan", "true", '""', '"x"', "[]", '["x"]', "{}", '{ a = "b" }', "{ Cr = 3 }", "1979-05-27")


@pytest.mark.parametrize("key", KEYS)
def test_no_value_of_a_key_breaks_the_overlay(tmp_path: Path, key: str) -> None:
    """Whatever the yard writes behind a key, its file loads or is refused with a message."""
    for weird in WEIRD:
        for text in (
            f'["304"]\n{key} = {weird}\n',
            f'["new"]\n{key} = {weird}\n',
            f"{key} = {weird}\n" + OWN,
        ):
            try:
                load(_file(tmp_path, text))
            except GradeDataError as error:
                assert "grades.toml" in str(error)
