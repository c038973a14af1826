"""Sheets in the yard's folder that belong to an act: written whole, or the act is refused."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from console.desk.refusals import DeskRefusal
from console.ground.durable import replace_whole


@contextmanager
def sheets_of_an_act(*files: Path) -> Iterator[None]:
    """Take the sheets away again when the act that they belong to comes to nothing."""
    try:
        yield
    except BaseException:
        for file in files:
            with suppress(OSError):
                file.unlink(missing_ok=True)
        raise


def write_or_refuse(file: Path, text: str, otherwise: str) -> None:
    """Write a sheet; meant for inside the act that it belongs to, which is then not written either.

    Args:
        file: The sheet.
        text: What stands on it.
        otherwise: What did not happen if it cannot be written, a sentence.

    Raises:
        DeskRefusal: The disk refused.
    """
    try:
        replace_whole(file, text)
    except OSError as error:
        raise DeskRefusal(
            f"{file} could not be written ({error.strerror}). {otherwise} Make room or give yourself write "
            "permission on the folder, and do it again."
        ) from error
