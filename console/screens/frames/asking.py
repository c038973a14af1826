"""Questions put over a screen: one line to type, one row to pick. No answer, and nothing happens."""

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any

from console.screens.frames.acting import attempt
from console.screens.frames.ask_screen import AskScreen, Offers
from console.screens.frames.kept_answers import answers_of
from console.screens.frames.pick_screen import Pick, PickScreen

if TYPE_CHECKING:
    from textual.screen import Screen

    from console.desk import Done
    from console.screens.frames.console_screen import ConsoleScreen

Then = Callable[[str], Any]


def ask(
    screen: "Screen[Any]",
    question: str,
    then: Then,
    *,
    title: str,
    usual: str = "",
    opened_by: str = "",
    offers: Offers | None = None,
) -> None:
    """Ask for one line.

    Args:
        screen: Over which it is asked.
        question: A sentence or two.
        then: Gets what was typed, once something was.
        title: Heads the question.
        usual: Stands there already; what was typed there before the act was refused goes before it.
        opened_by: Name of the action that asked; its key leads back too.
        offers: What a key puts onto the line; None for nothing.
    """
    answers = answers_of(screen)

    def answered(text: str | None) -> None:
        if text:
            answers.take(question, text)
            then(text)

    usual = answers.of(question) or usual
    screen.app.push_screen(
        AskScreen(question, title=title, usual=usual, opened_by=opened_by, offers=offers), answered
    )


def ask_and_act(
    screen: "ConsoleScreen",
    question: str,
    act: "Callable[[str], Done[Any]]",
    *,
    title: str,
    usual: str = "",
    opened_by: str = "",
) -> None:
    """Ask for one line, do an act at the desk with it, and have the screen say what came of it; see `ask`."""
    ask(
        screen,
        question,
        lambda typed: screen.acted(attempt(lambda: act(typed))),
        title=title,
        usual=usual,
        opened_by=opened_by,
    )


def pick(
    screen: "Screen[Any]", picks: Sequence[Pick], then: Then, *, title: str, opened_by: str = ""
) -> None:
    """Let one row be picked.

    Args:
        screen: Over which it is asked.
        picks: The rows.
        then: Gets the key of the row picked.
        title: Heads the list.
        opened_by: Name of the action that asked; its key leads back too.
    """
    screen.app.push_screen(
        PickScreen(picks, title=title, opened_by=opened_by),
        lambda key: then(key) if key is not None else None,
    )


def numbered(rows: Iterable[tuple[str, str, str]]) -> list[Pick]:
    """Return rows to pick from, each with its number to type: key, text, and what stands at the right."""
    return [
        Pick(key=key, code=str(number), text=text, aside=aside)
        for number, (key, text, aside) in enumerate(rows, start=1)
    ]


def names(people: Iterable[str]) -> list[Pick]:
    """Return names to pick from."""
    return numbered((name, name, "") for name in people)
