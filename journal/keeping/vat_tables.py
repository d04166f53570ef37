"""The tables of what runs beside the stages: timers, checks of the instruments, ticks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.keeping.schema import create_table

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def beside_the_stages(db: Database) -> None:
    """Timers, calibrations and the ticked lines of the list before the start."""
    create_table(
        db,
        "timer",
        {"make_id": int, "name": str, "started_ms": int, "ends_ms": int, "ended_ms": int},
        parents=(("make_id", "make"),),
        optional=("ends_ms", "ended_ms"),
    )
    create_table(
        db,
        "calibration",
        {
            "make_id": int,
            "instrument": str,
            "at_ms": int,
            "known": str,
            "shown": str,
            "temp_c": float,
            "source": str,
        },
        parents=(("make_id", "make"),),
        optional=("temp_c",),
    )
    create_table(
        db,
        "tick",
        {"make_id": int, "words": str, "at_ms": int},
        parents=(("make_id", "make"),),
    )
