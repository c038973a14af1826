"""Who may read what the program writes: its owner alone, unless the yard says that it is shared."""

import os

_PRIVATE = 0o077
_before: int | None = None


def keep_private() -> None:
    """Let every new file be 0600 and every new folder 0700 from now on."""
    global _before
    if _before is None:
        _before = os.umask(_PRIVATE)


def share() -> None:
    """Let new files be as the account that the program runs under has it, as before `keep_private`."""
    global _before
    if _before is not None:
        os.umask(_before)
        _before = None
