"""The schema, as a list of named steps; a released step is never changed, only followed."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from typing import TYPE_CHECKING

from journal.keeping.ageing_tables import (
    lives_of_wheels,
    rims_of_photos,
    rooms_and_days_away,
    rooms_of_moves,
    shelves_of_rooms,
)
from journal.keeping.care_tables import least_age_to_eat, notes_of_tastings, own_care
from journal.keeping.comparison_tables import comparisons
from journal.keeping.history_tables import create_history
from journal.keeping.milk_tables import milk_lots
from journal.keeping.origin import give_origin
from journal.keeping.schema import create_table
from journal.keeping.sensor_tables import sources
from journal.keeping.stock_tables import brines, generations, stock
from journal.keeping.tasting_tables import create_panel_tests, create_series, create_tastings
from journal.keeping.vat_tables import beside_the_stages
from journal.records.instants import iso, now_ms

if TYPE_CHECKING:
    from sqlite_utils.db import Database
    from sqlite_utils.migrations import Migrations

APPLICATION_ID = 0x56415453  # "VATS", in the file's own header
SCHEMA = 4  # user_version of a file this program writes
SQLITE = sqlite3.sqlite_version  # of the one library that reads and writes it
TABLES = frozenset(
    [
        "_sqlite_migrations",
        "act",
        "addition",
        "air_check",
        "air_reading",
        "assessor",
        "away",
        "bin",
        "brine",
        "brine_event",
        "brine_stay",
        "calibration",
        "care",
        "care_rule",
        "comparison",
        "defect_mark",
        "dose",
        "entered",
        "gate",
        "generation",
        "history",
        "ingredient",
        "make",
        "milk_lot",
        "milk_use",
        "note",
        "own_care",
        "panel_item",
        "panel_set",
        "panel_test",
        "plan",
        "reading_block",
        "reading_log",
        "room",
        "sample",
        "sample_note",
        "scale_word",
        "score",
        "series",
        "series_make",
        "serving",
        "setting",
        "source",
        "stage",
        "stage_run",
        "taken",
        "tasting",
        "tick",
        "timer",
        "trace",
        "weighing",
        "wheel",
    ]
)  # all that a journal of any format holds


# How many steps a file of each earlier format has taken.
_TAKEN = {1: 1, 2: 5, 3: 12}
SUMMED_BEFORE = (2, 3)  # the earlier formats whose rows have sums


def migrations(version: int = SCHEMA) -> Migrations:
    """All steps to a format, in order (sqlite-utils is loaded only here: to make or migrate a
    file)."""
    from sqlite_utils.migrations import Migrations

    steps = Migrations("vatside")
    for name, step in list(_STEPS.items())[: _TAKEN.get(version)]:
        steps(name=name)(step)
    return steps


def note_steps(db: sqlite3.Connection) -> None:
    """Note in a file that has today's schema that all steps are taken, as sqlite-utils does."""
    at = iso(now_ms(), "UTC")
    db.executemany(
        "insert into _sqlite_migrations (migration_set, name, applied_at) values ('vatside', ?, ?)",
        [(name, at) for name in _STEPS],
    )


def _the_first_journal(db: Database) -> None:
    _frame(db)
    _plans(db)
    _stages(db)
    _acid_targets_and_doses(db)
    _makes(db)
    _day(db)
    beside_the_stages(db)
    generations(db)
    stock(db)
    _readings(db)
    sources(db)
    _wheels(db)
    brines(db)
    create_tastings(db)
    create_panel_tests(db)
    create_series(db)


def _the_origin(db: Database) -> None:
    give_origin(db.conn)


