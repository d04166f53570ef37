"""What a room has to tell a person: an id and its values. `wording` makes the sentence of it.

The id names the room and the matter, "records.milk-amount"; the values are numbers in the room's
units, names as typed, instants as `Instant`, other messages, and lists of these. Below `wording`
no text for a person is written, so that a test holds ids and values, and a translation has one
door.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Instant:
    """UTC milliseconds and the zone in which a person reads them."""

    at_ms: int
    zone: str


@dataclass(frozen=True, init=False)
class Message:
    """An id and its values. A text instead of an id is one that an older journal kept."""

    id: str
    values: dict[str, Any] = field(hash=False)
    from_file: bool = field(compare=False, repr=False)

    def __init__(self, message_id: str, /, **values: Any) -> None:
        object.__setattr__(self, "id", message_id)
        object.__setattr__(self, "values", values)
        object.__setattr__(self, "from_file", False)

    @classmethod
    def read(cls, message_id: str, values: dict[str, Any]) -> Message:
        """A message as a file has it: another release may have written what this one cannot say."""
        found = cls(message_id, **values)
        object.__setattr__(found, "from_file", True)
        return found

    def __str__(self) -> str:
        """For developers: "records.milk-amount (litres=0)"."""
        message = ", ".join(f"{name}={value!r}" for name, value in self.values.items())
        return f"{self.id} ({message})" if message else self.id


class MessageError(ValueError):
    """The base of every room's refusal: it carries a message instead of a sentence."""

    def __init__(self, message: str | Message, /, **values: Any) -> None:
        self.message = message if isinstance(message, Message) else Message(message, **values)
        super().__init__(self.message)

    @property
    def id(self) -> str:
        """What is refused, "records.milk-amount"."""
        return self.message.id

    @property
    def values(self) -> dict[str, Any]:
        """What the sentence names."""
        return self.message.values


def plain(value: Any) -> Any:
    """A message, an instant, or a value of theirs, as JSON has it."""
    if isinstance(value, Message):
        return {"id": value.id, "values": {k: plain(v) for k, v in value.values.items()}}
    if isinstance(value, Instant):
        return {"at_ms": value.at_ms, "zone": value.zone}
    return [plain(one) for one in value] if isinstance(value, tuple | list) else value


def read_plain(kept: Any) -> Any:
    """What `plain` wrote; whatever is amiss with it raises one of `UNREADABLE`."""
    if isinstance(kept, list):
        return [read_plain(one) for one in kept]
    if not isinstance(kept, dict):
        return kept
    if "id" in kept:
        values = {name: read_plain(value) for name, value in kept["values"].items()}
        return Message.read(str(kept["id"]), values)
    return Instant(int(kept["at_ms"]), str(kept["zone"]))


UNREADABLE = (ValueError, TypeError, KeyError, AttributeError, OverflowError, RecursionError)
