"""The life of wheels and rooms in the schema, as format 2 has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.keeping.schema import create_table

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def lives_of_wheels(db: Database) -> None:
    """A wheel's size and place, what it was cut from, and each part that was taken of it."""
    wheel = db.table("wheel")
    for name in ("diameter_mm", "height_mm", "cut_share"):
        wheel.add_column(name, float)
    wheel.add_column("place", int)
    wheel.add_column("shelf", str, not_null_default="")
    _refer(db, "wheel", "cut_from_id", "wheel")
    create_table(
        db,
        "taken",
        {
            "wheel_id": int,
            "kind": str,
            "at_ms": int,
            "share": float,
            "weight_kg": float,
            "whom": str,
            "why": str,
        },
        parents=(("wheel_id", "wheel"),),
        optional=("share", "weight_kg"),
    )


def rooms_and_days_away(db: Database) -> None:
    """What air a room allows and how many wheels it holds, checks of its hygrometer, and the days
    when nobody is there for the care."""
    for name in ("within_c", "within_pct"):
        db.table("room").add_column(name, float)
    db.table("room").add_column("holds", int)
    db.table("air_reading").add_column("source", str, not_null_default="")
    db.table("air_reading").create_index(["room_id", "at_ms"])
    _refer(db, "source", "room_id", "room")
    create_table(
        db,
        "air_check",
        {"room_id": int, "at_ms": int, "shown": str, "known": str, "source": str},
        parents=(("room_id", "room"),),
    )
    create_table(db, "away", {"first_day": str, "last_day": str, "note": str})


def rooms_of_moves(db: Database) -> None:
    """A move says into which room a wheel went and from which. Moves of before said the room by its
    name; from where follows from the move before it."""
    _refer(db, "care", "room_id", "room")
    _refer(db, "care", "from_room_id", "room")
    db.execute(
        "update care set room_id = (select max(id) from room where name = care.note) "
        "where kind = 'move'"
    )
    db.execute(
        "update care set from_room_id = (select c.room_id from care c where c.kind = 'move' and "
        "c.wheel_id = care.wheel_id and (c.at_ms, c.id) < (care.at_ms, care.id) "
        "order by c.at_ms desc, c.id desc limit 1) where kind = 'move'"
    )


def shelves_of_rooms(db: Database) -> None:
    """The names of a room's shelves, JSON, those without a wheel too: as yet those with one."""
    db.execute("alter table room add column shelves text not null default '[]'")
    db.execute(
        "update room set shelves = (select json_group_array(shelf) from (select distinct shelf "
        "from wheel where room_id = room.id and shelf != '' and gone_ms is null order by shelf))"
    )


def rims_of_photos(db: Database) -> None:
    """Where the rim of a wheel is on a note's photo, JSON; empty where nobody marked it."""
    db.execute("alter table note add column rim text not null default '[]'")


def _refer(db: Database, table: str, column: str, parent: str) -> None:
    """A column that may name a row of another table."""
    db.execute(f'alter table "{table}" add column "{column}" integer references "{parent}"("id")')
    db.table(table).create_index([column])
