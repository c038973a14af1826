"""Sorting line by line: prompt, sentence, the same grammar and acts as the console, without a full screen."""

import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.commands.shift.by_line.session import LineByLine
from console.commands.shift.by_line.words import HELP
from console.desk import Desk
from console.entry.vocabulary import remark, reserved
from console.ledger.rows.queries import LedgerReader
from console.ledger.rows.runs import latest_run
from console.ledger.views.tally import tally
from tests.driven.pty_session import PtySession

COMMAND = ("-m", "console.cli", "sort", "--plain", "--yard")


def bays_of(yard: Path) -> dict[str, tuple[int, int]]:
    """Return bay -> pieces and grams, from the store."""
    with LedgerReader.open(yard / "yard.sqlite3") as reader:
        run = latest_run(reader)
        assert run is not None
        return {one.bay: (one.pieces, one.mass_g) for one in tally(reader, run.run_id).bays}


def piped(yard: Path, text: str) -> subprocess.CompletedProcess[str]:
    """Sort what comes through a pipe."""
    return subprocess.run(
        [sys.executable, *COMMAND, str(yard)], input=text, capture_output=True, text=True, timeout=60
    )


def test_a_pipe_sorts_undoes_and_is_told_in_one_line_each(yard_folder: Path) -> None:
    """Every line is answered by one line; what was undone is not in the store, what was looked at neither."""
    lines = [
        "12.4 304",
        "3.1 yellow brass",
        "undo",
        "look 9 stn",
        "304",
        "7.5 x",
        "note gate is shut",
        "tally",
    ]

    done = piped(yard_folder, "\n".join(lines) + "\n")

    answers = done.stdout.split("\n")[1:]
    assert answers[0].startswith("piece: 12.40 kg"), done.stdout
    assert "STN" in answers[3] and "Not done: Type the weight" in answers[4], done.stdout
    assert answers[7].startswith("piece: STN 1 piece 12.40 kg"), done.stdout
    assert len(answers) == len(lines) + 3, done.stdout  # after the last prompt a line and the end
    assert (bays_of(yard_folder), done.returncode) == ({"STN": (1, 12_400)}, 1)


def test_figures_alone_are_said_with_their_elements(yard_folder: Path) -> None:
    """A look says which element decides next; a piece tallied by figures is read back as it was taken."""
    done = piped(yard_folder, "look 5m0*cr18.2\n5m0*cr18.2 8.1\n6 cr18.2 ni8.1\n7=17.9 8.3m0\n")

    look, asked, named, alone = done.stdout.split("\n")[1:5]
    assert "; Ni decides next." in look, done.stdout
    assert "Read as: 5m0 cr=18.2 ni=8.1" in asked, done.stdout
    assert "Read as" not in named
    assert "Read as: 7 cr=17.9 ni=8.3 m0" in alone, done.stdout


def test_a_stop_is_read_out_whole_before_the_piece_is_tallied(yard_folder: Path) -> None:
    """The first time says STOP and tallies nothing, the same line once more tallies; another line is none."""
    first = piped(yard_folder, "2 gas bottle\n")
    assert "STOP. Closed container: " in first.stdout
    assert bays_of(yard_folder) == {}

    piped(yard_folder, "2 gas bottle\n2 gas bottle\nquit\n")
    assert bays_of(yard_folder) == {"HLD": (1, 2_000)}


def test_a_terminal_gets_the_prompt_the_sentence_and_no_drawing(yard_folder: Path) -> None:
    """On a pseudo-terminal the prompt waits, a piece is answered, and no escape sequence is ever sent."""
    session = PtySession([*COMMAND, str(yard_folder)])
    try:
        session.wait_for("piece: ")
        session.send("12.4 304\n")
        session.wait_for("STN")
        session.send("7.5\n")
        session.wait_for("7.50 kg")
        session.send("quit\n")
        session.wait_for("the run stays open")
        assert session.end() == 0
    finally:
        session.close()

    assert b"\x1b" not in session.painted
    assert bays_of(yard_folder) == {"STN": (2, 19_900)}


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    """The demo yard, open."""
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


