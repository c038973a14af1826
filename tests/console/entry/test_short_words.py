"""Short words of a yard's own are written out."""

import pytest

from console.entry.editing.short_words import in_words

WORDS = {"cp": "copper pipe", "yt": "yellow brass .v"}


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("8.6 cp", "8.6 copper pipe"),
        ("8.6cp", "8.6 copper pipe"),
        ("CP 8.6", "copper pipe 8.6"),
        (".4yt+c", ".4 yellow brass .v+c"),
        ("8 cp, m0", "8 copper pipe, m0"),
        ("8cp*cu99", "8 copper pipe*cu99"),
        ("8 cpx xcp @cp cp2 c-cp", "8 cpx xcp @cp cp2 c-cp"),
        ("8 304 ; cp", "8 304 ; cp"),
        ("", ""),
    ],
)
def test_a_whole_word_is_written_out_before_the_note(line: str, wanted: str) -> None:
    """Also right behind a weight, and before a short form; parts of longer words stay, and so do notes."""
    assert in_words(line, WORDS) == wanted


def test_a_yard_without_words_changes_nothing() -> None:
    """Every line stays as it was typed."""
    assert in_words("8.6cp", {}) == "8.6cp"
