"""The desk on a real yard folder and a real store."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk, DeskRefusal
from console.desk.ticket_line import TicketTyped
from console.ledger.keeping.verify import verify
from console.ledger.rows.errors import LedgerRefusal, StoreLocked
from console.ledger.rows.queries import LedgerReader, kept_evidence
from console.ledger.rows.runs import open_run_of
from console.ledger.views.bay_metal import bay_metal
from console.ledger.views.piece_state import piece_state, piece_states
from tests.console.ledger.clock import words_of

Clock = Callable[[], datetime]


@pytest.fixture
def desk(yard_folder: Path, clock: Clock) -> Iterator[Desk]:
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


def test_piece_goes_to_the_suggested_bay_and_is_on_disk(desk: Desk, yard_folder: Path) -> None:
    """A tallied piece is there for a reader who opens the store while the desk still works."""
    considered = desk.consider("12.4 m0 cr18.2 ni8.1 mn1.5 fe71.3 mo0.2")

    tallied = desk.tally(considered)

    assert considered.placement is not None
    with LedgerReader.open(yard_folder / "yard.sqlite3") as reader:
        run = open_run_of(reader)
        assert run is not None
        states = piece_states(reader, run.run_id)
        kept = kept_evidence(reader, tallied.row.row_id)
    assert [(s.bay, s.mass_g, s.is_override) for s in states] == [
        (considered.placement.bay.code, 12400, False)
    ]
    assert states[0].grade_id == considered.verdict.candidates[0].grade.grade_id
    assert kept["candidates"][0]["grade"] == states[0].grade_id  # type: ignore[index]
    assert "12.40 kg" in tallied.sentence


def test_what_leads_on_the_screen_is_what_is_written(desk: Desk) -> None:
    """Steels that nothing tells apart lead together; the copper, likelier than each, is not written."""
    considered = desk.consider("4 copper pipe m2")
    best, leading = considered.verdict.best, considered.verdict.leading
    assert best is not None and leading is not None and best.grade.group == "copper"

    row = desk.tally(considered).row

    assert row.grade_id == leading.grade_id != best.grade.grade_id
    assert leading.members[0].grade.group == "steel"


def test_a_name_of_several_words_is_no_bay(desk: Desk) -> None:
    """The French name of reinforcing bar begins as the bay of iron is called: the name wins."""
    named, chosen = desk.consider("12 fer à béton").parsed, desk.consider("12 fer steel").parsed

    assert named.bay_code is None and named.facts.claim is not None
    assert named.facts.claim.label == "reinforcing bar"
    assert chosen.bay_code == desk.consider("12 @fer à béton").parsed.bay_code == "FER"


def test_chosen_bay_is_recorded_as_override(desk: Desk) -> None:
    """A bay chosen against the advice is taken, and the ledger says that it was."""
    considered = desk.consider("12.4 m0 cr18.2 ni8.1 mn1.5 fe71.3 mo0.2")
    assert considered.placement is not None
    other = next(b for b in desk.yard.bays if b.code != considered.placement.bay.code and not b.is_hold)

    desk.tally(considered, bay_code=other.code.lower())

    assert [(s.bay, s.is_override) for s in desk.review.pieces()] == [(other.code, True)]


def test_known_piece_needs_weight_and_bay_only(desk: Desk) -> None:
    """A weight and a bay code make a piece; nothing is overridden, since nothing was advised."""
    code = next(bay.code for bay in desk.yard.bays if not bay.is_hold)

    desk.tally(desk.consider(f"3.5 {code.lower()}"))

    assert [(s.bay, s.mass_g, s.is_override, s.grade_id) for s in desk.review.pieces()] == [
        (code, 3500, False, None)
    ]


def test_nameless_piece_waits_on_hold_with_a_tag(desk: Desk) -> None:
    """A piece that nobody can name goes on hold; its tags count up and are never given twice."""
    first = desk.tally(desk.consider("2.6 ? ; no idea"))
    desk.undo()
    second = desk.tally(desk.consider("1.1 hold"))

    assert first.row.bay == desk.yard.hold_bay.code
    assert "T1-H1" in first.sentence
    assert "T1-H2" in second.sentence
    assert [hold.tag for hold in desk.sums().holds] == ["T1-H2"]


@pytest.mark.parametrize(
    ("line", "part"),
    [("304", "weight"), ("0 304", "above 0"), ("12 qqqqqzz", "qqqqqzz"), ("-3 304", "above 0")],
)
def test_line_in_doubt_is_refused_in_words(desk: Desk, line: str, part: str) -> None:
    """A line without weight, with an impossible one or with an unknown word writes nothing and says why."""
    with pytest.raises(DeskRefusal, match=part):
        desk.tally(desk.consider(line))

    assert desk.review.pieces() == []


def test_unknown_bay_is_refused_with_the_bays_there_are(desk: Desk) -> None:
    """An unknown bay names the bays that exist."""
    with pytest.raises(DeskRefusal, match=desk.yard.bays[0].code):
        desk.tally(desk.consider("12 304"), bay_code="Q9")


def test_same_again_repeats_bay_and_metal_with_a_new_weight(desk: Desk) -> None:
    """The last piece is done again with another weight, into the same bay; its note stays behind."""
    first = desk.tally(desk.consider("12.4 304 x2 sheet ; from the blue box"))

    desk.same_again(desk.consider("820g"))

    newest, oldest = desk.review.pieces()
    assert (newest.mass_g, newest.pieces, newest.bay) == (820, 1, first.row.bay)
    assert newest.grade_id == oldest.grade_id
    assert newest.note == ""


def test_same_again_without_a_piece_or_with_a_bad_weight_is_refused(desk: Desk) -> None:
    """Nothing to repeat, or no weight: said in words, nothing written."""
    with pytest.raises(DeskRefusal, match="no piece"):
        desk.same_again(desk.consider("12.4"))
    desk.tally(desk.consider("12.4 304"))
    with pytest.raises(DeskRefusal, match="weight"):
        desk.same_again(desk.consider("heavy"))
    assert len(desk.review.pieces()) == 1


def test_undo_and_redo_walk_through_every_kind_of_act(desk: Desk) -> None:
    """Piece, move and void are taken back in turn and done again in turn."""
    codes = [bay.code for bay in desk.yard.bays if not bay.is_hold]
    desk.tally(desk.consider(f"12 304 {codes[0]}"))
    row_id = desk.review.pieces()[0].row_id
    desk.review.move(row_id, codes[1], "wrong bay")
    desk.review.void(row_id, "weighed twice")

    def now() -> tuple[str, bool]:
        piece = desk.review.pieces()[0]
        return piece.bay, piece.is_void

    seen = [now()]
    for _ in range(3):
        desk.undo()
        seen.append(now())
    assert seen == [(codes[1], True), (codes[1], False), (codes[0], False), (codes[0], True)]
    with pytest.raises(DeskRefusal, match="Nothing to undo"):
        desk.undo()

    for _ in range(3):
        desk.redo()
    assert now() == (codes[1], True)
    with pytest.raises(DeskRefusal, match="Nothing to redo"):
        desk.redo()


def test_undo_says_which_note_it_took_back(desk: Desk) -> None:
    """By its words: a shift has many notes."""
    desk.note("gate 3 sticks")

    assert desk.undo().sentence == 'taken back: note "gate 3 sticks"'
    assert desk.redo().sentence == 'once more: note "gate 3 sticks"'


def test_what_was_undone_is_not_told_as_a_correction(desk: Desk) -> None:
    """Moved, undone, redone: one correction with its reason; an undone entry leaves nothing to tell of."""
    row = desk.tally(desk.consider("12 304")).row
    desk.review.move(row.row_id, "STM", "stamped 316")
    desk.review.reweigh(row.row_id, "12.5", "misread")
    assert desk.undo().sentence == "taken back: weight 12.50 kg of piece 12.00 kg in STN"
    assert desk.undo().sentence == "taken back: move of piece 12.00 kg in STN to STM"
    assert desk.redo().sentence == "once more: move of piece 12.00 kg in STN to STM"
    typo = desk.tally(desk.consider("99 304")).row
    assert desk.undo().sentence == "taken back: piece 99.00 kg in STN"

    moved, undone = (piece_state(desk.ledger, one.row_id) for one in (row, typo))

    assert moved is not None and words_of(moved) == ("moved STN -> STM: stamped 316 (Ilse)",)
    assert (moved.bay, moved.mass_g) == ("STM", 12_000)
    assert undone is not None and undone.is_void and undone.is_taken_back and undone.corrections == ()
    assert desk.redo().sentence == "once more: piece 99.00 kg in STN"
    again = piece_state(desk.ledger, typo.row_id)
    assert again is not None and not again.is_void and not again.is_taken_back
    desk.review.void(typo.row_id, "never there")
    desk.undo()
    desk.redo()
    last = piece_state(desk.ledger, typo.row_id)
    assert last is not None and last.is_void and words_of(last) == ("voided: never there (Ilse)",)


def test_undo_works_across_a_restart_and_a_new_act_ends_redo(yard_folder: Path, clock: Clock) -> None:
    """The history is read back from the rows: quit, reopen, undo."""
    first = Desk.open(yard_folder, now=clock)
    first.tally(first.consider("12 304"))
    first.tally(first.consider("5 316"))
    first.undo()
    first.close()

    again = Desk.open(yard_folder, now=clock)
    assert [piece.is_void for piece in again.review.pieces()] == [True, False]
    again.redo()
    assert again.sums().mass_g == 17_000
    again.undo()
    again.undo()
    assert again.sums().mass_g == 0
    again.tally(again.consider("1 304"))
    with pytest.raises(DeskRefusal, match="Nothing to redo"):
        again.redo()
    again.close()


def test_moved_off_hold_and_back_by_undo_keeps_its_tag(desk: Desk) -> None:
    """A held piece that was moved to a bay and taken back waits under its old tag again."""
    desk.tally(desk.consider("2.6 ?"))
    row_id = desk.review.pieces()[0].row_id
    code = next(bay.code for bay in desk.yard.bays if not bay.is_hold)

    desk.review.move(row_id, code, "found the stamp")
    assert desk.sums().holds == ()
    desk.undo()

    assert [hold.tag for hold in desk.sums().holds] == ["T1-H1"]


def test_second_console_is_told_who_holds_the_store(desk: Desk, yard_folder: Path, clock: Clock) -> None:
    """One writer at a time; the second is told so in words."""
    with pytest.raises(StoreLocked):
        Desk.open(yard_folder, now=clock)


def test_take_over_by_another_person_of_the_yard(yard_folder: Path, clock: Clock) -> None:
    """Opening the open run as somebody else is a take-over, and a row; a stranger is refused."""
    first = Desk.open(yard_folder, now=clock)
    people = first.yard.people
    run_id = first.run().run_id
    first.close()

    second = Desk.open(yard_folder, now=clock, person=people[1].upper())

    assert (second.run().run_id, second.person) == (run_id, people[1])
    with pytest.raises(DeskRefusal, match=people[0]):
        second.take_over("Nobody Known")
    second.close()


def test_close_out_needs_a_ticket_or_words_and_writes_the_handover(desk: Desk, yard_folder: Path) -> None:
    """An unexplained difference keeps the run open; the handover lies in the folder afterwards."""
    desk.tally(desk.consider("100 304"))
    desk.note("grinder guard is loose")
    with pytest.raises(DeskRefusal, match="no ticket"):
        desk.closing.close_run()
    desk.closing.add_ticket(TicketTyped(gross="900kg", tare="500kg", note="T-17"))
    with pytest.raises(DeskRefusal, match="outside the tolerance"):
        desk.closing.close_run()

    file = desk.closing.close_run("300 kg went to the shear unsorted").made

    text = file.read_text(encoding="utf-8")
    assert file.parent == yard_folder
    assert "grinder guard is loose" in text
    assert "300 kg went to the shear unsorted" in text
    assert max(len(line) for line in text.splitlines()) <= 80
    with pytest.raises(DeskRefusal, match="closed"):
        desk.run()


def test_next_start_after_close_out_opens_the_next_run(yard_folder: Path, clock: Clock) -> None:
    """After close-out the next start has a run of its own, empty."""
    first = Desk.open(yard_folder, now=clock)
    first.tally(first.consider("1 304"))
    first.closing.close_run("no ticket today, scale under repair")
    first.close()

    second = Desk.open(yard_folder, now=clock)

    assert second.review.pieces() == []
    second.close()


def test_the_store_of_another_terminal_is_gone_on_with(yard_folder: Path, clock: Clock) -> None:
    """A store from terminal T2, its run open: T1 resumes, marks and closes it, and opens its own."""
    file = yard_folder / "yard.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('terminal = "T1"', 'terminal = "T2"'), encoding="utf-8")
    there = Desk.open(yard_folder, now=clock)
    there.tally(there.consider("12 304"))
    there.tally(there.consider("2 ?"))
    there.bays.draw_down("STN", "5", "sold")
    there.close()
    file.write_text(text, encoding="utf-8")

    here = Desk.open(yard_folder, now=clock)
    here.tally(here.consider("3 ?"))
    assert [hold.tag for hold in here.sums().holds] == ["T2-H1", "T1-H2"]
    assert here.bays.draw_down("STN", "all", "sold").made.bale.tag == "T1-STN-0001"
    assert here.closing.close_run("no scale").made.name == "handover-T2-0001.txt"
    here.close()
    again = Desk.open(yard_folder, now=clock)
    assert again.run().run_id == "T1-0002"
    assert verify(again.ledger).is_whole
    again.close()


def test_a_run_that_was_closed_meanwhile_takes_nothing_more(desk: Desk) -> None:
    """A desk whose run somebody closed says so for every act, and writes nothing."""
    piece = desk.tally(desk.consider("12 304")).row
    desk.ledger.close_run("Marit")
    seq = verify(desk.ledger).last_seq

    for act in (
        lambda: desk.tally(desk.consider("3 304")),
        lambda: desk.note("late"),
        lambda: desk.closing.add_ticket(TicketTyped(gross="20", tare="8")),
        lambda: desk.bays.draw_down("STN", "5", "sold"),
        lambda: desk.closing.close_run("again"),
        lambda: desk.take_over("Jory"),
    ):
        with pytest.raises((DeskRefusal, LedgerRefusal)):
            act()
    assert verify(desk.ledger).last_seq == seq
    assert not list(desk.yard.folder.glob("bale-*"))
    desk.ledger.move(piece.row_id, "STM", "late", "Marit")


def test_hold_is_resolved_by_a_new_reading(desk: Desk) -> None:
    """A reading beside the old facts names a held piece; undo holds it again."""
    desk.tally(desk.consider("2.6 m0 ? ; grey, dense"))
    [entered] = desk.sums().holds
    row_id, unnamed = entered.row_id, desk.review.pieces()[0].grade_id
    with pytest.raises(DeskRefusal, match="still undecided"):
        desk.review.resolve(row_id, "h4", "hefted it")

    said = desk.review.resolve(row_id, "cr18.2 ni8.1 mn1.5 fe71.3", "shot after filing").sentence

    piece = desk.review.pieces()[0]
    assert (piece.grade_id, piece.is_held, piece.mass_g) == ("304", False, 2600)
    assert piece.bay in said and piece.sureness
    desk.undo()
    [hold] = desk.sums().holds
    assert hold == entered and desk.review.pieces()[0].grade_id == unnamed
    fresh = bay_metal(desk.ledger, desk.yard, desk.library)
    assert fresh["STN"].mass_g == 0.0
    desk.redo()
    again = desk.review.pieces()[0]
    assert (again.grade_id, again.is_held, again.bay, again.sureness) == (
        "304",
        False,
        piece.bay,
        piece.sureness,
    )
    assert again.corrections == piece.corrections
    cr = bay_metal(desk.ledger, desk.yard, desk.library)["STN"].composition()["Cr"]
    assert cr.wt_pct == pytest.approx(18.2)


def test_weight_is_corrected_by_a_row_and_undone(desk: Desk) -> None:
    """A corrected weight counts at once; undo brings the old one back."""
    desk.tally(desk.consider("12.4 304"))
    row_id = desk.review.pieces()[0].row_id

    desk.review.reweigh(row_id, "1.24", "slipped point")
    assert desk.sums().mass_g == 1240
    with pytest.raises(DeskRefusal, match="not a weight"):
        desk.review.reweigh(row_id, "heavy", "no")
    desk.undo()

    assert desk.sums().mass_g == 12_400


def test_pieces_carry_the_load_they_belong_to_across_a_restart(yard_folder: Path, clock: Clock) -> None:
    """A load begun once stands with every piece, also after the console was opened again."""
    first = Desk.open(yard_folder, now=clock)
    first.piece.begin_load("Harrow Plumbing", "L-3")
    first.tally(first.consider("12.4 304"))
    first.close()

    second = Desk.open(yard_folder, now=clock)
    second.tally(second.consider("3 c36000"))

    assert {(piece.supplier, piece.load) for piece in second.review.pieces()} == {("Harrow Plumbing", "L-3")}
    second.close()