def newest(desk: Desk) -> tuple[str, str]:
    """Return line and bay of the piece tallied last."""
    last = desk.review.last_piece()
    assert last is not None
    return last.line, last.bay


def test_a_bay_is_chosen_by_number_by_code_or_before_its_piece(desk: Desk) -> None:
    """The best stand first, the hold is 0, any code goes; nonsense asks again, leave changes nothing."""
    session = LineByLine(desk)

    assert "1 STN stainless 18-8 accepts" in session.answer("bay 12.4 304")
    assert "Once more, or leave" in session.answer("nowhere")
    assert "12.40 kg" in session.answer("fer")
    assert newest(desk) == ("12.4 304", "FER")
    for typed, bay in (("1", "STN"), ("0", "HLD")):
        session.answer("bay 5 304")
        session.answer(typed)
        assert newest(desk) == ("5 304", bay)
    session.answer("bay 6 304")
    assert (session.answer("leave"), newest(desk)[0]) == ("Left as it was.", "5 304")

    assert "type the piece" in session.answer("stm")
    session.answer("7 304")
    session.answer("8 304")
    assert [(one.line, one.bay) for one in desk.review.latest(2)] == [("8 304", "STN"), ("7 304", "STM")]


def test_the_last_piece_is_corrected_in_one_line_or_in_two(desk: Desk) -> None:
    """The old one is void, the new line stands in its place; a question in between keeps the place."""
    session = LineByLine(desk)
    assert session.answer("correct") == "There is no piece in this run yet."
    session.answer("12.4 304")

    session.answer("correct 12.4 316")
    assert (newest(desk)[0], desk.sums().pieces) == ("12.4 316", 1)
    assert "typed as: 12.4 316" in session.answer("correct")
    assert "STOP" in session.answer("12.4 gas bottle")
    session.answer("12.4 gas bottle")
    assert (newest(desk), desk.sums().pieces) == (("12.4 gas bottle", "HLD"), 1)
    session.answer("undo")
    assert newest(desk)[0] == "12.4 316"


def test_a_tag_resolves_its_hold_over_three_lines(desk: Desk) -> None:
    """What was found, the bay where that is open, what settled it; findings in doubt are asked again."""
    session = LineByLine(desk)
    session.answer("2.6 ?")
    tag = desk.sums().holds[0].tag or ""
    assert tag in session.answer("waiting")

    assert "What was found" in session.answer(tag.casefold())
    assert "Once more, or leave" in session.answer("m0 m2")
    assert "Which bay" in session.answer("m0")
    assert "What settled it" in session.answer("stn")
    assert "off hold -> STN" in session.answer("")
    assert (session.answer("waiting"), newest(desk)[1]) == ("Nothing waits on hold.", "STN")

    assert "waits no more" in session.answer(f"resolve {tag}")


def test_a_dear_bay_wants_a_reason_for_a_skin(desk: Desk) -> None:
    """Only the line that was kept out goes in, once, with the words given."""
    session = LineByLine(desk)
    assert "Nothing keeps" in session.answer("despite it is solid")
    assert "despite and your reason" in session.answer("1.2 cr65 ni25 fe1 @nix")
    assert "despite REASON" in session.answer("despite")

    assert "despite the skin" in session.answer("despite filed to the core")
    assert newest(desk) == ("1.2 cr65 ni25 fe1 @nix", "NIX")
    assert "Nothing keeps" in session.answer("despite again")


