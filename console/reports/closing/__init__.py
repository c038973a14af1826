"""The handover of a run: what it says, as text and as HTML."""