_STEPS: dict[str, Callable[[Database], None]] = {
    "m001_the_first_journal": _the_first_journal,
    "m002_the_origin": _the_origin,
    "m003_history": create_history,
    "m004_the_least_age_to_eat": least_age_to_eat,
    "m005_own_schedules": own_care,
    "m006_lives_of_wheels": lives_of_wheels,
    "m007_rooms_and_days_away": rooms_and_days_away,
    "m008_milk_by_lot": milk_lots,
    "m009_rooms_of_moves": rooms_of_moves,
    "m010_notes_of_tastings": notes_of_tastings,
    "m011_shelves_of_rooms": shelves_of_rooms,
    "m012_rims_of_photos": rims_of_photos,
    "m013_comparisons": comparisons,
}


def _frame(db: Database) -> None:
    db.table("setting").create({"key": str, "value": str}, pk="key", strict=True)
    create_table(db, "bin", {"noun": str, "row": str, "binned_ms": int})


def _plans(db: Database) -> None:
    create_table(
        db,
        "plan",
        {
            "name": str,
            "style": str,
            "milk_l": float,
            "animal": str,
            "treatment": str,
            "milk_c": float,
            "protein_fat": float,
            "culture_type": str,
            "floc_multiplier": float,
            "mould_mm": float,
            "yield_pct": float,
            "room_c": float,
            "room_humidity_pct": float,
            "taste_at_days": str,
            "source": str,
            "caution": str,
            "note": str,
            "version": int,
            "builtin": int,
        },
        optional=("protein_fat", "floc_multiplier", "mould_mm", "room_c", "room_humidity_pct"),
        soft=True,
    )
    db.table("plan").create_index(["name", "version"])
    create_table(
        db,
        "care_rule",
        {
            "plan_id": int,
            "position": int,
            "kind": str,
            "from_day": float,
            "to_day": float,
            "every_days": float,
            "note": str,
            "room_c": float,
            "room_humidity_pct": float,
        },
        parents=(("plan_id", "plan"),),
        optional=("room_c", "room_humidity_pct"),
    )


def _stages(db: Database) -> None:
    create_table(
        db,
        "stage",
        {
            "plan_id": int,
            "position": int,
            "kind": str,
            "minutes": float,
            "name": str,
            "target_c": float,
            "ramp_min": float,
            "first_c_per_min": float,
            "first_min": float,
            "limit_c_per_min": float,
            "tolerance_c": float,
            "size_mm": float,
            "pressure_kpa": float,
            "turns": int,
            "whey_drawn_per_l": float,
            "water_added_per_l": float,
            "water_c": float,
            "brine_pct": float,
            "humidity_pct": float,
            "alone": int,
            "instruction": str,
            "until": str,
        },
        parents=(("plan_id", "plan"),),
        optional=(
            "target_c",
            "ramp_min",
            "first_c_per_min",
            "first_min",
            "limit_c_per_min",
            "tolerance_c",
            "size_mm",
            "pressure_kpa",
            "water_c",
            "brine_pct",
            "humidity_pct",
        ),
    )


def _acid_targets_and_doses(db: Database) -> None:
    create_table(
        db,
        "gate",
        {
            "stage_id": int,
            "kind": str,
            "low": float,
            "high": float,
            "from_min": float,
            "to_min": float,
        },
        parents=(("stage_id", "stage"),),
        optional=("from_min", "to_min"),
    )
    create_table(
        db,
        "dose",
        {
            "stage_id": int,
            "position": int,
            "kind": str,
            "name": str,
            "per_litre": float,
            "unit": str,
            "note": str,
        },
        parents=(("stage_id", "stage"),),
    )


def _makes(db: Database) -> None:
    create_table(
        db,
        "make",
        {
            "code": str,
            "plan_id": int,
            "milk_litres": float,
            "milk_animal": str,
            "milk_treatment": str,
            "milk_source": str,
            "milk_fat_pct": float,
            "milk_protein_pct": float,
            "milk_homogenised": int,
            "started_ms": int,
            "zone": str,
            "name": str,
            "finished_ms": int,
            "failed": int,
            "culture_lot": str,
            "backslop": int,
            "whey_drawn_l": float,
            "water_added_l": float,
            "remark": str,
            "whey_from_make_id": int,
            "whey_l": float,
        },
        parents=(("plan_id", "plan"), ("whey_from_make_id", "make")),
        optional=(
            "milk_fat_pct",
            "milk_protein_pct",
            "finished_ms",
            "whey_drawn_l",
            "water_added_l",
            "whey_from_make_id",
            "whey_l",
        ),
        soft=True,
    )
    db.table("make").create_index(["code"], unique=True)
    db.table("make").create_index(["started_ms"])


