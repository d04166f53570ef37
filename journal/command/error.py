"""The one kind of refusal the command line itself raises."""

from __future__ import annotations

from journal.message import MessageError


class CommandError(MessageError):
    """A command that cannot be run, with a message that says what to do."""
