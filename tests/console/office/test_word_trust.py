"""Which words of an office may be taken, and what the server itself refuses."""

import base64
from dataclasses import asdict, replace

import psycopg
import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from console.ledger.rows.chain import FIRST_PREV_HASH
from console.office.address import Connection
from console.office.words.signing import public_half, signed
from console.office.words.trusting import trusted_of
from console.office.words.wire import pulled, put
from console.office.words.word import Word, hash_of
from tests.console.office.test_access import as_login, logins  # noqa: F401 - a fixture

START = (0, FIRST_PREV_HASH)
KEY = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))


def words(count: int = 3, *, yard: str = "North") -> list[Word]:
    """Return words of an office, signed."""
    made: list[Word] = []
    for number in range(count):
        after = (made[-1].number, made[-1].row_hash) if made else START
        made.append(signed(KEY, yard=yard, person="Ilse", said=f'people = ["P{number} µ"]\n', after=after))
    return made


def why_not(given: list[Word], *, yard: str = "North", keys: tuple[str, ...] = (public_half(KEY),)) -> str:
    return trusted_of(given, yard=yard, after=START, keys=keys)[1]


def test_words_as_they_were_signed_are_trusted() -> None:
    """All of them, in their order, and none is refused."""
    made = words()

    assert trusted_of(made, yard="North", after=START, keys=["other", public_half(KEY)]) == (made, "")


def test_the_public_half_is_that_of_the_published_vector() -> None:
    """Source: RFC 8032, section 7.1, TEST 1 (secret and public key)."""
    secret = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
    public = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")

    assert base64.b64decode(public_half(Ed25519PrivateKey.from_private_bytes(secret))) == public


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"said": 'people = ["Mallory"]\n'}, "is not as it was signed"),
        ({"person": "Mallory"}, "is not as it was signed"),
        ({"number": 2}, "does not follow"),
        ({"yard": "South"}, "does not follow"),
        ({"signature": "AAAA"}, "does not bear the signature"),
        ({"signature": "\x00?"}, "does not bear the signature"),
    ],
)  # fmt: skip
def test_a_changed_word_is_refused(change: dict[str, object], why: str) -> None:
    """Text, author, number, yard or signature: whatever is changed is seen."""
    (word,) = words(1)

    assert why in why_not([replace(word, **change)])  # type: ignore[arg-type]


def test_a_hash_made_to_fit_is_refused() -> None:
    """Who can reckon a hash still cannot sign it, nor with a key of their own."""
    (word,) = words(1)
    other = replace(word, said='people = ["Mallory"]\n')
    fitting = replace(other, row_hash=hash_of(asdict(other)))
    own = Ed25519PrivateKey.from_private_bytes(bytes(32))

    assert "does not bear the signature" in why_not([fitting])
    mine = signed(own, yard="North", person="Ilse", said=word.said, after=START)
    assert "does not name" in why_not([mine])
    assert "does not bear the signature" in why_not([replace(mine, key=public_half(KEY))])


def test_words_left_out_turned_round_or_of_another_yard_are_refused() -> None:
    """The words before the first that does not follow are taken, it and all after it are not."""
    first, second, third = words()

    taken, refusal = trusted_of([first, third], yard="North", after=START, keys=[public_half(KEY)])
    assert taken == [first]
    assert "Word 3 of the office does not follow the last one that was taken here (1)" in refusal
    assert "does not follow" in why_not([second, first])
    assert "does not follow" in why_not(words(yard="South"))


def test_the_server_keeps_words_in_order_and_whole(office: Connection) -> None:
    """A word out of order, twice or changed is refused by the server too, and none is changed or deleted."""
    first, second, third = words()
    put(office, first)
    for bad in (third, replace(second, said="people = []"), replace(second, prev_hash=FIRST_PREV_HASH)):
        with pytest.raises(Exception, match="does not follow the newest one here"):
            put(office, bad)
    put(office, second)
    with pytest.raises(Exception, match="refused"):
        put(office, second)
    for act in (
        "UPDATE baywright.word SET said = ''",
        "DELETE FROM baywright.word",
        "TRUNCATE baywright.word",
    ):
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            office.execute(act)

    assert pulled(office, "North", 0) == [first, second]
    assert pulled(office, "North", 1) == [second]


def test_a_terminal_reads_its_yards_words_and_writes_none(
    office: Connection,
    logins: dict[str, str],  # noqa: F811
) -> None:
    """The office's login writes, for its yards; a terminal reads those of its own yard and writes none."""
    (north,), (south,) = words(1), words(1, yard="South")
    with as_login(office, logins["office_north"]):
        put(office, north)
        with pytest.raises(Exception, match="does not let this login do that"):
            put(office, south)
    with as_login(office, logins["office"]):
        put(office, south)
    with as_login(office, logins["north"]):
        assert pulled(office, "North", 0) == [north]
        assert pulled(office, "South", 0) == []
        with pytest.raises(Exception, match="does not let this login do that"):
            put(office, words(2)[1])
