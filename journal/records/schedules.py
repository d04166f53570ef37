"""Common schedules of care to start from, by family of cheese, each with its source and caution."""

from __future__ import annotations

from dataclasses import dataclass

from journal.records.tables import table


@dataclass(frozen=True)
class CommonSchedule:
    """Care as `care_typed` reads it, for a family of cheese; `room_c` and `humidity_pct` are of the
    room it ripens in (None: not said), `caution` is "" where the family wants none."""

    family: str
    schedule: str
    room_c: float | None
    humidity_pct: float | None
    caution: str
    source: str


def common_schedules() -> list[CommonSchedule]:
    """Those that come with the program (`resources/tables/schedules.csv`)."""
    found = table("schedules")
    return [
        CommonSchedule(
            family, schedule, float(room) if room else None, float(air) if air else None,
            caution, source,
        )
        for family, schedule, room, air, caution, source in zip(
            *(found[name] for name in ("family", "schedule", "room_c", "humidity_pct", "caution",
                                       "source")),
            strict=True,
        )
    ]  # fmt: skip
