"""What goes wrong with a journal's file."""

from journal.message import MessageError


class KeepingError(MessageError):
    """A file that cannot be opened or written."""


class DamageError(KeepingError):
    """A journal's file, or part of it, that is damaged and cannot be read."""
