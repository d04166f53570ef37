"""Each of the trade's sums as a person asks it: its keys, its answers, how, and from where."""

from __future__ import annotations


class TopicError(ValueError):
    """A question that no sum answers, with a sentence that says what would do."""
