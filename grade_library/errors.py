"""What can go wrong in the grade library, said so that a person can act on it."""


class GradeDataError(ValueError):
    """A grade file is wrong; the message names file, grade, element and what would be right."""


class ObservationError(ValueError):
    """A fact about a piece is impossible; the message says which, and what is allowed."""
