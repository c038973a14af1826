"""Whether words of the office may be taken: for this yard, in order, whole, signed by a key it trusts."""

import base64
import binascii
from collections.abc import Iterable, Sequence
from dataclasses import asdict

from console.ground.cleaning import clean
from console.office.words.word import LONGEST, SIGNED, Word, WordRefused, hash_of, last_of

NEEDS = 'what the office signs needs one more package: pip install "baywright[office]"'


def trusted_of(
    words: Sequence[Word], *, yard: str, after: tuple[int, str], keys: Iterable[str]
) -> tuple[list[Word], str]:
    """Return the words that may be taken, and why the first that may not; empty where all may.

    Args:
        words: Oldest first.
        yard: Name of the yard that they must be for.
        after: Number and hash of the newest word that was taken; the first must follow it.
        keys: Public keys that the yard's yard.toml names.

    Raises:
        WordRefused: The package that checks signatures is missing.
    """
    trusted: list[Word] = []
    for word in words:
        if refusal := _why_not(word, yard, last_of(trusted) if trusted else after, frozenset(keys)):
            return trusted, refusal
        trusted.append(word)
    return trusted, ""


def _why_not(word: Word, yard: str, after: tuple[int, str], keys: frozenset[str]) -> str:
    """Return why a word may not be taken; empty where it may."""
    name = f"Word {word.number} of the office"
    if (word.yard, word.number, word.prev_hash) != (yard, after[0] + 1, after[1]):
        return (
            f"{name} does not follow the last one that was taken here ({after[0]}): not taken, nor any after "
            "it. Was the office put back from a backup, or the yard renamed? Ask whoever keeps it."
        )
    if hash_of(asdict(word)) != word.row_hash:
        return f"{name} is not as it was signed: not taken, nor any after it."
    if word.key not in keys:
        return (
            f"{name} is signed by a key that yard.toml does not name ([office] keys): not taken, nor any "
            f"after it. Its key: {clean(word.key, 60)}. Ask the office by another way whether it is theirs."
        )
    if len(word.said) > LONGEST or not _is_signed(word):
        return f"{name} does not bear the signature of its key: not taken, nor any after it."
    return ""


def _is_signed(word: Word) -> bool:
    try:
        from cryptography.exceptions import InvalidSignature
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
    except ImportError:
        raise WordRefused(NEEDS) from None
    try:
        key = Ed25519PublicKey.from_public_bytes(base64.b64decode(word.key, validate=True))
        key.verify(base64.b64decode(word.signature, validate=True), SIGNED + word.row_hash.encode("ascii"))
    except (InvalidSignature, ValueError, binascii.Error):
        return False
    return True
