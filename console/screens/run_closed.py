"""What the screens tell the app."""

from textual.message import Message


class RunClosed(Message):
    """Posted when a run was closed and its handover read."""
