"""Down the wire, from the office's command to the next start of a terminal, over a real server."""

import json
import os
import sqlite3
from pathlib import Path

import pytest

from console.cli import main
from console.commands.yard_folder import utc_now
from console.desk import Desk, load_yard_and_library
from console.office.address import Address, Connection
from console.office.words.signing import VARIABLE, key_file
from console.office.words.waiting import waiting_file

Capture = pytest.CaptureFixture[str]
YARD = "Marlstone Siding Metals"
PRICES = 'currency = "EUR"\n[[bay]]\ncode = "AXC"\nprice_per_kg = 1.91\n'


@pytest.fixture
def key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> str:
    """The office's key, made by the command; its public half."""
    monkeypatch.setenv(VARIABLE, str(tmp_path / "office" / "office.key"))
    assert main(["tell", "--make-key"]) == 0
    return capsys.readouterr().out.split('"')[1]


@pytest.fixture
def terminal(yard_folder: Path, address: Address, monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> Path:
    """A terminal that has sorted one piece, and its office."""
    monkeypatch.setenv("BAYWRIGHT_OFFICE", address.conninfo)
    lines = yard_folder / "lines.txt"
    lines.write_text("3 c36000\n", encoding="utf-8")
    assert main(["enter", str(lines), "--yard", str(yard_folder)]) == 0
    capsys.readouterr()
    return yard_folder


def trusts(folder: Path, *keys: str, wins: tuple[str, ...] = ("prices", "bays", "people", "buyers")) -> None:
    """Have a yard.toml name keys of the office and the parts in which it wins."""
    file = folder / "yard.toml"
    text = file.read_text("utf-8").partition("\n[office]\nkeys")[0]
    file.write_text(f"{text}\n[office]\nkeys = {json.dumps(keys)}\nwins = {json.dumps(wins)}\n", "utf-8")


def says(folder: Path, text: str, *, to: str = YARD) -> int:
    """Say a text to a yard by the office's command; return the status."""
    file = folder.parent / "said.toml"
    file.write_text(text, encoding="utf-8")
    return main(["tell", str(file), "--to", to, "--person", "Ilse", "--yard", str(folder)])


def started(folder: Path) -> tuple[str, list[tuple[str, dict[str, object]]]]:
    """Start at the desk and leave; return what was told, and kind and body of the rows that came."""
    store = sqlite3.connect(folder / "yard.sqlite3")
    (newest,) = store.execute("SELECT max(seq) FROM ledger").fetchone()
    desk = Desk.open(folder, now=utc_now)
    told = " ".join(desk.ledger.told_at_start)
    desk.close()
    rows = store.execute("SELECT kind, body FROM ledger WHERE seq > ? ORDER BY seq", (newest,)).fetchall()
    store.close()
    return told, [(kind, json.loads(body)) for kind, body in rows]


def test_a_price_goes_down_the_wire(key: str, terminal: Path, office: Connection, capsys: Capture) -> None:
    """Said, pulled, taken as rows, told at the start, sold at: and the office sees that it was taken."""
    trusts(terminal, key)
    assert says(terminal, PRICES) == 0
    assert load_yard_and_library(terminal)[0].bay("AXC").price_per_kg == 1.78
    assert main(["gather", "--yard", str(terminal)]) == 0
    assert "hold from the next start of the console: 1" in capsys.readouterr().out

    told, rows = started(terminal)

    assert [kind for kind, _ in rows] == ["office", "price"]
    assert rows[1][1]["source"] == "office"
    assert rows[1][1]["prices"] == {"AXC": ["1.91", "1.3", "0.9"]}
    assert "The office (Ilse) changed: AXC price_per_kg 1.78, now 1.91." in told
    assert "Prices changed (office): AXC sells 1.78" in told
    assert load_yard_and_library(terminal)[0].bay("AXC").price_per_kg == 1.91
    taken = "SELECT said_up_to, taken_up_to FROM baywright.word_v"
    assert office.execute(taken).fetchall() == [(1, 0)]
    assert main(["gather", "--yard", str(terminal)]) == 0
    assert office.execute(taken).fetchall() == [(1, 1)]
    assert not waiting_file(terminal / "yard.sqlite3").exists()
    assert started(terminal)[1] == []
    capsys.readouterr()
    assert main(["handover", "--yard", str(terminal)]) == 0
    assert "word 1 of the office was taken" in capsys.readouterr().out


def test_the_picture_tells_which_word_a_terminal_has_not_taken(
    key: str, terminal: Path, address: Address, capsys: Capture
) -> None:
    """The morning report names the words that wait for a terminal and what they are about, then none."""

    def report() -> str:
        assert main(["office", "--from", address.conninfo, "--form", "text"]) == 0
        return capsys.readouterr().out

    trusts(terminal, key)
    assert main(["gather", "--yard", str(terminal)]) == 0
    assert "what the office said\nnone" in report()
    assert says(terminal, PRICES) == says(terminal, 'people = ["Ilse"]') == 0
    text = report()
    assert "has not taken words 1 to 2 of the office (prices, people), said " in text
    assert "not taken" in text.partition("what the office said")[2]

    assert main(["gather", "--yard", str(terminal)]) == 0
    started(terminal)
    assert main(["gather", "--yard", str(terminal)]) == 0

    after = report()
    assert "has not taken" not in after
    assert after.partition("what the office said")[2].split()[-2:] == ["2", "2"]


def test_people_rules_and_buyers_go_down_the_wire(key: str, terminal: Path) -> None:
    """Everybody's name, a bay's limit and a buyer are as the office says; what else the yard says stays."""
    trusts(terminal, key)
    assert (
        says(terminal, 'people = ["Ilse", "Bo"]\n[[bay]]\ncode = "AXC"\nelement_limits = { Cu = 0.2 }\n') == 0
    )
    assert says(
        terminal,
        '[[buyer]]\ncode = "RFA"\nname = "Rill Foundry"\n[[buyer.order]]\ncode = "RFA1"\nname = "clean"\n'
        'accepts = ["6063"]\nprice_per_kg = 1.9\nuntil = 2027-01-31\n',
    ) == 0  # fmt: skip
    assert main(["gather", "--yard", str(terminal)]) == 0

    told, rows = started(terminal)

    yard, _ = load_yard_and_library(terminal)
    assert [kind for kind, _ in rows] == ["office", "office"]
    assert yard.people == ("Ilse", "Bo")
    assert yard.bay("AXC").element_limits == {"Cu": 0.2}
    assert yard.bay("AXC").price_per_kg == 1.78
    assert [(one.code, str(one.orders[0].until)) for one in yard.buyers] == [("RFA", "2027-01-31")]
    assert "people Ilse, Jory, Marit, Tavi, now Ilse, Bo" in told


def test_where_the_office_does_not_win_it_is_told(key: str, terminal: Path) -> None:
    """Its word is kept and the difference told at every start, but yard.toml stands."""
    trusts(terminal, key, wins=("people",))
    assert says(terminal, PRICES) == 0
    assert main(["gather", "--yard", str(terminal)]) == 0

    told, rows = started(terminal)

    assert [kind for kind, _ in rows] == ["office"]
    difference = "yard.toml stands ([office] wins): AXC price_per_kg 1.78 (office: 1.91)"
    assert difference in told
    assert load_yard_and_library(terminal)[0].bay("AXC").price_per_kg == 1.78
    assert difference in started(terminal)[0]


def test_a_word_of_another_key_is_not_taken(
    key: str, terminal: Path, capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is signed by a key that yard.toml does not name stays out; what came before it is taken."""
    trusts(terminal, key)
    assert says(terminal, PRICES) == 0
    monkeypatch.setenv(VARIABLE, str(tmp_path / "other.key"))
    assert main(["tell", "--make-key"]) == 0
    assert says(terminal, PRICES.replace("1.91", "9.99")) == 0
    capsys.readouterr()

    assert main(["gather", "--yard", str(terminal)]) == 1
    said = capsys.readouterr().out

    assert "NOT TAKEN: Word 2 of the office is signed by a key that yard.toml does not name" in said
    started(terminal)
    assert load_yard_and_library(terminal)[0].bay("AXC").price_per_kg == 1.91


def test_a_yard_without_a_key_takes_nothing(key: str, terminal: Path, capsys: Capture) -> None:
    """Where yard.toml names no key the words stay at the office, and that is said with the way out."""
    assert says(terminal, PRICES) == 0

    assert main(["gather", "--yard", str(terminal)]) == 1

    assert "yard.toml names no key of the office ([office] keys)" in capsys.readouterr().out
    assert started(terminal)[1] == []


def test_a_file_that_was_changed_beside_the_store_is_not_taken(key: str, terminal: Path) -> None:
    """Between pull and start the signature still holds the words together."""
    trusts(terminal, key)
    assert says(terminal, PRICES) == 0
    assert main(["gather", "--yard", str(terminal)]) == 0
    file = waiting_file(terminal / "yard.sqlite3")
    file.write_text(file.read_text("utf-8").replace("1.91", "0.01"), encoding="utf-8")

    told, rows = started(terminal)

    assert "Word 1 of the office is not as it was signed: not taken" in told
    assert rows == []
    file.write_text("[", encoding="utf-8")
    assert "holds no words of the office" in started(terminal)[0]


def test_words_left_beside_the_store_are_taken_once(key: str, terminal: Path) -> None:
    """Where a start was killed before it took the file away, the next one takes nothing twice and says
    nothing of it."""
    trusts(terminal, key)
    assert says(terminal, PRICES) == 0
    assert main(["gather", "--yard", str(terminal)]) == 0
    waiting = waiting_file(terminal / "yard.sqlite3")
    text = waiting.read_text(encoding="utf-8")
    started(terminal)
    waiting.write_text(text, encoding="utf-8")

    told, rows = started(terminal)

    assert "not taken" not in told
    assert rows == []


def test_what_a_yard_cannot_take_waits_for_what_mends_it(key: str, terminal: Path) -> None:
    """Words with which the yard would not be whole change nothing, until a word that mends it comes."""
    trusts(terminal, key)
    assert says(terminal, '[[bay]]\ncode = "AXC"\nrefused_to = "QQX"\n') == 0
    assert main(["gather", "--yard", str(terminal)]) == 0

    told, rows = started(terminal)

    assert "was not taken: yard.toml, bay AXC, refused_to" in told
    assert rows == []
    assert says(terminal, '[[bay]]\ncode = "AXC"\nrefused_to = "ALO"\n') == 0
    assert main(["gather", "--yard", str(terminal)]) == 0
    assert [kind for kind, _ in started(terminal)[1]] == ["office", "office"]
    assert load_yard_and_library(terminal)[0].bay("AXC").refused_to == "ALO"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ('name = "Other"\n', "name: this key is not known"),
        ('[[bay]]\ncode = "AXC"\nis_hold = true\n', "is_hold: this key is not known"),
        ('[[bay]]\ncode = "AXC"\nprice_per_kg = 2\n', "currency: is missing"),
        ('currency = "EUR"\n[[bay]]\ncode = "AXC"\nprice_per_kg = "2"\n', "is no number"),
        ('[[bay]]\ncode = "AXC"\naccepts = ["no such metal"]\n', "no such metal"),
        ("people = []\n", "nobody is named"),
        ('currency = "EUR"\n', "The file says nothing"),
    ],
)  # fmt: skip
def test_what_cannot_be_said_is_refused_at_the_office(
    key: str, terminal: Path, office: Connection, capsys: Capture, text: str, why: str
) -> None:
    """A slip is told where it was made; nothing goes to the server."""
    assert says(terminal, text) != 0

    assert why in capsys.readouterr().err
    assert office.execute("SELECT count(*) FROM baywright.word").fetchone() == (0,)


def test_prices_of_another_currency_are_not_taken(key: str, terminal: Path) -> None:
    """A price in another currency than the yard's is no price there."""
    trusts(terminal, key)
    assert says(terminal, PRICES.replace("EUR", "USD")) == 0
    assert main(["gather", "--yard", str(terminal)]) == 0

    told, rows = started(terminal)

    assert "the office's prices are in USD, the yard's in EUR" in told
    assert rows == []


def test_the_key_is_its_owners_alone(key: str, terminal: Path, capsys: Capture) -> None:
    """It is never written over, and not used where others can read it; nothing prints it."""
    assert main(["tell", "--make-key"]) != 0
    assert "is never written over" in capsys.readouterr().err
    if os.name == "posix":
        assert key_file().stat().st_mode & 0o777 == 0o600
        for mode in (0o604, 0o640):
            key_file().chmod(mode)
            assert says(terminal, PRICES) != 0
            assert "Others can read the office's key" in capsys.readouterr().err
