"""Which screen opens under which name: `app.open('name')` in a table of keys."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from textual.screen import Screen

if TYPE_CHECKING:
    from console.desk import Desk
    from console.screens.sorting.sorting_screen import SortingScreen

MODULES = {
    "help": "help.help_page",
    "glossary": "help.glossary_page",
    "review": "review.review_screen",
    "close-out": "close_out.close_out_screen",
    "handover": "close_out.handover_page",
    "cautions": "further.cautions_page",
    "grade-card": "further.grade_card_page",
    "readings": "further.readings_page",
    "series": "further.series_screen",
    "bays": "further.bays_screen",
    "lots": "further.lots_screen",
    "rechecks": "further.rechecks_screen",
    "checks": "further.checks_screen",
    "consignments": "loads.consignments_screen",
    "plan": "loads.plan_screen",
    "left": "further.left_screen",
}
"""Name -> module."""
SCREENS = {
    "close-out": "CloseOutScreen",
    "bays": "BaysScreen",
    "lots": "LotsScreen",
    "rechecks": "RechecksScreen",
    "checks": "ChecksScreen",
    "consignments": "ConsignmentsScreen",
    "plan": "PlanScreen",
}
"""Name -> the screen of its module that needs nothing but the desk; every other module has an `opened`, which
makes its screen of the desk and of what is on the sorting screen."""


def screen_named(name: str, desk: "Desk", sorting: "SortingScreen") -> Screen[Any]:
    """Return the screen to show over the sorting screen.

    Its module is imported when it is first asked for: none may delay the first picture.
    """
    module = import_module(f"console.screens.{MODULES[name]}")
    screen: Screen[Any] = (
        getattr(module, SCREENS[name])(desk) if name in SCREENS else module.opened(desk, sorting)
    )
    return screen
