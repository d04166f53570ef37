"""What was said of eating a cheese, from the moment it was first said."""

from __future__ import annotations

import json
from dataclasses import dataclass

from journal.message import UNREADABLE, Message, plain, read_plain


@dataclass(frozen=True)
class Verdict:
    """That a make is not to be eaten: the message, and when it was first said."""

    at_ms: int
    message: Message

    def written(self) -> str:
        """The verdict as it is kept: its instant, and its message's id with the values."""
        return json.dumps([self.at_ms, plain(self.message)])


def verdict_key(uuid: str) -> str:
    """The setting of the journal under which the verdict on a make is kept."""
    return f"verdict {uuid}"


def read_verdict(kept: str | None) -> Verdict | None:
    """A verdict as it was kept, None without one. An older one was kept as its sentence, which
    is given as it stands; of one that cannot be read it is known that it was said."""
    if kept is None:
        return None
    try:
        at_ms, stored = json.loads(kept)
        return Verdict(
            int(at_ms), Message(stored) if isinstance(stored, str) else read_plain(stored)
        )
    except UNREADABLE:
        return Verdict(0, Message("records.verdict-unreadable"))
