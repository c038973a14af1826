"""A yard made from answers loads, says what every key is for, and is written whole or not at all."""

import os
import tomllib
from pathlib import Path

import pytest

from console.yard.errors import YardFileError
from console.yard.new.new_yard import usual_answers, write_new_yard, yard_text
from console.yard.new.new_yard_questions import AnswerError, questions
from console.yard.new.templates import templates
from console.yard.yard import SorterTime, Thresholds, Yard
from grade_library.library import GradeLibrary
from tests.console.yard.conftest import yard_of_text
from tests.yards import load_yard

NAMES = [name for name in templates() if name != "hold"]
BY_KEY = {question.key: question for question in questions()}


def made(answers: dict[str, str], library: GradeLibrary) -> Yard:
    return yard_of_text(yard_text(answers), library)


def test_all_defaults_make_a_yard_that_loads(tmp_path: Path, library: GradeLibrary) -> None:
    """A yard of nothing but defaults loads."""
    file = write_new_yard(tmp_path / "a" / "b", usual_answers())

    yard = load_yard(file.parent, library)

    assert file == tmp_path / "a" / "b" / "yard.toml"
    assert (yard.weight_unit, yard.currency, yard.people) == ("kg", "EUR", ("Sorter",))
    assert (yard.piece_scale.division_g, yard.piece_scale.largest_g) == (20, 300_000)
    assert (yard.ticket_scale.division_g, yard.ticket_scale.largest_g) == (20_000, 60_000_000)
    assert (yard.thresholds, yard.sorter) == (Thresholds(), SorterTime())
    assert {bay.code for bay in yard.bays} >= {"SSE", "YRD", "FEP", "HLD"}
    assert [path.name for path in file.parent.iterdir()] == ["yard.toml"]


def test_every_answer_lands_in_the_yard(library: GradeLibrary) -> None:
    """Each answer, however it was typed, is what the yard then says."""
    yard = made(
        {
            "name": "Hook & Sons",
            "weight_unit": "LB",
            "currency": "USD",
            "people": "Ann,  Bo ,",
            "bays": "4, stainless-3",
            "piece_division": "0.1 lb",
            "piece_largest": "500 lb",
            "technique": "LIBS",
            "yard_code": "N2",
        },
        library,
    )

    assert (yard.name, yard.weight_unit, yard.currency) == ("Hook & Sons", "lb", "USD")
    assert (yard.people, yard.technique, yard.terminal) == (("Ann", "Bo"), "libs", "N2-T1")
    assert (yard.piece_scale.division_g, yard.piece_scale.largest_g) == (45, 226_796)
    assert yard.ticket_scale.largest_g == 54_431_084  # 120,000 lb of 453.59237 g, the default in pounds
    chosen = templates()[NAMES[3]].text + templates()["stainless-300"].text
    assert len(yard.bays) == chosen.count("[[bay]]") + 1


@pytest.mark.parametrize("bays", [*NAMES, "all", "none", ", ".join(reversed(NAMES))])
def test_any_choice_of_bays_loads(bays: str, library: GradeLibrary) -> None:
    """Every choice of bay patterns makes a yard that loads, with one hold bay."""
    yard = made({"bays": bays}, library)

    assert yard.hold_bay.code == "HLD"
    assert (len(yard.bays) == 1) == (bays == "none")


def test_two_patterns_never_clash(library: GradeLibrary) -> None:
    """Nothing refused goes to a bay that only another pattern has; checked for every pair with the first."""
    for one in NAMES:
        made({"bays": f"{one}, {NAMES[0]}"}, library)


@pytest.mark.parametrize(
    "text", ['a "quoted" \\ name', "'''", "# [x]\n[[bay]]", "Ünal 金属", "\x1b[31mred", "$name ${people}"]
)
def test_typed_text_is_only_text(text: str, library: GradeLibrary) -> None:
    """No name can add a table, reach the terminal, or break the file."""
    yard = made({"name": text, "people": f"{text.replace(',', '')}, Bo"}, library)

    assert yard.name == " ".join(text.replace("\x1b", "�").split())
    assert yard.people == (yard.name, "Bo")
    assert "\x1b" not in yard_text({"name": text})