def _day(db: Database) -> None:
    create_table(
        db,
        "stage_run",
        {
            "make_id": int,
            "position": int,
            "kind": str,
            "planned_begin_ms": int,
            "planned_end_ms": int,
            "began_ms": int,
            "ended_ms": int,
            "extra_min": float,
            "skipped": int,
            "again_ms": str,
            "turned_ms": str,
            "reason": str,
        },
        parents=(("make_id", "make"),),
        optional=("began_ms", "ended_ms"),
    )
    create_table(
        db,
        "entered",
        {"make_id": int, "name": str, "value": float, "text": str, "unit": str},
        parents=(("make_id", "make"),),
        optional=("value",),
    )


def _readings(db: Database) -> None:
    create_table(
        db,
        "trace",
        {"make_id": int, "kind": str, "source": str},
        parents=(("make_id", "make"),),
    )
    db.table("trace").create_index(["make_id", "kind", "source"], unique=True)
    # The log: one small row a reading, appended and durable at once. No uuid: a trace carries one.
    db.table("reading_log").create(
        {"id": int, "trace_id": int, "at_ms": int, "value": float, "flags": int, "kept_ms": int},
        pk="id",
        foreign_keys=[("trace_id", "trace", "id")],
        not_null={"trace_id", "at_ms", "value", "flags", "kept_ms"},
        strict=True,
    )
    db.table("reading_log").create_index(["trace_id", "at_ms"])
    # The blocks: up to some thousands of readings as columns, with what a small picture needs.
    create_table(
        db,
        "reading_block",
        {
            "trace_id": int,
            "first_ms": int,
            "last_ms": int,
            "count": int,
            "low": float,
            "high": float,
            "coding": str,
            "at": bytes,
            "value": bytes,
            "flags": bytes,
            "outline": bytes,
        },
        parents=(("trace_id", "trace"),),
        optional=("flags",),
    )
    db.table("reading_block").create_index(["trace_id", "first_ms", "last_ms", "count"])


def _wheels(db: Database) -> None:
    create_table(
        db,
        "room",
        {"name": str, "target_c": float, "target_humidity_pct": float},
        optional=("target_c", "target_humidity_pct"),
        soft=True,
    )
    create_table(
        db,
        "air_reading",
        {"room_id": int, "at_ms": int, "temp_c": float, "humidity_pct": float},
        parents=(("room_id", "room"),),
        optional=("temp_c", "humidity_pct"),
    )
    create_table(
        db,
        "wheel",
        {
            "make_id": int,
            "code": str,
            "green_weight_kg": float,
            "room_id": int,
            "gone_ms": int,
            "gone_why": str,
            "remark": str,
        },
        parents=(("make_id", "make"), ("room_id", "room")),
        optional=("green_weight_kg", "room_id", "gone_ms"),
        soft=True,
    )
    db.table("wheel").create_index(["code"], unique=True)
    create_table(
        db,
        "weighing",
        {"wheel_id": int, "at_ms": int, "weight_kg": float},
        parents=(("wheel_id", "wheel"),),
    )
    create_table(
        db,
        "care",
        {"wheel_id": int, "kind": str, "at_ms": int, "note": str},
        parents=(("wheel_id", "wheel"),),
    )
    create_table(
        db,
        "note",
        {"at_ms": int, "text": str, "make_id": int, "wheel_id": int, "photo": str},
        parents=(("make_id", "make"), ("wheel_id", "wheel")),
        optional=("make_id", "wheel_id"),
    )
