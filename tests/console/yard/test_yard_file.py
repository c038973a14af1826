"""yard.toml is read once and checked; whatever is wrong is named with its place and what would be right."""

from pathlib import Path

import pytest

from console.yard.errors import YardFileError
from console.yard.yard import Thresholds
from grade_library.facts import Surface
from grade_library.library import GradeLibrary
from tests.console.yard.conftest import spoil
from tests.yards import load_yard


def test_a_right_file_becomes_a_yard(folder: Path, library: GradeLibrary) -> None:
    """What stands in a right file is what the yard says."""
    yard = load_yard(folder, library)

    assert (yard.name, yard.weight_unit, yard.currency, yard.people) == (
        "test yard",
        "kg",
        "EUR",
        ("Ilse", "Jory"),
    )
    assert (yard.piece_scale.division_g, yard.piece_scale.largest_g) == (20, 300_000)
    assert yard.ticket_scale.largest_g == 3_000_000
    assert yard.hold_bay.code == "HLD"
    stainless = yard.bay("stn")
    assert {"304", "316"} <= stainless.grade_ids
    assert "201" in stainless.refused_ids
    assert stainless.bale_g == 800_000
    assert stainless.takes("304") and not stainless.takes("201") and not stainless.takes("6061")
    assert yard.bay("STM").refused_surfaces == {Surface.PAINTED}


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('name = "test yard"\n', "", "yard.toml, name: is missing"),
        ('name = "test yard"', "name = 5", "yard.toml, name: 5 is no text"),
        (
            'weight_unit = "kg"',
            'weight_unit = "stone"',
            'weight_unit: "stone" is not one of kg, lb, t, short ton',
        ),
        ("currency", "curency", 'curency: this key is not known; did you mean "currency"?'),
        ('people = ["Ilse", "Jory"]', "people = []", "people: nobody is named"),
        ('people = ["Ilse", "Jory"]', 'people = ["Ilse", "Ilse"]', "people: a name stands there twice"),
        ('division = "20 g"', 'division = "20"', 'piece_scale, division: "20" names no unit'),
        (
            'division = "20 g"',
            'division = "900 kg"',
            "piece_scale, division: 900 kg needs to be below largest",
        ),
        (
            'largest = "3 t"',
            'largest = "3 stone"',
            'ticket_scale, largest: "3 stone": unit "stone" is not known',
        ),
        ("settled = 0.90", "settled = 90", "thresholds, settled: 90 is outside 0.5 to 1"),
        ("leaning = 0.60", "leaning = 0.95", "thresholds, leaning: 0.95 is above settled, 0.9"),
        ("veto = 0.05", "veto = true", "thresholds, veto: True is no number"),
        ('accepts = ["300"]', "accepts = []", "bay STN, accepts: is empty"),
        ('accepts = ["300"]', 'accepts = ["30 series"]', 'bay STN, accepts: "30 series" names no group'),
        ('refuses = ["200"]', 'refuses = ["steinless"]', 'near it: "stainless"'),
        ('refuses = ["200"]', 'refuses = ["stainless"]', "bay STN, refuses: refuses everything"),
        (
            "{ Cu = 0.75 }",
            "{ Copper = 0.75 }",
            "bay STN, element_limits: Copper is not the symbol of an element, write Cu",
        ),
        ("{ Cu = 0.75 }", "{ Cu = 175 }", "bay STN, element_limits, Cu: 175 is outside 0 to 100"),
        ('["painted"]', '["paint"]', 'bay STM, refused_surfaces: "paint" is not one of bare, painted'),
        (
            "refuses_attachments = true",
            "refuses_attachments = 1",
            "refuses_attachments: 1 is neither true nor false",
        ),
        ("price_per_kg = 1.4\n", "", "bay STN, price_per_kg: is missing"),
        ("price_per_kg = 1.4\n", 'price_per_kg = "1.4"\n', "bay STN, price_per_kg: '1.4' is no number"),
        ("price_per_kg = 1.4\n", "price_per_kg = nan\n", "bay STN, price_per_kg: nan is outside"),
        (
            "price_per_kg = 1.4\n",
            "prise_per_kg = 1.4\n",
            'prise_per_kg: this key is not known; did you mean "price_per_kg"?',
        ),
        ('bale = "800 kg"', 'bale = "-1 kg"', "bay STN, bale: weight"),
        ('code = "STM"', 'code = "stn"', "bay stn, code: two bays have it"),
        ('code = "STM"', 'code = "SB"', "bay SB, code: SB is the symbol of antimony"),
        ('code = "STM"', 'code = "NA"', "bay NA, code: NA is the symbol of sodium"),
        ('code = "STM"', 'code = "EXT"', 'bay EXT, code: "EXT" already means "extrusion"'),
        ('code = "STM"', 'code = "KR"', "symbol of krypton"),
        ('code = "STM"', 'code = "KY"', 'already means "surface yellow"'),
        ('code = "STM"', 'code = "LBS"', '"LBS" is a unit'),
        ('code = "STM"', 'code = "TIN"', '"TIN" names a group'),
        ('code = "STM"', 'code = "S1"', "needs two or three letters"),
        ('code = "STM"', 'code = "LONG"', "needs two or three letters"),
        ('code = "STM"\n', "", "yard.toml, bay 2, code: is missing"),
        (
            "is_hold = true",
            "is_hold = false\naccepts = ['stainless']\nprice_per_kg = 1",
            "exactly one bay needs is_hold",
        ),
        ('[[bay]]\ncode = "STM"', '[[bay]]\nis_hold = true\ncode = "STM"', "STM, HLD say so"),
        ("veto = 0.05", "veto = 0.05\nat_risk = 0.7", "thresholds, at_risk: 0.7 is outside 0.01 to 0.5"),
        ("veto = 0.05", 'veto = 0.05\nsmall_bay = "50"', 'thresholds, small_bay: "50" names no unit'),
        (
            "[piece_scale]",
            "[piece_scales]",
            'piece_scales: this key is not known; did you mean "piece_scale"?',
        ),
    ],
)
def test_what_is_wrong_is_named(folder: Path, library: GradeLibrary, old: str, new: str, said: str) -> None:
    """Each mistake in yard.toml is named with its place."""
    text = (folder / "yard.toml").read_text(encoding="utf-8")
    (folder / "yard.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    assert old in text

    with pytest.raises(YardFileError) as caught:
        load_yard(folder, library)

    assert said in str(caught.value)
    assert "yard.toml" in str(caught.value)


def test_what_counts_as_a_risk_is_the_yards_own(folder: Path, library: GradeLibrary) -> None:
    """Chance and weight from which a bay's limits are told; usual ones where the file names none."""
    assert load_yard(folder, library).thresholds == Thresholds()
    text = (folder / "yard.toml").read_text(encoding="utf-8")
    own = text.replace("veto = 0.05", 'veto = 0.05\nat_risk = 0.25\nsmall_bay = "0.2 t"\nroom_cost = 1.5')
    (folder / "yard.toml").write_text(own, encoding="utf-8")

    thresholds = load_yard(folder, library).thresholds

    assert (thresholds.at_risk, thresholds.small_bay_g, thresholds.room_cost) == (0.25, 200_000, 1.5)


def test_check_samples_are_read(folder: Path, library: GradeLibrary) -> None:
    """Check samples arrive with their known composition."""
    with (folder / "yard.toml").open("a", encoding="utf-8") as file:
        file.write('[[check_sample]]\nname = "316 coupon"\nknown_wt_pct = { Cr = 16.8, Ni = 10.2 }\n')

    assert [dict(sample.known) for sample in load_yard(folder, library).check_samples] == [
        {"Cr": 16.8, "Ni": 10.2}
    ]


def test_a_missing_file_says_how_to_make_one(tmp_path: Path, library: GradeLibrary) -> None:
    """A missing yard.toml is answered with the command that makes one."""
    with pytest.raises(YardFileError, match="baywright new"):
        load_yard(tmp_path, library)


def test_broken_toml_says_where(folder: Path, library: GradeLibrary) -> None:
    """A file that is no TOML is told with its line."""
    spoil(folder, 'currency = "EUR"', 'currency = "EUR')

    with pytest.raises(YardFileError, match="not valid TOML.*line 4"):
        load_yard(folder, library)


def test_a_file_of_other_bytes_says_so(folder: Path, library: GradeLibrary) -> None:
    """A file that is no UTF-8 is told so."""
    (folder / "yard.toml").write_bytes(b'name = "M\xfcller"')

    with pytest.raises(YardFileError, match="is not UTF-8 text"):
        load_yard(folder, library)


def test_no_bay_at_all(folder: Path, library: GradeLibrary) -> None:
    """A yard without bays is told how a bay begins."""
    (folder / "yard.toml").write_text('name = "x"\n', encoding="utf-8")

    with pytest.raises(YardFileError, match=r"bay: there is none; every bay starts with a line \[\[bay\]\]"):
        load_yard(folder, library)


def test_names_are_cleaned(folder: Path, library: GradeLibrary) -> None:
    """A name in yard.toml cannot reach the terminal as an escape sequence."""
    spoil(folder, 'name = "18-8"', 'name = "18-8\\u001b[31m"')

    assert "\x1b" not in load_yard(folder, library).bay("STN").name
