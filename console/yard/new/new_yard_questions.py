"""What somebody is asked who makes a yard: each question with its default and the check of its answer."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from console.ground.cleaning import clean
from console.ground.errors import BaywrightError
from console.ground.mass import UNIT_WORDS, UNITS_G, MassError, parse_mass_g
from console.yard.file.names import LONGEST_YARD_CODE, why_not_a_yard_code
from console.yard.new.templates import templates
from grade_library.technique import profiles

LONGEST_NAME = 80
"""Names are shown on one line of the screen [characters]."""
LONGEST_CURRENCY = 8
ALL, NONE = "all", "none"
STARTING_BAYS = (
    "aluminium-extrusions",
    "aluminium-castings",
    "copper",
    "yellow-brass",
    "red-brass-bronze",
    "stainless-300",
    "stainless-other",
    "steel",
    "lead",
    "zinc",
)
"""What most mixed yards have (common practice)."""


_UNITS: Mapping[str, str] = {
    "kg": "kilograms",
    "lb": "pounds",
    "t": "metric tons, 1000 kg",
    "short ton": "short tons, 2000 lb",
}


class AnswerError(BaywrightError, ValueError):
    """An answer is wrong; the message says why and what to type."""

    def __init__(self, key: str, text: str) -> None:
        super().__init__(text)
        self.key = key
        """Key of the question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question."""

    key: str
    ask: str
    about: str
    """What the answer is for, and its form."""
    usual: str
    """The default, as it would be typed."""
    usual_in_pounds: str = ""
    """The default in a yard that weighs in lb or short tons; empty for the same."""
    choices: Mapping[str, str] = field(default_factory=dict)
    """Word -> what it means, where the answer is among them; empty for free text."""
    reads: Callable[[str, Mapping[str, str]], str]
    """Returns the answer as it counts; raises ValueError with what is wrong."""

    def usual_with(self, answers: Mapping[str, str]) -> str:
        """Return the default, given the answers so far."""
        is_in_pounds = answers.get("weight_unit") in ("lb", "short ton")
        return self.usual_in_pounds if is_in_pounds and self.usual_in_pounds else self.usual

    def check(self, typed: str, answers: Mapping[str, str]) -> str:
        """Return an answer as it counts: a choice in full, blanks and unsafe characters gone.

        Args:
            typed: What was typed; a choice also as its number or its first letters.
            answers: The earlier answers, as they count.

        Raises:
            AnswerError: It is wrong.
        """
        try:
            return self.reads(" ".join(clean(typed).split()), answers)
        except ValueError as error:
            raise AnswerError(self.key, str(error)) from error


def listed(text: str) -> tuple[str, ...]:
    """Return the parts of an answer that takes several.

    >>> listed("Ilse, Jory ,")
    ('Ilse', 'Jory')
    """
    return tuple(part.strip() for part in text.split(",") if part.strip())


def questions() -> tuple[Question, ...]:
    """Return the questions in the order in which they are asked."""
    return (
        *_yard_questions(), _bays_question(), *_scale_questions(), _technique_question(), _code_question(),
    )  # fmt: skip


def _yard_questions() -> tuple[Question, ...]:
    return (
        Question(
            key="name",
            ask="Name of the yard",
            about="It stands at the head of every screen and report.",
            usual="New yard",
            reads=_name,
        ),
        Question(
            key="weight_unit",
            ask="Unit of weight",
            about="Of a bare number on the entry line, and of every weight shown.",
            usual="kg",
            choices=_UNITS,
            reads=lambda typed, _: _choice(UNIT_WORDS.get(typed.casefold(), typed), _UNITS),
        ),
        Question(
            key="currency",
            ask="Currency",
            about=f"As it shall be shown, at most {LONGEST_CURRENCY} signs: EUR, USD, kr.",
            usual="EUR",
            reads=_currency,
        ),
        Question(
            key="people",
            ask="Who sorts here",
            about="Names with commas between them; more can be added in the file.",
            usual="Sorter",
            reads=_people,
        ),
    )


def _technique_question() -> Question:
    techniques = {key: profile.label for key, profile in sorted(profiles().items(), reverse=True)}
    return Question(
        key="technique",
        ask="What readings come from",
        about="The analyser of the yard; with none it does not matter.",
        usual="xrf",
        choices=techniques,
        reads=lambda typed, _: _choice(typed, techniques),
    )


def _code_question() -> Question:
    return Question(
        key="yard_code",
        ask="Code of the yard, where the firm has several",
        about=f"At most {LONGEST_YARD_CODE} letters and digits before each tag (N-T1-H7), or nothing.",
        usual="",
        reads=_yard_code,
    )


def _bays_question() -> Question:
    patterns = {name: one.title for name, one in templates().items() if name != "hold"}
    return Question(
        key="bays",
        ask="Bays to start with",
        about="Patterns with commas between them, by name or number; all; or none. "
        "A bay for pieces on hold is always there.",
        usual=", ".join(STARTING_BAYS),
        choices=patterns,
        reads=lambda typed, _: _bays(typed, patterns),
    )


def _scale_questions() -> tuple[Question, ...]:
    """Return the questions on bench scale and ticket scale; sizes are common practice."""
    sizes = {
        "piece": ("Bench scale", "20 g", "0.05 lb", "300 kg", "600 lb"),
        "ticket": ("Scale that prints the tickets", "20 kg", "20 lb", "60 t", "120000 lb"),
    }
    asked: list[Question] = []
    for key, (name, division, in_lb, largest, largest_in_lb) in sizes.items():
        asked += [
            Question(
                key=f"{key}_division",
                ask=f"{name}: its division",
                about="The step between two weights it can show, with a unit: 20 g, 0.05 lb.",
                usual=division,
                usual_in_pounds=in_lb,
                reads=lambda typed, _: _mass(typed),
            ),
            Question(
                key=f"{key}_largest",
                ask=f"{name}: its largest weight",
                about="With a unit: 300 kg, 60 t, 600 lb.",
                usual=largest,
                usual_in_pounds=largest_in_lb,
                reads=lambda typed, answers, division=f"{key}_division": _largest(  # type: ignore[misc]
                    typed, answers[division]
                ),
            ),
        ]
    return tuple(asked)


def _name(typed: str, _: Mapping[str, str]) -> str:
    if not typed:
        raise ValueError("A name is needed.")
    if len(typed) > LONGEST_NAME:
        raise ValueError(f"{len(typed)} characters; at most {LONGEST_NAME}.")
    return typed


def _currency(typed: str, _: Mapping[str, str]) -> str:
    if not 1 <= len(typed) <= LONGEST_CURRENCY or " " in typed:
        raise ValueError(f'"{typed}": 1 to {LONGEST_CURRENCY} signs without a blank, such as EUR.')
    return typed


def _yard_code(typed: str, _: Mapping[str, str]) -> str:
    if reason := why_not_a_yard_code(typed):
        raise ValueError(f'"{typed}" {reason}.')
    return typed


def _people(typed: str, answers: Mapping[str, str]) -> str:
    people = [_name(name, answers) for name in listed(typed)]
    if not people:
        raise ValueError("At least one name is needed.")
    folded = [name.casefold() for name in people]
    twice = next((name for name in people if folded.count(name.casefold()) > 1), None)
    if twice is not None:
        raise ValueError(f'"{twice}" stands there twice; tell them apart, such as "{twice} B".')
    return ", ".join(people)


def _bays(typed: str, patterns: Mapping[str, str]) -> str:
    if typed.casefold() == ALL:
        return ", ".join(patterns)
    if typed.casefold() == NONE:
        return NONE
    if not listed(typed):
        raise ValueError("Type at least one pattern, all, or none.")
    return ", ".join(dict.fromkeys(_choice(name, patterns) for name in listed(typed)))


def _choice(typed: str, choices: Mapping[str, str]) -> str:
    """Return the choice that is meant: by its word, its number from 1 on, or first letters of one only."""
    folded, words = typed.casefold(), list(choices)
    if folded in choices:
        return folded
    if folded.isascii() and folded.isdigit() and 1 <= int(folded[:4]) <= len(words):
        return words[int(folded[:4]) - 1]
    begun = [word for word in words if folded and word.startswith(folded)]
    if len(begun) == 1:
        return begun[0]
    said = f"can be {', '.join(begun)}" if begun else f"is not one of {', '.join(words)}"
    raise ValueError(f'"{typed}" {said}.')


def _mass(typed: str) -> str:
    if not typed[-1:].isalpha():
        known = ", ".join(UNITS_G)
        raise ValueError(f'"{typed}" names no unit; type a number and one of {known}, such as 20 g.')
    try:
        parse_mass_g(typed, "kg")
    except MassError as error:
        raise ValueError(f"{error}.") from error
    return typed


def _largest(typed: str, division: str) -> str:
    if parse_mass_g(_mass(typed), "kg") <= parse_mass_g(division, "kg"):
        raise ValueError(f'"{typed}" needs to be above the division, {division}.')
    return typed
