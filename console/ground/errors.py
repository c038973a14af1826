"""The base of every error of ours, for the rooms above; it lies with the grades, which stand lower still."""

from grade_library.errors import BaywrightError

__all__ = ["BaywrightError"]
