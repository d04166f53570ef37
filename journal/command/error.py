"""The one kind of refusal the command line itself raises."""

from __future__ import annotations


class CommandError(ValueError):
    """A command that cannot be run, with a sentence that says what to do."""
