"""What the close-out tells the app."""

from dataclasses import dataclass
from pathlib import Path

from textual.message import Message


@dataclass
class RunClosed(Message):
    """Posted when a run was closed."""

    file: Path
    """The handover as written."""
