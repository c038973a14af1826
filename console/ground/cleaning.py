"""The cleaning of text, for the rooms above; it lies with the grades, which clean their files with it too."""

from grade_library.cleaning import STAND_IN, clean, told

__all__ = ["STAND_IN", "clean", "told"]


def as_sentence(text: str) -> str:
    """Return text with a capital letter in front.

    >>> as_sentence("keep one name: no grade is both 304 and 316")
    'Keep one name: no grade is both 304 and 316'
    """
    return text[:1].upper() + text[1:]
