"""One readings file in whatever encoding, delimiter and number format it comes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.readings.csv_rows import ReadingsFileError, pieces_of
from console.readings.file_text import rows_of
from console.readings.mapping import ReadingsMapping
from grade_library.technique import profiles

ROW = {"piece": "A1", "Cr": "17.1", "Ni": "10.9"}


def cells(content: str | bytes, mapping: ReadingsMapping | None = None) -> list[dict[str, str]]:
    raw = content if isinstance(content, bytes) else content.encode()
    return [dict(row.cells) for row in rows_of(raw, "a", mapping or ReadingsMapping()).rows]


@pytest.mark.parametrize(
    "content",
    [
        "piece,Cr,Ni\nA1,17.1,10.9\n",
        "piece;Cr;Ni\r\nA1;17.1;10.9\r\n",
        "piece\tCr\tNi\rA1\t17.1\t10.9\r",
        "sep=;\npiece;Cr;Ni\nA1;17.1;10.9\n",
        'piece|"Cr"|Ni\n"A1"|17.1| 10.9 \n\n',
        b"\xef\xbb\xbfpiece,CR,ni\nA1,17.1,10.9\n",
        "piece;Cr;Ni\nA1;17.1;10.9\n".encode("utf-16"),
    ],
)
def test_delimiters_line_ends_and_encodings_are_told_from_the_file(content: str | bytes) -> None:
    """Every usual form of CSV gives the same cells."""
    assert cells(content) == [ROW]


def test_decimal_commas_are_taken_as_they_are_or_as_set() -> None:
    """With the sign set in yard.toml a decimal comma becomes a point, and the other sign is refused."""
    mapping = ReadingsMapping(decimal=",")
    (good,) = rows_of(b"piece;Cr\nA1;17,1\n", "a", mapping).rows
    (bad,) = rows_of(b"piece;Cr\nA1;17.1\n", "a", mapping).rows
    (quoted,) = rows_of(b'piece,Cr\nA1,"17,1"\n', "a", mapping).rows
    (missing,) = rows_of(b"piece;Cr\nA1;n.d.\n", "a", mapping).rows

    assert good.cells["Cr"] == quoted.cells["Cr"] == "17.1"
    assert 'decimal = "comma"' in bad.problem
    assert missing.problem == ""


def test_a_decimal_comma_between_commas_is_told() -> None:
    """ "17,1" unquoted in a file of commas makes a cell too many; it is not read as 17."""
    (row,) = rows_of(b"piece,Cr,Ni\nA1,17,1,10,9\n", "a", ReadingsMapping()).rows

    assert "2 more cells" in row.problem and "decimal comma" in row.problem


def test_the_yards_own_columns() -> None:
    """Columns of the writer are mapped, and those that nobody needs are left out, whatever their case."""
    mapping = ReadingsMapping(
        columns={"piece no": "piece", "chromium %": "Cr", "ni [%]": "Ni"}, ignore=frozenset({"operator"})
    )

    assert cells("Piece No;Operator;Chromium %;Ni [%]\nA1;Tavi;17.1;10.9\n", mapping) == [ROW]


def test_a_mapped_header_decides_on_the_delimiter() -> None:
    """More semicolons than tabs in the names do not win over tabs that give known columns."""
    mapping = ReadingsMapping(columns={"no; of; piece": "piece"})

    assert cells("No; of; piece\tCr\tNi\nA1\t17.1\t10.9\n", mapping) == [ROW]


def test_a_file_without_a_piece_column_is_one_piece_named_after_it() -> None:
    """Without piece numbers a file is one piece and has its name."""
    assert cells("Cr,Ni\n17.1,10.9\n") == [{"piece": "a", "Cr": "17.1", "Ni": "10.9"}]


def test_an_empty_piece_cell_is_named_by_its_line() -> None:
    """A row without a piece number is a piece named by its line."""
    assert cells("piece,Cr,Ni\n,17.1,10.9\n")[0]["piece"] == "a line 2"


def test_old_western_bytes_are_read() -> None:
    """A name in Windows-1252 keeps its letters."""
    assert cells("piece,Cr,Ni\nZoë,17.1,10.9\n".encode("cp1252"))[0]["piece"] == "Zoë"


def test_half_a_character_at_the_end_does_not_change_the_encoding() -> None:
    """A UTF-8 file cut within its last letter keeps its first rows as they are."""
    cut = "piece,Cr,Ni\nZoë,17.1,10.9\nZoë".encode()[:-1]

    assert cells(cut) == [ROW | {"piece": "Zoë"}]


def test_one_column_twice_is_told() -> None:
    """A column that stands there twice is told."""
    with pytest.raises(ReadingsFileError, match='"Cr" stands there twice'):
        cells("piece,Cr,cr\nA1,1,2\n")


def test_an_id_is_that_of_the_row_and_not_of_the_file() -> None:
    """The same row has the same id anywhere; without a piece column the file's name is part of it."""
    mapping = ReadingsMapping()

    def row_id(content: bytes, name: str) -> str:
        return rows_of(content, name, mapping).rows[0].row_id

    assert row_id(b"piece,Cr\nA1,17.1\n", "a") == row_id(b"piece;Cr\nA1;17.1\n", "b")
    assert row_id(b"Cr,Ni\n17.1,1\n", "a") != row_id(b"Cr,Ni\n17.1,1\n", "b")


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    """Whatever is dropped there, the answer is rows or a message."""
    try:
        rows_of(content, "a", ReadingsMapping())
    except ReadingsFileError as error:
        assert str(error)


@given(st.text(max_size=200))
def test_any_text_below_a_good_header_is_read_or_refused(text: str) -> None:
    """No text below a good header breaks the reader: it is read, or refused with its line."""
    try:
        rows_of(f"piece,Cr,Ni\n{text}\n".encode(), "a", ReadingsMapping())
    except ReadingsFileError as error:
        assert str(error).startswith("line ")


CONTENT = b"piece,Cr,Ni\nA1,18.2,8.1\nA2,17.1,10.9\nA3,0.1,99.5\n"


@given(st.integers(0, len(CONTENT)))
def test_a_file_cut_anywhere_never_gives_a_row_that_is_not_in_it(end: int) -> None:
    """Wherever the writer stopped, each row that is read is a row of the finished file."""
    whole = {row.row_id for row in rows_of(CONTENT, "a", ReadingsMapping()).rows}
    try:
        part = rows_of(CONTENT[:end], "a", ReadingsMapping()).rows
    except ReadingsFileError:
        part = ()

    assert {row.row_id for row in part} <= whole


def test_rows_of_one_piece_are_shots_on_it() -> None:
    """A header with the column piece is taken; one without it is refused and says what is missing."""
    pieces = list(pieces_of(["piece,Cr,Ni", "A1,17.1,10.9", "A2,18,8", "A1,17,11"], techniques=profiles()))

    assert [(piece.piece, piece.line, len(piece.facts.shots)) for piece in pieces] == [
        ("A1", 2, 2),
        ("A2", 3, 1),
    ]
    with pytest.raises(ReadingsFileError, match="no column piece"):
        list(pieces_of(["Cr,Ni", "17.1,10.9"], techniques=profiles()))
