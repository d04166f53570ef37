"""The one kind of refusal this room raises."""

from __future__ import annotations

from journal.message import MessageError


class FindingError(MessageError):
    """A question the data cannot answer."""
