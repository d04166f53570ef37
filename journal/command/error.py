"""The one kind of refusal the command line itself raises."""

from __future__ import annotations


class CommandError(ValueError):
    """A command that cannot be followed, with a sentence that says what would do."""
