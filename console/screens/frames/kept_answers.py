"""What was typed into questions whose act was refused: it stands there when they are asked again."""

from typing import Any
from weakref import WeakKeyDictionary

from textual.screen import Screen

from console.panes.said_pane import Said


class KeptAnswers:
    """The answers of one screen, each by its question."""

    def __init__(self) -> None:
        self._since: dict[str, str] = {}
        """Given since something was last done or refused."""
        self._refused: dict[str, str] = {}

    def take(self, question: str, text: str) -> None:
        """Take note of an answer."""
        self._since[question] = text

    def of(self, question: str) -> str:
        """Return what was typed there before the act was refused; empty where nothing was."""
        return self._refused.get(question, "")

    def hear(self, said: Said) -> None:
        """Keep the answers where the act was refused, forget them where it was done."""
        if said.is_refusal:
            self._refused |= self._since
        elif not (said.is_news or said.is_prompt):
            self._refused.clear()
        else:
            return
        self._since.clear()


_ANSWERS: WeakKeyDictionary[Screen[Any], KeptAnswers] = WeakKeyDictionary()


def answers_of(screen: Screen[Any]) -> KeptAnswers:
    """Return what was typed into the questions over a screen, for as long as that is there."""
    return _ANSWERS.setdefault(screen, KeptAnswers())
