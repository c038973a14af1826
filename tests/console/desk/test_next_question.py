"""What a line asks for before it is a piece is said in one place, and both ways to sort go by it."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from console.desk import Desk
from console.desk.piece.next_question import Asks, Questions

GUARDED = "1.2 cr65 ni25 fe1 @nix"
LINES: tuple[tuple[str, Asks], ...] = (
    ("from Old Mill load 7", Asks.LOAD),
    ("T1-H1", Asks.TAG),
    ("stn", Asks.PIECE),
    ("", Asks.LINE),
    ("5 sheeet 304", Asks.WORD),
    ("304", Asks.WEIGHT),
    ("2 gas bottle", Asks.STOP),
    (GUARDED, Asks.REASON),
    ("12.4 304", Asks.NOTHING),
    ("12.4 304 m0 m2", Asks.NOTHING),
)
"""A line for each thing that can be asked for; the last is refused by the desk itself."""


@pytest.fixture
def desk(yard_folder: Path, clock: Callable[[], datetime]) -> Iterator[Desk]:
    """The demo yard, open."""
    opened = Desk.open(yard_folder, now=clock)
    yield opened
    opened.close()


def test_every_question_has_its_line(desk: Desk) -> None:
    """Each of the lines asks for what stands beside it, and nothing can be asked for that none shows."""
    asked = [Questions().next(desk, desk.consider(line)).for_what for line, _ in LINES]
    desk.take_over("Jory")
    asked.append(Questions().next(desk, desk.consider("Seen")).for_what)

    assert asked == [*(wanted for _, wanted in LINES), Asks.SEEN]
    assert set(asked) == set(Asks)
    desk.left.see()
    assert Questions().next(desk, desk.consider("seen")).for_what is Asks.WEIGHT


def test_a_stop_is_read_once_for_its_line_until_a_piece_was_tallied(desk: Desk) -> None:
    """Another line with a STOP is asked about too; after a tallied piece the first one again."""
    questions = Questions()
    first, other = desk.consider("2 gas bottle"), desk.consider("3 gas bottle")

    asked = [questions.next(desk, one).for_what for one in (first, first, other, first)]
    assert asked == [Asks.STOP, Asks.NOTHING, Asks.STOP, Asks.STOP]
    questions.forget()
    assert questions.next(desk, first).for_what is Asks.STOP


def test_a_word_is_answered_by_the_line_right_after_it(desk: Desk) -> None:
    """A number stands for its offer, the line once more keeps the word; later it is just a line."""
    questions = Questions()
    line = "5 sheeet 304"
    questions.next(desk, desk.consider(line))

    assert questions.replied(f"{line} 1") == "5 sheet 304"
    assert questions.replied(f"{line} 1") == f"{line} 1"


def test_an_answer_is_read_while_it_is_typed_and_the_question_stands(desk: Desk) -> None:
    """What Enter will make of it is shown before; the line about which was asked stays as it is."""
    questions = Questions()
    line = "5 sheeet 304"
    assert questions.replying(f"{line} 1") == f"{line} 1"
    questions.next(desk, desk.consider(line))

    assert questions.replying(line) == line
    assert questions.replying(f"{line} 1") == "5 sheet 304"
    assert questions.replied(f"{line} 1") == "5 sheet 304"