def test_a_run_is_closed_over_a_few_lines(desk: Desk) -> None:
    """Holds are signed for or carried over, a difference is explained, who works signs; the sitting ends."""
    session = LineByLine(desk)
    for line in ("12.4 304", "2.6 ?", "3 ?", "ticket 1240 360 from Old Mill load 7"):
        session.answer(line)
    first = desk.sums().holds[0].tag or ""
    folder = desk.yard.folder

    assert f"2 pieces on hold: {first}" in session.answer("close")
    assert "Once more, or leave" in session.answer(first)
    assert "1 piece on hold" in session.answer(f"{first} the buyer takes it unnamed")
    assert "outside the tolerance" in session.answer("")
    assert "Once more, or leave" in session.answer("")
    assert "Who signs" in session.answer("the rest was sorted yesterday")
    assert "is not in yard.toml" in session.answer("Nobody")
    assert (session.is_over, "The next start opens" in session.answer("")) == (False, True)
    assert session.is_over
    handover = next(folder.glob("handover*.txt")).read_text(encoding="utf-8")
    assert "the buyer takes it unnamed" in handover
    assert "the rest was sorted yesterday" in handover


def test_no_word_of_the_sitting_is_a_word_of_the_entry_line(desk: Desk) -> None:
    """Nobody who names metal or its look is taken to ask for something else; "seen" is the same
    on both."""
    words = LineByLine(desk)._acts

    assert [one for one in words if desk.names.exact(one) or reserved(one) or remark(one)] == ["seen"]
    assert [one for one in words if one not in HELP and one not in ("resolve", "help")] == []


def test_a_terminal_closes_a_run_and_the_sitting_ends(yard_folder: Path) -> None:
    """On a pseudo-terminal the questions come one by one, and the process ends by itself with 0."""
    session = PtySession([*COMMAND, str(yard_folder)])
    try:
        for typed, waited_for in (
            ("12.4 304", "STN"),
            ("close", "Enter gross and tare"),
            ("no ticket", "signs"),
        ):
            session.wait_for("answer: " if typed == "no ticket" else "piece: ")
            session.send(f"{typed}\n")
            session.wait_for(waited_for)
        session.send("\n")
        session.wait_for("run T1-0001 closed; its handover is in")
        assert session.end() == 0
    finally:
        session.close()

    assert list(yard_folder.glob("handover*.txt"))


def test_a_running_tare_is_taken_off_line_by_line_too(desk: Desk) -> None:
    """Each weight after it is gross, same again and a look too; a correction says its own; ended, none is."""
    session = LineByLine(desk)
    assert "tare WEIGHT" in session.answer("tare 304 m0")
    assert "28.00 kg are taken off each weight" in session.answer("tare 28")
    session.answer("64 fer")
    session.answer("50")
    assert desk.review.latest(2)[1].line == "64-28 fer"
    assert [one.mass_g for one in desk.review.latest(2)] == [22_000, 36_000]
    assert "36.00 kg net" in session.answer("look 64 fer")
    session.answer("correct 60 fer")
    assert desk.review.latest(1)[0].mass_g == 60_000

    assert "28.00 kg are still taken off" in LineByLine(desk).telling.greeting()
    assert session.answer("tare") == "No tare from here on."
    session.answer("64 fer")
    assert desk.review.latest(1)[0].mass_g == 64_000
    assert "still" not in LineByLine(desk).telling.greeting()


def test_what_was_left_is_told_until_it_was_seen(desk: Desk) -> None:
    """After a take-over the greeting says so, left says the hold and the note, seen ends it."""
    session = LineByLine(desk)
    assert "Analyser overdue." in session.telling.greeting()
    desk.checks.shoot("316 coupon", "cr16.8 ni10.2 mo2.1")
    assert "overdue" not in session.telling.greeting()
    assert "Something was left" not in session.telling.greeting()
    assert "The pieces go on" not in session.telling.greeting()
    session.answer("from Old Mill load 7")
    session.answer("2.6 ? ; grey")
    assert "The pieces go on from Old Mill load 7, as before" in session.telling.greeting()
    session.answer("note gate is shut")
    session.answer(f"person {desk.yard.people[1]}")

    assert "Something was left for you" in session.telling.greeting()
    left = session.answer("left")
    assert "T1-H1" in left
    assert "gate is shut" in left
    assert "has seen what was left" in session.answer("seen")
    assert "Something was left" not in session.telling.greeting()


