"""Which screen opens under which name."""

from typing import TYPE_CHECKING

from textual.screen import Screen

from console.panes.candidates_pane import CandidatesPane

if TYPE_CHECKING:
    from console.screens.sorting_screen import SortingScreen


def screen_named(name: str, sorting: "SortingScreen") -> Screen[None]:
    """Return the screen to show: help, review, close-out, handover, grade-card or cautions.

    Each is imported when it is first asked for; none of them may delay the first picture.
    """
    assert sorting.bench is not None
    if name == "help":
        from console.screens.help_screen import HelpScreen

        return HelpScreen(sorting.bench.desk.yard)
    if name == "review":
        from console.screens.review_screen import ReviewScreen

        return ReviewScreen(sorting.bench)
    if name == "close-out":
        from console.screens.close_out_screen import CloseOutScreen

        return CloseOutScreen(sorting.bench)
    if name == "handover":
        from console.screens.handover_screen import handover_so_far

        return handover_so_far(sorting.bench.desk, sorting.bench.now())
    if name == "cautions":
        from console.screens.cautions_screen import cautions_page

        return cautions_page(
            sorting.considered.cautions if sorting.considered else (), sorting.bench.desk.yard
        )
    if name == "grade-card":
        from console.screens.grade_card_screen import grade_card

        selected = sorting.query_one(CandidatesPane).selected_candidate
        return grade_card(selected, sorting.bench.desk.library, sorting.app.size.width)
    return _further_screen(name, sorting)


def _further_screen(name: str, sorting: "SortingScreen") -> Screen[None]:
    """Return one of the further screens: series, bays, lots, checks or readings."""
    assert sorting.bench is not None
    if name == "readings":
        from console.screens.readings_page import readings_page

        return readings_page(sorting.bench.desk)
    if name == "series":
        from console.screens.series_screen import SeriesScreen

        return SeriesScreen(sorting.considered)
    if name == "bays":
        from console.screens.bays_screen import BaysScreen

        return BaysScreen(sorting.bench)
    if name == "lots":
        from console.screens.lots_screen import LotsScreen

        return LotsScreen(sorting.bench)
    if name == "checks":
        from console.screens.checks_screen import ChecksScreen

        return ChecksScreen(sorting.bench)
    raise AssertionError(f"no screen is called {name}")
