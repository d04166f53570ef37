"""The journal file: its schema, its migrations, and the one door to it."""

from journal.keeping.changes import Change
from journal.keeping.errors import DamageError, KeepingError
from journal.keeping.file import is_open, open_other, reason
from journal.keeping.journal import Journal
from journal.keeping.makes import MakeRow

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
