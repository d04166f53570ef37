"""The nouns of the journal: plan, stage, make, reading, wheel, tasting and what hangs on them.

Here: plain dataclasses that check themselves and refuse the impossible with a message, the
closed lists of kinds (stage, reading, care), instants and zones, and where the program's own
files lie. A record has `id` (the integer key of the file that holds it, None until kept) and
`uuid` (for merging journals). Units: °C, kg or g as the name says, L, mm, kPa, minutes, % w/w;
instants are UTC milliseconds. Not here: how a record is kept (keeping) or drawn (desk).
"""

from typing import Protocol

from journal.message import MessageError


class RecordError(MessageError):
    """An impossible record: what was wrong, and the values that say what would do."""


class Record(Protocol):
    """Any noun with a key."""

    @property
    def id(self) -> int | None:
        """The key in the file, None until it is kept."""


def id_of(record: Record) -> int:
    """The key of a record that is kept; raises RecordError where it is not."""
    if record.id is None:
        raise RecordError("records.not-kept")
    return record.id
