"""Which screen opens under which name."""

from typing import TYPE_CHECKING

from textual.screen import Screen

from console.panes.piece.candidates_pane import CandidatesPane

if TYPE_CHECKING:
    from console.screens.sorting.sorting_screen import SortingScreen


def screen_named(name: str, sorting: "SortingScreen") -> Screen[None]:
    """Return the screen to show: help, review, close-out, handover, grade-card or cautions.

    Each is imported when it is first asked for; none of them may delay the first picture.
    """
    assert sorting.bench is not None
    if name == "help":
        from console.screens.further.help_screen import HelpScreen

        return HelpScreen(sorting.bench.desk.yard)
    if name == "review":
        from console.screens.review.review_screen import ReviewScreen

        return ReviewScreen(sorting.bench)
    if name == "close-out":
        from console.screens.close_out.close_out_screen import CloseOutScreen

        return CloseOutScreen(sorting.bench)
    if name == "handover":
        from console.screens.close_out.handover_page import handover_so_far

        return handover_so_far(sorting.bench.desk, sorting.bench.now())
    if name == "cautions":
        from console.screens.further.cautions_page import cautions_page

        return cautions_page(
            sorting.considered.cautions if sorting.considered else (), sorting.bench.desk.yard
        )
    if name == "grade-card":
        from console.screens.further.grade_card_page import grade_card

        selected = sorting.query_one(CandidatesPane).selected_candidate
        return grade_card(selected, sorting.bench.desk.library, sorting.app.size.width)
    return _further_screen(name, sorting)


def _further_screen(name: str, sorting: "SortingScreen") -> Screen[None]:
    """Return one of the further screens: series, bays, lots, checks or readings."""
    assert sorting.bench is not None
    if name == "readings":
        from console.screens.further.readings_page import readings_page

        return readings_page(sorting.bench.desk)
    if name == "series":
        from console.screens.further.series_screen import SeriesScreen

        return SeriesScreen(sorting.considered)
    if name == "bays":
        from console.screens.further.bays_screen import BaysScreen

        return BaysScreen(sorting.bench)
    if name == "lots":
        from console.screens.further.lots_screen import LotsScreen

        return LotsScreen(sorting.bench)
    if name == "checks":
        from console.screens.further.checks_screen import ChecksScreen

        return ChecksScreen(sorting.bench)
    raise AssertionError(f"no screen is called {name}")
