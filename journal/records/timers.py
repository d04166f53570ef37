"""Timers beside the stages: one that counts down to an instant, or up from a test's begin."""

from __future__ import annotations

from dataclasses import dataclass, field

from journal.records import RecordError
from journal.records.instants import MINUTE_MS
from journal.records.plans import new_uuid

FLOCCULATION = "flocculation"  # counts up from rennet in to the first flecks
CUT = "cut"  # counts down to the cut that the flecks predict
_LONGEST_MS = 90 * 24 * 60 * MINUTE_MS


@dataclass(frozen=True)
class Timer:
    """One timer of a make. `ends_ms` None: it counts up. `ended_ms` None: it still runs.

    The wall-clock end is what is kept, so a timer is right after a crash or a closed window.
    """

    make_id: int
    name: str
    started_ms: int
    ends_ms: int | None = None
    ended_ms: int | None = None
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise RecordError("records.timer-name")
        if self.ends_ms is not None and not 0 < self.ends_ms - self.started_ms <= _LONGEST_MS:
            raise RecordError("records.timer-length")
        if self.ended_ms is not None and self.ended_ms < self.started_ms:
            raise RecordError("records.timer-ends-before", name=self.name)

    @property
    def running(self) -> bool:
        """It still runs, or rings."""
        return self.ended_ms is None

    @property
    def took_min(self) -> float | None:
        """How long it ran, minutes; None while it runs."""
        return None if self.ended_ms is None else (self.ended_ms - self.started_ms) / MINUTE_MS


@dataclass(frozen=True)
class TickedLine:
    """A line of the list before the start that was ticked for a make."""

    make_id: int
    words: str
    at_ms: int
    id: int | None = None
    uuid: str = field(default_factory=new_uuid)
