"""The [words] table of yard.toml: short words of a yard's own."""

import pytest

from console.yard.errors import YardFileError
from console.yard.file.fields import Fields
from console.yard.file.selectors import Selectors
from console.yard.file.words_table import words_from
from grade_library.library import GradeLibrary


def read(library: GradeLibrary, **words: object) -> dict[str, str]:
    """Return what a table of words is read as, in a yard with a bay ybr and a technique gun2."""
    fields = Fields("yard.toml", {"words": {key.replace("_", "-"): text for key, text in words.items()}})
    return dict(words_from(fields, Selectors.of(library), {"ybr", "gun2"}))


def test_words_stand_for_texts_in_small_letters(library: GradeLibrary) -> None:
    """However the file writes them; a yard without the table has none."""
    assert read(library, CP="copper pipe", w_1="4140 .b") == {"cp": "copper pipe", "w-1": "4140 .b"}
    assert read(library) == {}


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("c", "two to twelve"),
        ("3x", "two to twelve"),
        ("cu", "copper"),
        ("m0", "magnet: none"),
        ("pipe", "tube or pipe"),
        ("ybr", "is a bay"),
        ("gun2", "a technique"),
        ("pcs", "a count"),
        ("stainless", "names a"),
    ],
)
def test_a_word_that_means_something_already_is_refused(library: GradeLibrary, word: str, says: str) -> None:
    """On an entry line one word means one thing; the message says which word, and what it means."""
    with pytest.raises(YardFileError, match=f"words, {word}: .*{says}"):
        read(library, **{word: "copper pipe"})


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("copper ; pipe", "a sign or a reading"),
        ("304 cr18.2", "a sign or a reading"),
        ("304 *", "a sign or a reading"),
        ("copper m0", '"m0" is found'),
        ("copper sy", '"sy" is found'),
        ("", "is empty"),
    ],
)
def test_a_word_finds_nothing_on_a_piece(library: GradeLibrary, text: str, says: str) -> None:
    """Readings and what is tried on each piece are typed on it; a note or a further sign is none."""
    with pytest.raises(YardFileError, match=says):
        read(library, cp=text)
