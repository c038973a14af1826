"""The office's key: made, read, used to sign.

The private key lies in a file of its own that its owner alone can read, never on a command line, in a log or
at the server. Ed25519 comes from the package cryptography.
"""

import base64
import os
import stat
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from platformdirs import user_config_path

from console.ground.durable import onto_disk
from console.ledger.rows.row_text import time_text
from console.office.errors import OfficeError
from console.office.words.word import SIGNED, Word, hash_of

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

VARIABLE = "BAYWRIGHT_OFFICE_KEY"
"""Environment variable that may name the file of the private key."""


def key_file() -> Path:
    """Return the file of the private key: the one that the environment names, else the usual place."""
    named = os.environ.get(VARIABLE, "")
    return Path(named) if named else user_config_path("baywright") / "office.key"


def make_key(file: Path) -> str:
    """Make a key and return its public half, base64.

    Raises:
        OfficeError: There is a file of that name already, or it cannot be written.
    """
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    made = Ed25519PrivateKey.generate()
    text = made.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        onto_disk(file.parent)
    except FileExistsError:
        raise OfficeError(f"{file} is there already; a key is never written over.") from None
    except OSError as error:
        raise OfficeError(f"{file} cannot be written ({error.strerror}).") from None
    return public_half(made)


def private_key(file: Path) -> "Ed25519PrivateKey":
    """Return the office's key.

    Raises:
        OfficeError: There is none, others can read it, or it is none of ours.
    """
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        if os.name == "posix" and stat.S_IMODE(file.stat().st_mode) & 0o077:
            raise OfficeError(f"Others can read the office's key: chmod 600 {file}, and make a new one.")
        found = load_pem_private_key(file.read_bytes(), password=None)
    except OSError as error:
        raise OfficeError(
            f"The office's key is not there ({file}: {error.strerror}). Make one with baywright tell "
            f"--make-key, or name its file by {VARIABLE}."
        ) from None
    except (ValueError, TypeError, UnsupportedAlgorithm):
        found = None
    if not isinstance(found, Ed25519PrivateKey):
        raise OfficeError(f"{file} holds no key that baywright tell --make-key made.")
    return found


def public_half(key: "Ed25519PrivateKey") -> str:
    """Return the public half of a key, base64: what stands in a yard.toml."""
    return base64.b64encode(key.public_key().public_bytes_raw()).decode("ascii")


def signed(key: "Ed25519PrivateKey", *, yard: str, person: str, said: str, after: tuple[int, str]) -> Word:
    """Return the next word of the office to a yard.

    Args:
        key: The office's.
        yard: Name of the yard.
        person: Who says it.
        said: The text.
        after: Number and hash of the word before.
    """
    number, before = after
    table = {
        "yard": yard,
        "number": number + 1,
        "at_utc": time_text(datetime.now(UTC)),
        "person": person,
        "said": said,
        "prev_hash": before,
    }
    row_hash = hash_of(table)
    signature = base64.b64encode(key.sign(SIGNED + row_hash.encode("ascii"))).decode("ascii")
    return Word(**table, row_hash=row_hash, key=public_half(key), signature=signature)  # type: ignore[arg-type]
