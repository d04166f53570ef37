"""The trade's sums: floats in, floats out."""

from __future__ import annotations

from journal.message import MessageError


class ReckoningError(MessageError):
    """An input no sum can take."""
