"""The journal file: its schema, its migrations, and the one door to it."""

from journal.message import MessageError


class KeepingError(MessageError):
    """A file that cannot be opened or written."""


class DamageError(KeepingError):
    """A journal's file, or part of it, that is damaged and cannot be read."""


from journal.keeping.changes import Change  # noqa: E402
from journal.keeping.file import is_open, open_other, reason  # noqa: E402
from journal.keeping.journal import Journal  # noqa: E402
from journal.keeping.makes import MakeRow  # noqa: E402

__all__ = [
    "Change",
    "DamageError",
    "Journal",
    "KeepingError",
    "MakeRow",
    "is_open",
    "open_other",
    "reason",
]
