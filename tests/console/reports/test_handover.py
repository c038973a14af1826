"""The handover says what the next sorter must know, in plain text of 80 columns."""

from dataclasses import replace
from datetime import timedelta, timezone

import pytest
from rich.cells import cell_len

from console.ledger.acts.closeout import difference, differences_by_load
from console.ledger.keeping.store import Ledger
from console.ledger.views.bay_metal import bay_metal
from console.ledger.views.lying import lying_now
from console.ledger.views.piece_state import piece_states, remarkable_pieces, waiting_pieces
from console.ledger.views.tally import tally
from console.reports.closing.bay_watch import bay_watch
from console.reports.closing.handover import handover
from console.reports.closing.handover_report import HandoverReport
from console.reports.closing.handover_text import as_text
from console.yard.yard import Yard
from grade_library.library import load
from tests.console.ledger.clock import START, brass

EVENING = START + timedelta(hours=8)
HOSTILE = "[bold]boo[/] \x1b[31m red \x07 \u202e backwards " + "x" * 300 + " 銅" * 60


def report_of(ledger: Ledger, yard: Yard, run_id: str = "T1-0001") -> HandoverReport:
    """Return the handover of a run, made in the evening."""
    sums = tally(ledger, run_id)
    return handover(
        sums,
        remarkable_pieces(ledger, run_id),
        yard,
        difference(sums, yard),
        EVENING,
        earlier_holds=waiting_pieces(ledger),
        bay_watch=bay_watch(yard, lying_now(ledger), bay_metal(ledger, yard, load())),
        loads=differences_by_load(sums.tickets, piece_states(ledger, run_id), yard),
        remarks=["YB: Pb 1.8 of 2.0 wt %"] if sums.mass_g == 22_500 else [],
    )


def section(text: str, title: str) -> list[str]:
    """Return the lines under a title, up to the next blank line."""
    lines = text.split("\n")
    start = next(number for number, line in enumerate(lines) if line.startswith(title))
    return lines[start + 2 : lines.index("", start)]


def test_bays_stand_with_pieces_weight_and_share(ledger: Ledger, yard: Yard) -> None:
    """Every bay has its line, in the order of yard.toml, with the total below."""
    ledger.add_piece(brass(2500, bay="SS", pieces=3), "Ada")
    ledger.add_piece(brass(7500, bay="YB"), "Ada")

    text = as_text(report_of(ledger, yard))

    assert section(text, "BAYS") == [
        "YB    yellow brass                                  1         7.50 kg    75.0%",
        "SS    stainless 18-8                                3         2.50 kg    25.0%",
        "-" * 78,
        "total                                               4        10.00 kg",
    ]


def test_holds_stand_with_tag_and_what_each_waits_for(ledger: Ledger, yard: Yard) -> None:
    """A piece on hold has its tag, weight, likeliest grade, what it waits for, its line and its sorter."""
    entry = replace(brass(820, bay="HO", tag=ledger.next_tag()), waits_for="a density")
    ledger.add_piece(entry, "Ada")

    text = as_text(report_of(ledger, yard))

    assert section(text, "ON HOLD (1)") == [
        "T1-H1    0.82 kg in HO, likeliest C36000. Waits for: a density",
        '         "820g yellow brass" (Ada, 05-02 06:00)',
    ]


def test_holds_of_earlier_runs_are_carried_over(ledger: Ledger, yard: Yard) -> None:
    """What still waits from a closed run stands in the next handover, under its own head."""
    ledger.add_piece(brass(820, bay="HO", tag=ledger.next_tag()), "Ada")
    ledger.close_run("Ada")
    ledger.open_run("Ben")

    text = as_text(report_of(ledger, yard, "T1-0002"))

    assert section(text, "ON HOLD (0)") == ["none"]
    assert section(text, "STILL ON HOLD FROM EARLIER RUNS (1)")[0].startswith("T1-H1    0.82 kg")


