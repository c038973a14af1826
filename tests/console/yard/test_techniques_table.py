"""A yard's own techniques: read from yard.toml, refused in words, used wherever a reading comes in."""

from pathlib import Path

import pytest

from console.entry.editing.complete import complete
from console.entry.parse import parse_line
from console.yard.errors import YardFileError
from console.yard.file.fields import Fields
from console.yard.file.techniques_table import techniques_from
from console.yard.yard import Yard
from grade_library.library import GradeLibrary
from grade_library.matcher.matching import identify
from grade_library.naming.names import NameIndex
from grade_library.technique import profiles
from tests.console.yard.conftest import SMALL_YARD, spoil, yard_of_text
from tests.yards import load_yard

GUN = """
[techniques.Gun2]
like = "xrf"
label = "old x-ray gun"
unseen = ["C", "N"]
[techniques.Gun2.elements]
Ni = { a = 1.5, b = 0.1, lod = 3.0 }
"""


def with_gun(library: GradeLibrary, top: str = "", more: str = "") -> Yard:
    return yard_of_text(top + SMALL_YARD + GUN + more, library)


def test_without_a_table_the_shipped_profiles_are_the_same_object(
    folder: Path, library: GradeLibrary
) -> None:
    """What follows from a profile is kept by its identity, so nothing is worked out twice."""
    assert load_yard(folder, library).techniques is profiles()


def test_an_own_technique_lies_over_the_shipped_one(library: GradeLibrary) -> None:
    """What the table names is new, what it does not name is as shipped, and the shipped ones stay."""
    known = with_gun(library).techniques

    gun, xrf = known["gun2"], known["xrf"]
    assert (gun.key, gun.label, gun.works_like) == ("gun2", "old x-ray gun", "xrf")
    assert gun.model("Ni").lod == 3.0
    assert gun.model("Cr") == xrf.model("Cr")
    assert gun.unseen == {"C", "N"}
    assert xrf is profiles()["xrf"]


def test_a_shipped_technique_can_be_changed_for_the_yard(library: GradeLibrary) -> None:
    """A yard can change one figure of a shipped technique, for itself alone."""
    table = "[techniques.xrf.elements]\nPb = { a = 0.2, b = 0.1, lod = 0.4 }\n"

    yard = yard_of_text(SMALL_YARD + table, library)

    assert yard.techniques["xrf"].model("Pb").lod == 0.4
    assert yard.techniques["libs"] is profiles()["libs"]
    assert profiles()["xrf"].model("Pb").lod == 0.06


def test_every_place_that_names_a_technique_takes_the_own_one(library: GradeLibrary) -> None:
    """The yard's usual technique, readings files and check samples."""
    coupon = '[[check_sample]]\nname = "316 coupon"\nknown_wt_pct = { Ni = 10.2 }\n'
    yard = with_gun(library, 'technique = "GUN2"\n', coupon)

    assert yard.technique == "gun2"
    assert yard.readings_files.technique == "gun2"
    assert yard.readings_files.techniques is yard.techniques
    assert yard.check_samples[0].technique == "gun2"


def test_the_entry_line_takes_its_name_and_its_detection_limit(library: GradeLibrary) -> None:
    """A technique of the yard's own is a word of the line, with its own detection limits."""
    yard = with_gun(library)

    parsed = parse_line("12.4 cr18.2 ni nd Gun2", names=NameIndex(library), yard=yard)

    reading = parsed.facts.shots[0].reading
    assert parsed.problems == ()
    assert (reading.technique, reading.below) == ("gun2", {"Ni": 3.0})
    assert parsed.tokens[-1].meaning == "reading by old x-ray gun"
    assert any("gun2" in word for word in complete("12.4 cr18 gu", 12, None, yard).ways)
    assert parse_line("12.4 gun2", names=None, yard=None).problems


def test_a_second_technique_on_one_line_is_asked_back(library: GradeLibrary) -> None:
    """Two techniques on a line are asked back."""
    parsed = parse_line("12.4 cr18 gun2 xrf", names=None, yard=with_gun(library))

    assert "keep one" in parsed.problems[0]


def test_a_blunt_analyser_leaves_the_answer_more_open(library: GradeLibrary) -> None:
    """The same figures by a gun that hardly sees nickel say less about it."""
    yard = with_gun(library)

    sharp, blunt = (
        identify(
            parse_line(f"12.4 cr18.2 ni8.1 mn1.5 fe71.3 {technique}", names=None, yard=yard).facts,
            library,
            technique_profiles=yard.techniques,
        )
        for technique in ("xrf", "gun2")
    )

    assert blunt.warnings == () or "no profile" not in " ".join(blunt.warnings)
    assert sharp.best is not None and blunt.best is not None
    assert blunt.best.probability < sharp.best.probability


