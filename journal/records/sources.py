"""Sources: where readings arrive by themselves from, as they were set up once."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

from journal.message import Message
from journal.records import RecordError
from journal.records.kinds import check_one_of, reading_kind
from journal.records.plans import new_uuid

WAITING, CONNECTED, SILENT, FAILED, OFF = "waiting", "connected", "silent", "failed", "off"

FILE, TOPIC, LINE = "file", "topic", "line"
# A file that a logger keeps appending to, an MQTT topic, a serial line.
SOURCE_KINDS = (FILE, TOPIC, LINE)
# What may be said of each kind of source. There is no place for a password, on purpose: it
# belongs in the system's keyring.
SETTINGS: dict[str, frozenset[str]] = {
    FILE: frozenset({"path", "mapping"}),
    TOPIC: frozenset(
        {"host", "port", "topic", "tls", "authority", "user", "field", "time", "count"}
    ),
    LINE: frozenset({"device", "baud", "pattern"}),
}
_CALLED = {
    FILE: "records.source-file", TOPIC: "records.source-topic", LINE: "records.source-line",
}  # fmt: skip
_NEEDED = {FILE: ("path",), TOPIC: ("host", "topic"), LINE: ("device",)}
_LONGEST_NAME = 60


@dataclass(frozen=True)
class Source:
    """A source of readings: its name, what it is, what it measures, and how it is reached.

    `reading` is a kind of reading and `unit` the unit its bare numbers are in; a logger's file
    may hold more than one kind, which its mapping says. `settings` is JSON with the keys of
    `SETTINGS`. `make_id` is the make it is switched on for, `room_id` the room whose
    air it measures whatever is made; both None while it is off.
    """

    name: str
    kind: str
    reading: str
    unit: str = ""
    settings: str = "{}"
    make_id: int | None = None
    room_id: int | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip() or len(self.name) > _LONGEST_NAME or not self.name.isprintable():
            raise RecordError("records.source-name", most=_LONGEST_NAME)
        check_one_of(self.kind, SOURCE_KINDS, "records.no-such-source")
        reading_kind(self.reading)
        options = self.options
        strange = sorted(set(options) - SETTINGS[self.kind])
        if strange:
            called = Message(_CALLED[self.kind])
            raise RecordError("records.source-strange", called=called, names=tuple(strange))
        for key in _NEEDED[self.kind]:
            if not str(options.get(key) or "").strip():
                raise RecordError("records.source-lacks", key=key, name=self.name)

    @property
    def is_on(self) -> bool:
        """It is switched on, for a make or for a room."""
        return self.make_id is not None or self.room_id is not None

    @property
    def options(self) -> dict[str, Any]:
        """The settings as plain values."""
        try:
            found = json.loads(self.settings)
        except ValueError:
            found = None
        if not isinstance(found, dict):
            raise RecordError("records.source-settings", name=self.name)
        return found

    def text(self, key: str) -> str:
        """One setting as text, "" when it was not given."""
        return str(self.options.get(key) or "").strip()

    def number(self, key: str, usual: int) -> int:
        """One setting as a whole number, `usual` when it was not given."""
        value = self.options.get(key)
        try:
            return usual if value in (None, "") else int(str(value))
        except ValueError:
            raise RecordError("records.source-number", key=key, name=self.name) from None


@dataclass(frozen=True)
class Arrived:
    """One reading as it came: when, of which kind, its value in the stored unit, and its marks."""

    at_ms: int
    kind: str
    value: float
    flags: int = 0


@dataclass(frozen=True)
class SensorState:
    """How a sensor is: a word, since when, and for "failed" a sentence that says why."""

    word: str
    since_ms: int
    sentence: str = ""
    asks_password: bool = False