def test_difference_stands_with_tickets_tolerance_and_explanation(ledger: Ledger, yard: Yard) -> None:
    """Tickets, tally, clean net, difference and tolerance line up, and the explanation is printed."""
    ledger.add_piece(brass(10_000), "Ada")
    ledger.ticket(225_000, 210_000, "Ada", moisture_pct=1.0, note="A 17")
    ledger.close_run("Ada", explanation="one drum was weighed twice")

    text = as_text(report_of(ledger, yard))

    assert section(text, "SCALE TICKETS") == [
        "1. gross 225.00 kg, tare 210.00 kg, net 15.00 kg, moisture 1 %, clean 14.85 kg",
        "   (A 17)",
        "tally                            10.000 kg",
        "tickets, clean                   14.850 kg",
        "difference                       -4.850 kg  OUTSIDE",
        "tolerance, either way             0.817 kg",
        "Explanation: one drum was weighed twice",
    ]
    assert "Closed 2031-05-02 06:00, signed by Ada." in text


def test_run_without_ticket_says_that_nothing_was_compared(ledger: Ledger, yard: Yard) -> None:
    """A missing ticket is said, never shown as a difference of nothing."""
    assert section(as_text(report_of(ledger, yard)), "SCALE TICKETS") == [
        "No ticket was entered, so the tally was compared with nothing."
    ]


def test_notes_overrides_corrections_and_draw_downs_are_there(ledger: Ledger, yard: Yard) -> None:
    """Everything that was said, overridden, mended or taken out stands in its part."""
    moved = ledger.add_piece(brass(1000), "Ada")
    ledger.move(moved.row_id, "RB", "reads red", "Ben")
    ledger.add_piece(replace(brass(2000), is_override=True, note="buyer asked"), "Ada")
    ledger.add_piece(replace(brass(300), note="sharp edge"), "Ada")
    ledger.note("belt slips", "Ada")
    ledger.draw_down("SS", 25_000, "Ada", reason="bale 4")
    ledger.take_over("Ben")

    text = as_text(report_of(ledger, yard))

    assert section(text, "NOTES") == ["- belt slips"]
    assert section(text, "NOTES ON PIECES (1)")[1] == "  sharp edge"
    assert section(text, "BAYS CHOSEN BESIDE THE ADVICE (1)")[0].endswith('YB 2.00 kg "2000g yellow brass"')
    assert section(text, "BAYS CHOSEN BESIDE THE ADVICE (1)")[1] == "  buyer asked"
    assert section(text, "CORRECTIONS (1)") == [
        '06:00 RB 1.00 kg "1000g yellow brass"',
        "  moved YB -> RB: reads red (Ben)",
    ]
    assert section(text, "TAKEN OUT OF THE BAYS") == ["- 05-02 06:00 SS 25.00 kg by Ada. bale 4"]
    assert "Worked by Ada, then Ben.\nStill open, worked by Ben." in text


def test_late_correction_shows_as_such(ledger: Ledger, yard: Yard) -> None:
    """What was mended after close-out says so in the handover of the closed run."""
    row = ledger.add_piece(brass(1000), "Ada")
    ledger.close_run("Ada")
    ledger.reweigh(row.row_id, 1100, "scale was off", "Ben")

    text = as_text(report_of(ledger, yard))

    assert "CORRECTED AFTER CLOSE-OUT" in text
    assert "weight 1.000 -> 1.100 kg: scale was off (Ben, after close-out)" in text