def waits(desk: Desk, *pieces: tuple[str, str]) -> None:
    """Let readings wait as if a file had brought them: piece and shots."""
    for number, (piece, shots) in enumerate(pieces):
        kept = {"piece": piece, "file": "a.csv", "line": number + 2, "rows": [f"r{number}"], "text": shots}
        assert desk.readings.take_back(json.dumps([kept]))


def test_a_reading_that_waits_is_tallied_with_a_line_and_gone(desk: Desk) -> None:
    """It is told once; read asks which of several, puts it behind the line, and the piece takes it along."""
    session = LineByLine(desk)
    assert session.answer("readings") == "No reading waits."
    assert "No reading waits" in session.answer("read 8 m0")
    waits(desk, ("B2", "cu70.1 zn29.8"), ("A1", "cr18.2 ni8.1 fe71"))

    assert session.readings.news() == "2 readings wait: read LINE tallies a line with one."
    assert session.readings.news() == ""
    assert "1 A1 of a.csv, fe=71 cr=18.2 ni=8.1; 2 B2" in session.answer("readings")
    assert "Which reading: 1 A1" in session.answer("read 8 m0")
    assert "Once more, or leave" in session.answer("3")
    assert "-> STN" in session.answer("1")
    assert desk.review.latest(1)[0].line == "8 m0 fe=71 cr=18.2 ni=8.1"
    assert "-> YBR" in session.answer("read 2")
    assert session.answer("readings") == "No reading waits."
    session.answer("undo")
    assert "1 B2 of a.csv" in session.answer("readings")
    assert "aside REASON" in session.answer("aside")
    session.answer("aside shot at the table")
    assert session.answer("readings") == "No reading waits."


def test_a_hold_is_resolved_by_a_reading_that_waits(desk: Desk) -> None:
    """read in the place of findings puts it there; where none waits it is not offered and asked again."""
    session = LineByLine(desk)
    session.answer("2.6 ?")
    assert "read takes one" not in session.answer("t1-h1")
    assert "No reading waits" in session.answer("read")
    session.answer("leave")
    waits(desk, ("T1-H1", "cr18.2 ni8.1 fe71"))

    assert "read takes one that waits" in session.answer("t1-h1")
    assert "into STN" in session.answer("read m0")
    assert "off hold -> STN" in session.answer("")
    assert session.answer("readings") == "No reading waits."


def test_a_file_in_the_folder_is_found_while_nobody_types(
    yard_folder: Path, desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The thread finds it, and what it found is told with the next line; a fault while looking is raised."""
    monkeypatch.setattr("console.readings.files.STILL_S", 0.0)
    (yard_folder / "readings" / "a.csv").write_text("piece,Cr,Ni,Fe\nA1,18.2,8.1,71\n", "utf-8")
    readings = LineByLine(desk).readings
    watch = desk.readings.watch_folder()
    assert watch is not None
    for _ in range(3):
        readings._looks.put(watch.look())

    assert "1 reading waits" in readings.news()
    readings._looks.put(OSError("gone"))
    with pytest.raises(OSError, match="gone"):
        readings.news()


def test_a_caution_is_a_sentence_of_its_own(desk: Desk) -> None:
    """Behind what became of the piece, with a stop between."""
    said = LineByLine(desk).answer("9 lead sheet h5")

    assert "settled. Warn, lead: " in said or "leaning. Warn, lead: " in said


def test_a_caution_wears_off_and_can_be_told_again(desk: Desk) -> None:
    """In full once a shift, by its title from then on; a STOP always whole, and somebody else hears all."""
    session = LineByLine(desk)
    in_full = "No torch, no grinding"
    assert in_full in session.answer("9 lead sheet h5")
    second = session.answer("8 lead sheet h5")
    assert in_full not in second and "cautions says how: lead." in second
    assert in_full in session.answer("cautions")
    session.answer("2 gas bottle")
    assert "Treat it as full" in session.answer("2 gas bottle")
    assert "Treat it as full" in session.answer("3 gas bottle")

    session.answer("person Jory")
    assert in_full in session.answer("8 lead sheet h5")
