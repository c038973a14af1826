"""The yard as it stands: yard.toml, and over it the office's word where yard.toml gives it its say."""

from dataclasses import replace
from pathlib import Path

from console.yard.errors import YardFileError
from console.yard.file.fields import Fields
from console.yard.file.office_table import office_settings_from
from console.yard.file.yard_file import YARD_FILE, read_toml, yard_from
from console.yard.office_says import folded, overlaid, priced_by_office
from console.yard.yard import Yard
from grade_library.library import GradeLibrary


def yard_as_it_stands(folder: Path, store: Path, library: GradeLibrary) -> Yard:
    """Return the yard of a folder with what its ledger has taken of the office's words.

    The store is opened only where yard.toml lets the office win in something.

    Raises:
        YardFileError: yard.toml is missing or wrong, or does not go together with what the office says.
        StoreError: The store cannot be read.
    """
    table = read_toml(folder / YARD_FILE)
    wins = office_settings_from(Fields(YARD_FILE, table)).wins if "office" in table else ()
    if not wins or not store.is_file():
        return yard_from(table, folder, library)
    from console.ledger.rows.queries import LedgerReader
    from console.office.words.word import words_taken  # with the ledger, which most yards are read without

    with LedgerReader.open(store) as reader:
        words = words_taken(reader)
    if not words:
        return yard_from(table, folder, library)
    said = folded(word.said for word in words)
    try:
        yard = yard_from(overlaid(table, said, wins), folder, library)
    except YardFileError as error:
        raise YardFileError(f"{error} (yard.toml together with what the office says)") from error
    return replace(yard, priced_by_office=priced_by_office(said, wins))
