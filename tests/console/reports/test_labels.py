"""Tags and signs, and the codes on them."""

import re
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from xml.etree import ElementTree

import pytest
import segno

from console.cli import main
from console.desk import Desk
from console.reports.labels.code import CodeKind, LabelError, code_of, scanned_form
from console.reports.labels.label import Label, label_svg, labels_html

SVG = "{http://www.w3.org/2000/svg}"
TAG = Label(tag="T1-H7", rows=("12.40 kg", "<b>&amp;", "x" * 60))


def modules(path: str, width: int, height: int) -> list[list[bool]]:
    """Return which modules a path paints black."""
    rows = [[False] * width for _ in range(height)]
    for x, y, length in (map(int, found) for found in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", path)):
        rows[y][x : x + length] = [True] * length
    return rows


@pytest.mark.parametrize("tag", ["", "-", "T1-Hß", "T1 H7", "T1-H7;"])
def test_what_a_scanner_cannot_type_is_refused(tag: str) -> None:
    """Only letters A to Z and digits come out alike on any keyboard."""
    with pytest.raises(LabelError, match="cannot be printed as a code"):
        scanned_form(tag)


def test_the_qr_code_is_that_of_the_content_with_white_round_it() -> None:
    """The path paints the matrix that segno makes, four white modules from every edge."""
    code = code_of("T1H7", CodeKind.QR)
    matrix = [[bool(one) for one in row] for row in segno.make_qr("T1H7", error="q").matrix]

    painted = modules(code.path, code.width, code.height)

    assert [row[4:-4] for row in painted[4:-4]] == matrix
    assert not any(any(row) for row in painted[:4] + painted[-4:])
    assert not any(any(row[:4] + row[-4:]) for row in painted)


def test_the_bars_are_code_128_of_the_content() -> None:
    """Start B, T 1 H 7, check character (104 + 52 + 2*17 + 3*40 + 4*23) mod 103 = 93, stop, and white.

    Source: ISO/IEC 15417, check character and patterns of set B (memory).
    """
    code = code_of("T1H7", CodeKind.CODE128)
    [bars] = modules(code.path, code.width, 1)

    start, t, one, h, seven = "11010010000", "11011100010", "10011100110", "11000101000", "11101101110"
    check, stop = "10100011110", "1100011101011"
    drawn = "".join("1" if black else "0" for black in bars)
    assert drawn == f"{'0' * 10}{start}{t}{one}{h}{seven}{check}{stop}{'0' * 10}"


@pytest.mark.parametrize("kind", CodeKind)
@pytest.mark.parametrize("tag", ["T1-H7", "gate-2-ALO-0003", "ALO"])
def test_everything_lies_on_the_label(kind: CodeKind, tag: str) -> None:
    """Code and letters are within the edges, and the code is large enough to be read."""
    root = ElementTree.fromstring(label_svg(Label(tag=tag, rows=("a", "b " * 40, "c")), kind))
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    texts = [one for one in root.iter(f"{SVG}text")]
    group = root.findall(f"{SVG}g")[1]
    x, y, x_scale, y_scale = map(float, re.findall(r"[\d.]+", group.attrib["transform"]))
    code = code_of(scanned_form(tag), kind)

    assert texts[0].text == tag
    assert 3 + 0.62 * float(texts[0].attrib["font-size"]) * len(tag) <= (x or width)
    assert x + code.width * x_scale <= width + 0.01
    assert y + code.height * y_scale <= height
    assert x_scale >= 0.25  # [mm] narrowest bar that usual scanners read; memory
    top = y if kind is CodeKind.CODE128 else height
    assert all(float(one.attrib["y"]) + 1 < top for one in texts)


def test_what_people_typed_stays_text() -> None:
    """Marks of HTML in a row are shown as they are."""
    html = labels_html([TAG], CodeKind.QR, "Yard <1>")

    assert "&lt;b&gt;&amp;amp;" in html
    assert "<b>" not in html
    assert f">{'x' * 44}<" in html and f">{'x' * 16}<" in html
    assert "Yard &lt;1&gt;" in html


@pytest.mark.parametrize(("kind", "most"), [(CodeKind.QR, 4), (CodeKind.CODE128, 3)])
def test_a_long_row_goes_on_in_the_next_and_ends_behind_a_word(kind: CodeKind, most: int) -> None:
    """A free row takes it; what has no room is left off with dots, never in the middle of a word."""
    words = "takes 1xxx, 3xxx, 4xxx, 5xxx, 6xxx, 8xxx, material: aluminium cans and what else is there"
    sign = Label(tag="ALO", rows=("alu low copper", words, words), is_sign=True)
    rows = [one.text or "" for one in ElementTree.fromstring(label_svg(sign, kind)).iter(f"{SVG}text")][1:]

    assert len(rows) == most and max(map(len, rows)) <= 44
    assert rows[0] == "alu low copper"
    left = [row.removesuffix(" …") for row in rows[1:]]
    assert [row.endswith("…") for row in rows] == [False] * (most - 2) + [True, True]
    assert all(f"{row} " in f"{words} " and not row.endswith(" ") for row in left)


def test_the_command_prints_what_is_there(
    yard_folder: Path, clock: Callable[[], datetime], capsys: pytest.CaptureFixture[str]
) -> None:
    """Tags of holds and bales, signs of bays; what is not there is said."""
    desk = Desk.open(yard_folder, now=clock)
    desk.tally(desk.consider("3 ? ; shaft of the crane that lay behind the third gate since March"))
    desk.tally(desk.consider("50 304 stn"))
    tag = desk.bays.draw_down("STN", "all", "sold").made.bale.tag
    desk.bays.draw_down("STN", "2 kg", "again")
    desk.undo()
    desk.close()

    def printed(*words: str) -> tuple[int, str]:
        status = main(["label", *words, "--yard", str(yard_folder)])
        return status, "".join(capsys.readouterr())

    status, holds = printed("--holds")
    assert (status, ">T1-H1<" in holds, holds.count("<svg")) == (0, True, 1)
    assert ">3 ? ; shaft of the crane that lay behind the<" in holds and ">third gate since March<" in holds
    assert (holds.count("shaft"), "waits" in holds) == (1, False)
    status, two = printed("t1-h1", tag)
    assert (status, two.count("<svg"), f">{tag}<" in two) == (0, 2, True)
    status, signs = printed("--bays", "--code", "code128")
    assert (status, ">ALO<" in signs, "takes 1xxx, 3xxx" in signs) == (0, True, True)
    for words, said in (
        (("T1-H9",), 'has the tag "T1-H9"'),
        (("T1-STN-0002",), 'has the tag "T1-STN-0002"'),
        (("--bay", "XXX"), 'Bay "XXX" is not in yard.toml'),
        ((), "which labels?"),
        (("--bays", "--form", "svg"), "writes one label"),
    ):
        status, told = printed(*words)
        assert status == 2
        assert said in told
