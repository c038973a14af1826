"""What can go wrong in a way that a person can mend, said so that they can act on it."""


class BaywrightError(Exception):
    """Something cannot be done as asked: the message says what, where, and what would be right.

    The base of every error of ours. A command ends with its message and exit status 2, the console says it;
    anything else that is raised is a fault of the program.
    """


class GradeDataError(BaywrightError, ValueError):
    """A grade file is wrong; the message names file, grade, element and what would be right."""


class ObservationError(BaywrightError, ValueError):
    """A fact about a piece is impossible; the message says which, and what is allowed."""
