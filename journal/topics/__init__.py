"""Each of the trade's sums as a person asks it: its keys, its answers, how, and from where."""

from __future__ import annotations

from journal.message import MessageError


class TopicError(MessageError):
    """A question that no sum answers, whose message says what would do."""