@pytest.mark.parametrize(
    ("key", "typed", "part"),
    [
        ("name", "  ", "needed"),
        ("name", "x" * 81, "at most 80"),
        ("weight_unit", "stone", "kg, lb, t, short ton"),
        ("currency", "", "such as EUR"),
        ("currency", "a b", "without a blank"),
        ("people", " , ", "At least one"),
        ("people", "Ann, ann", "twice"),
        ("bays", "", "at least one"),
        ("bays", "copper, gold", '"gold" is not one of'),
        ("bays", "aluminium", "can be aluminium-castings"),
        ("bays", "99", '"99" is not one of'),
        ("piece_division", "20", "names no unit"),
        ("piece_division", "20 stone", "stone"),
        ("piece_division", "0 g", "above 0"),
        ("piece_division", "-1 kg", "above 0"),
        ("piece_largest", "20 g", "above the division"),
        ("ticket_largest", "900 t", "above 200 t"),
        ("technique", "x-ray", "xrf, libs, lab"),
    ],
)
def test_a_wrong_answer_is_refused_and_says_what_would_be_right(key: str, typed: str, part: str) -> None:
    """A wrong answer is refused with its question and what would be right."""
    with pytest.raises(AnswerError) as caught:
        yard_text({key: typed})

    assert caught.value.key == key
    assert part in str(caught.value)


def test_defaults_follow_the_unit() -> None:
    """A yard that weighs in pounds is offered scales in pounds."""
    assert BY_KEY["piece_largest"].usual_with({"weight_unit": "kg"}) == "300 kg"
    assert BY_KEY["piece_largest"].usual_with({"weight_unit": "short ton"}) == "600 lb"
    assert BY_KEY["name"].usual_with({"weight_unit": "lb"}) == BY_KEY["name"].usual


def test_every_example_in_the_file_works_when_its_mark_is_taken_away(library: GradeLibrary) -> None:
    """Commented examples are checked by reading them."""
    lines = yard_text({}).splitlines()
    examples = [line for line in lines if line.startswith("#") and line[1:2] not in (" ", "")]

    yard = yard_of_text("\n".join(line[1:] if line in examples else line for line in lines), library)

    assert len(examples) > 12
    assert "gun2" in yard.techniques
    assert yard.readings_files.folder == "readings"
    assert [sample.name for sample in yard.check_samples] == ["316 coupon"]
    assert [check.kind.value for check in yard.checks] == ["magnet", "grind"]


def test_every_key_has_a_word_beside_it() -> None:
    """No key of the head stands without an explanation on its line or above its block."""
    head = yard_text({}).split("[thresholds]")[0]
    blocks = [block for block in head.split("\n\n") if block.strip()]

    bare = [b for b in blocks if "#" not in b and not b.startswith("name")]

    assert bare == []
    assert max(len(line) for line in yard_text({}).splitlines()) <= 130


def test_a_yard_that_is_there_is_never_touched(tmp_path: Path) -> None:
    """A yard.toml that is there is kept, and nothing is laid beside it."""
    (tmp_path / "yard.toml").write_text("mine", encoding="utf-8")

    with pytest.raises(YardFileError, match="there already"):
        write_new_yard(tmp_path, {})

    assert (tmp_path / "yard.toml").read_text(encoding="utf-8") == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["yard.toml"]


def test_a_yard_that_appears_meanwhile_is_never_touched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another terminal may finish first: the name is taken by a step that cannot overwrite."""
    real = os.fsync

    def somebody_else(descriptor: int) -> None:
        real(descriptor)
        (tmp_path / "yard.toml").write_text("theirs", encoding="utf-8")

    monkeypatch.setattr(os, "fsync", somebody_else)
    with pytest.raises(YardFileError, match="there already"):
        write_new_yard(tmp_path, {})

    assert (tmp_path / "yard.toml").read_text(encoding="utf-8") == "theirs"
    assert [path.name for path in tmp_path.iterdir()] == ["yard.toml"]


@pytest.mark.parametrize("trouble", [KeyboardInterrupt(), OSError(28, "No space left on device")])
def test_an_interruption_leaves_neither_file_nor_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, trouble: BaseException
) -> None:
    """A full disk or Ctrl C while writing leaves the disk as it was."""

    def fails(_: int) -> None:
        raise trouble

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises((KeyboardInterrupt, YardFileError)):
        write_new_yard(tmp_path / "deep" / "yard", {})

    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    """A file where the folder should be is refused in words."""
    (tmp_path / "f").write_text("", encoding="utf-8")

    with pytest.raises(YardFileError, match="is a file"):
        write_new_yard(tmp_path / "f" / "yard", {})


def test_the_file_is_toml_with_one_hold_bay() -> None:
    """The file that is written is TOML and has one hold bay."""
    table = tomllib.loads(yard_text({}))

    assert sum(bay.get("is_hold", False) for bay in table["bay"]) == 1
