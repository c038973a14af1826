"""Keys of the sorting screen that ask something before they act, beside those that enter a piece."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from console.entry.load_words import LoadTyped, load_words, read_load_answer
from console.ground.errors import BaywrightError
from console.panes.said_pane import Said
from console.screens.frames.acting import attempt, refused
from console.screens.frames.asking import ask_and_act, names, numbered, pick
from console.screens.frames.pick_screen import Pick
from console.screens.further.copying import Copying
from console.screens.keys.sorting import FURTHER_ACTIONS, KEYLESS_ACTIONS
from console.screens.sorting import words

if TYPE_CHECKING:
    from textual.app import App
    from textual.screen import Screen

    from console.desk import Desk, Done
    from console.screens.sorting.sorting_screen import SortingScreen


class Questions:
    """Which note, who, what, which colours."""

    def __init__(self, screen: "SortingScreen") -> None:
        self._screen = screen
        self.copying = Copying(screen)

    def open_tagged(self, desk: "Desk", tag: str) -> None:
        """Open the hold or the bale that has a tag; the line is free again."""
        from console.screens.further.tagged import open_tagged

        try:
            open_tagged(self._screen, desk, tag)
        except BaywrightError as why:
            self._screen.say(refused(why))
        else:
            self._screen.line.clear()

    def note(self) -> None:
        """Ask for a note for the handover."""
        ask_and_act(
            self._screen,
            words.NOTE_QUESTION,
            self._screen.desk.note,
            title=words.NOTE_TITLE,
            opened_by="note",
        )

    def load(self) -> None:
        """Choose whose load the pieces from here on belong to, or end it."""
        loads = self._screen.desk.loads
        here = [LoadTyped(supplier="", load="")] if loads.words else []
        here += [LoadTyped(supplier=s, load=n) for s, n in loads.known() if load_words(s, n) != loads.words]
        if not here:
            self._ask_load()
            return
        rows = [load_words(one.supplier or "", one.load or "") or words.LOAD_NONE for one in here]
        picks = numbered((str(i), row, "") for i, row in enumerate([*rows, words.LOAD_NEW]))

        def chosen(key: str) -> None:
            if int(key) == len(here):
                self._ask_load()
            else:
                self._screen.acted(attempt(lambda: loads.begin(here[int(key)])))

        pick(self._screen, picks, chosen, title=words.LOAD_TITLE, opened_by="load")

    def _ask_load(self) -> None:
        begin = self._screen.desk.loads.begin
        ask_and_act(
            self._screen,
            words.LOAD_QUESTION,
            lambda text: begin(read_load_answer(text)),
            title=words.LOAD_TITLE,
            opened_by="load",
        )

    def take_over(self) -> None:
        """Ask who works this run from here on; who takes over is told every caution in full again."""
        desk, warnings = self._screen.desk, self._screen.panes.warnings

        def taken_over(_: "Done[None]") -> None:
            warnings.begin_shift()
            self._screen.call_later(self._screen.run_action, "app.open('left')")

        pick(
            self._screen,
            names(desk.yard.people),
            lambda person: self._screen.acted(attempt(lambda: desk.take_over(person), taken_over)),
            title=words.TAKE_OVER_TITLE,
            opened_by="take-over",
        )

    def actions(self) -> None:
        """Show everything that can be done; do what is picked."""
        picks = action_picks(self._screen.app, self._screen, [*KEYLESS_ACTIONS, *FURTHER_ACTIONS])
        pick(self._screen, picks, self._screen.run_action, title=words.ACTIONS_TITLE, opened_by="actions")

    def more(self) -> None:
        """Show the further screens; open what is picked."""
        picks = numbered((action, text, "") for action, text in FURTHER_ACTIONS)
        pick(self._screen, picks, self._screen.run_action, title=words.MORE_TITLE, opened_by="more")

    def colours(self) -> None:
        """Choose among the colour schemes, for this sitting."""

        def chosen(name: str) -> None:
            self._screen.app.theme = name
            self._screen.say(Said(words.COLOURS_CHOSEN.format(name=name)))

        from console.yard.file.console_settings import THEMES  # the yard is read long after the first picture

        pick(self._screen, names(THEMES), chosen, title=words.COLOURS_TITLE, opened_by="colours")


def action_picks(
    app: "App[Any]", screen: "Screen[Any]", keyless: Iterable[tuple[str, str]] = ()
) -> list[Pick]:
    """Return every action of a screen that has a tooltip, numbered, with its key beside it.

    Args:
        app: Names the keys.
        screen: Has the actions.
        keyless: Further actions that no key leads to, and how each is shown.
    """
    picks: list[Pick] = []
    for active in screen.active_bindings.values():
        binding = active.binding
        # An action belongs to whoever has its binding: the app, the screen, or the line that has the focus.
        where = "app." if active.node is app else "" if active.node is screen else "focused."
        action = where + binding.action
        if not binding.tooltip or action in [pick.key for pick in picks] or not active.enabled:
            continue
        key = app.get_key_display(binding)
        picks.append(
            Pick(
                key=action,
                code=str(len(picks) + 1),
                text=f"{binding.description}: {binding.tooltip}",
                aside=key,
            )
        )
    first = len(picks) + 1
    return picks + [
        Pick(key=action, code=str(i), text=text) for i, (action, text) in enumerate(keyless, first)
    ]
