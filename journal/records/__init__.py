"""The nouns of the journal: plan, stage, make, reading, wheel, tasting and what hangs on them."""

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