@pytest.mark.parametrize(
    ("table", "parts"),
    [
        ("[techniques.gun]\nlabel = 'x'\n", ("techniques.gun", "`like`", "xrf")),
        ("[techniques.gun]\nlike = 'xfr'\n", ("techniques.gun", "'xfr'", "xrf")),
        ("[techniques.gun]\nlike = 'xrf'\nunsen = []\n", ("techniques.gun", "'unsen'", "unseen")),
        ("[techniques.gun]\nlike = 'xrf'\nunseen = 'C'\n", ("techniques.gun, unseen", 'unseen = ["C", "N"]')),
        ("[techniques.gun]\nlike = 'xrf'\nnormalises = 'no'\n", ("techniques.gun, normalises", "= true")),
        ("[techniques.gun]\nlike = 'xrf'\nelements = 3\n", ("techniques.gun, elements", "Pb = {")),
        (
            "[techniques.gun]\nlike = 'xrf'\n[techniques.gun.elements]\nPB = { a = 1, b = 0, lod = 1 }\n",
            ("techniques.gun", "'PB'", "Cr, not CR"),
        ),
        (
            "[techniques.gun]\nlike = 'xrf'\n[techniques.gun.elements]\nPb = { a = 0.1, b = 0.1 }\n",
            ("techniques.gun, Pb", "lod", "missing"),
        ),
        (
            "[techniques.gun]\nlike = 'xrf'\n[techniques.gun.elements]\nPb = { a = 'x', b = 0, lod = 1 }\n",
            ("techniques.gun, Pb", "no number"),
        ),
        (
            "[techniques.gun]\nlike = 'xrf'\n[techniques.gun.elements]\nPb = { a = nan, b = 0, lod = 1 }\n",
            ("techniques.gun, Pb", "above 0"),
        ),
        (
            "[techniques.gun]\nlike = 'xrf'\n[[techniques.gun.overlaps]]\nelement = 'Pb'\n",
            ("techniques.gun, overlaps", "under"),
        ),
        ("[techniques.Brass]\nlike = 'xrf'\n", ("techniques.Brass", "grade library")),
        ("[techniques.laser]\nlike = 'xrf'\n", ("techniques.laser", "already means")),
        ("[techniques.x3]\nlike = 'xrf'\n", ("techniques.x3", "already means")),
        ("[techniques.battery]\nlike = 'xrf'\n", ("techniques.battery", "caution")),
        ("[techniques.Ni]\nlike = 'xrf'\n", ("techniques.Ni", "nickel")),
        ("[techniques.kg]\nlike = 'xrf'\n", ("techniques.kg", "another name")),
        ("[techniques.sources]\nlike = 'xrf'\n", ("techniques.sources", "another name")),
        ("[techniques.stn]\nlike = 'xrf'\n", ("techniques.stn", "bay")),
        ("[techniques.'old gun']\nlike = 'xrf'\n", ("techniques.old gun", "letters, figures and dashes")),
        ("[techniques.gun]\nlike = 'xrf'\n[techniques.GUN]\nlike = 'lab'\n", ("techniques.GUN", "capitals")),
    ],
)
def test_a_wrong_table_is_refused_with_its_place(
    folder: Path, library: GradeLibrary, table: str, parts: tuple[str, ...]
) -> None:
    """The message names file, table and element, and what would be right."""
    file = folder / "yard.toml"
    file.write_text(SMALL_YARD + table, encoding="utf-8")

    with pytest.raises(YardFileError) as caught:
        load_yard(folder, library)

    assert str(caught.value).startswith("yard.toml, techniques.")
    assert [part for part in parts if part not in str(caught.value)] == []


def test_an_unknown_usual_technique_names_those_there_are(folder: Path, library: GradeLibrary) -> None:
    """A technique that is not there is answered with those there are."""
    spoil(folder, 'weight_unit = "kg"\n', 'weight_unit = "kg"\ntechnique = "gun9"\n')

    with pytest.raises(YardFileError, match=r'yard.toml, technique: "gun9" is not one of lab, xrf, libs'):
        load_yard(folder, library)


def test_a_label_cannot_reach_the_terminal_as_an_escape_sequence() -> None:
    """A label is text: nothing of it is obeyed by a terminal."""
    known = techniques_from(
        Fields("yard.toml", {"techniques": {"gun": {"like": "xrf", "label": "a\x1b[31mb"}}})
    )

    assert "\x1b" not in known["gun"].label
