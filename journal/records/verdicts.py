"""What was said of eating a cheese, from the moment it was first said."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from journal.message import Instant, Message


@dataclass(frozen=True)
class Verdict:
    """That a make is not to be eaten: the message, and when it was first said."""

    at_ms: int
    message: Message

    def written(self) -> str:
        """The verdict as it is kept: its instant, and its message's id with the values."""
        return json.dumps([self.at_ms, _plain(self.message)])


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
        return Verdict(int(at_ms), Message(stored) if isinstance(stored, str) else _read(stored))
    except (ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError):
        return Verdict(0, Message("records.verdict-unreadable"))


def _plain(value: Any) -> Any:
    """A message, an instant or a value as JSON has it."""
    if isinstance(value, Message):
        return {"id": value.id, "values": {k: _plain(v) for k, v in value.values.items()}}
    if isinstance(value, Instant):
        return {"at_ms": value.at_ms, "zone": value.zone}
    return value


def _read(kept: Any) -> Any:
    if not isinstance(kept, dict):
        return kept
    if "id" in kept:
        return Message.read(str(kept["id"]), {k: _read(v) for k, v in kept["values"].items()})
    return Instant(int(kept["at_ms"]), str(kept["zone"]))
