"""The journal file: its schema, its migrations, and the one door to it.

Here: `Journal` opens a file and hands out one keeper a noun. Every commit is durable before it
returns; a change returns what it changed; undo is the transaction turned round. All SQL of the
program stands in this room and nowhere else. Not here: what a record means (records), other
people's formats (exchange).
"""

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