@pytest.mark.parametrize("width", [60, 80, 132])
def test_no_line_is_wider_than_the_paper_whatever_was_typed(ledger: Ledger, yard: Yard, width: int) -> None:
    """Hostile and endless text stays within the columns and holds no control character."""
    row = ledger.add_piece(
        replace(brass(900, bay="HO", tag="H001"), line=HOSTILE, note=HOSTILE, is_override=True), HOSTILE
    )
    ledger.move(row.row_id, "RB" * 30, HOSTILE, HOSTILE)
    ledger.move(row.row_id, "HO", HOSTILE, HOSTILE, tag="H002")
    ledger.note(HOSTILE, HOSTILE)
    ledger.ticket(20_000, 5_000, "Ada", note=HOSTILE, supplier=HOSTILE)
    ledger.draw_down("SS", 5, HOSTILE, reason=HOSTILE)
    ledger.take_over(HOSTILE)
    ledger.close_run(HOSTILE, explanation=HOSTILE)

    text = as_text(report_of(ledger, replace(yard, name=HOSTILE)), width)

    assert max(cell_len(line) for line in text.split("\n")) <= width
    assert not [letter for letter in text if letter != "\n" and not letter.isprintable()]
    assert "[bold]boo[/]" in text


def test_times_are_those_of_the_reader(ledger: Ledger, yard: Yard) -> None:
    """All times are shown in the zone of the time that the report is made at."""
    sums = tally(ledger, "T1-0001")
    zone = timezone(timedelta(hours=2), "CEST")

    report = handover(sums, [], yard, difference(sums, yard), EVENING.astimezone(zone))

    assert "2031-05-02 16:00 CEST" in as_text(report)
    assert "Opened 2031-05-02 08:00 by Ada." in as_text(report)


def test_all_pieces_and_remarkable_ones_give_the_same_report(ledger: Ledger, yard: Yard) -> None:
    """Handing over every piece or only the remarkable ones makes no difference to the report."""
    for number in range(5):
        ledger.add_piece(replace(brass(100 + number), note="bent" if number == 3 else ""), "Ada")
    sums = tally(ledger, "T1-0001")
    gap = difference(sums, yard)

    every = handover(sums, piece_states(ledger, "T1-0001"), yard, gap, EVENING)

    assert every == handover(sums, remarkable_pieces(ledger, "T1-0001"), yard, gap, EVENING)


def test_ledger_mark_is_printed(ledger: Ledger, yard: Yard) -> None:
    """The last line names the newest row and the beginning of its hash, to find cut-off rows later."""
    row = ledger.add_piece(brass(), "Ada")

    assert as_text(report_of(ledger, yard)).endswith(
        f"\nLedger at row 2, hash {row.row_hash[:16]}\nNOT VERIFIED\n"
    )


def test_watch_names_nearly_full_bays_and_remarks(ledger: Ledger, yard: Yard) -> None:
    """A bay that holds nine tenths of a bale, over all runs and less what was drawn down, is named."""
    ledger.add_piece(brass(25_000, bay="SS"), "Ada")
    ledger.draw_down("SS", 25_000, "Ada")
    ledger.close_run("Ada")
    ledger.open_run("Ben")
    ledger.add_piece(brass(22_499, bay="SS"), "Ben")
    assert "WATCH" not in as_text(report_of(ledger, yard, "T1-0002"))
    ledger.add_piece(brass(1, bay="SS"), "Ben")

    text = as_text(report_of(ledger, yard, "T1-0002"))

    assert section(text, "WATCH") == [
        "- SS stainless 18-8 holds nearly a bale: 22.50 kg; a full bale is 25.00 kg",
        "- YB: Pb 1.8 of 2.0 wt %",
    ]


def test_loads_stand_with_their_own_difference(ledger: Ledger, yard: Yard) -> None:
    """Where loads are kept apart, each has its own line of tally, clean net and difference."""
    ledger.add_piece(replace(brass(10_000), supplier="Holt", load="L1"), "Ada")
    ledger.add_piece(replace(brass(5_000), supplier="Holt", load="L2"), "Ada")
    ledger.ticket(22_000, 10_000, "Ada", supplier="Holt", load="L1")

    text = as_text(report_of(ledger, yard), width=80)

    assert section(text, "LOAD BY LOAD") == [
        "- Holt L1: tally 10.00 kg, clean 12.00 kg, difference -2.00 kg OUTSIDE 0.817 kg",
        "- Holt L2: tally 5.00 kg, no ticket",
    ]
