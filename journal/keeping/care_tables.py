"""The schedule of a wheel in the schema, as format 2 has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.keeping.schema import create_table

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def least_age_to_eat(db: Database) -> None:
    """A plan says from which age its cheese is eaten, days; null where nobody said."""
    db.table("plan").add_column("eat_from_days", float)


def notes_of_tastings(db: Database) -> None:
    """A plan's ages to taste at have a note each, JSON; empty where none has one."""
    db.execute("alter table plan add column taste_notes text not null default '[]'")


def own_care(db: Database) -> None:
    """The schedules that makes and wheels have of their own, a row a line."""
    create_table(
        db,
        "own_care",
        {
            "make_id": int,
            "wheel_id": int,
            "position": int,
            "kind": str,
            "from_day": float,
            "to_day": float,
            "every_days": float,
            "note": str,
            "room_c": float,
            "room_humidity_pct": float,
        },
        parents=(("make_id", "make"), ("wheel_id", "wheel")),
        optional=("make_id", "wheel_id", "room_c", "room_humidity_pct"),
    )
