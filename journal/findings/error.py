"""The one kind of refusal this room raises."""

from __future__ import annotations


class FindingError(ValueError):
    """A question the data cannot answer, with a sentence that says why."""
