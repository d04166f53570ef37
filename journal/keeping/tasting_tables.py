"""The tables of tastings and of panel tests."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.keeping.schema import create_table

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def create_tastings(db: Database) -> None:
    """Sessions: who tasted which sample when, and what they said."""
    create_table(db, "assessor", {"name": str}, soft=True)
    create_table(
        db,
        "tasting",
        {
            "at_ms": int,
            "zone": str,
            "note": str,
            "lifted_ms": int,
            "coding": str,
            "attributes": str,
        },
        optional=("lifted_ms",),
        soft=True,
    )
    create_table(
        db,
        "sample",
        {"tasting_id": int, "wheel_id": int, "blind_code": str, "reference": str},
        parents=(("tasting_id", "tasting"), ("wheel_id", "wheel")),
        optional=("wheel_id",),
    )
    given = (("sample_id", "sample"), ("assessor_id", "assessor"))
    create_table(
        db,
        "score",
        {"sample_id": int, "assessor_id": int, "attribute": str, "value": float},
        parents=given,
    )
    db.table("score").create_index(["sample_id", "assessor_id", "attribute"], unique=True)
    create_table(
        db,
        "defect_mark",
        {"sample_id": int, "assessor_id": int, "group": str, "term": str, "strength": str},
        parents=given,
    )
    create_table(
        db,
        "sample_note",
        {"sample_id": int, "assessor_id": int, "text": str, "photo": str},
        parents=given,
    )
    create_table(
        db,
        "serving",
        {"sample_id": int, "assessor_id": int, "position": int, "code": str},
        parents=given,
    )
    db.table("serving").create_index(["sample_id", "assessor_id"], unique=True)
    create_table(db, "scale_word", {"attribute": str, "value": float, "words": str})


def create_panel_tests(db: Database) -> None:
    """Panel tests: what was asked of whom with which cups, and what they answered."""
    create_table(
        db,
        "panel_test",
        {
            "at_ms": int,
            "zone": str,
            "kind": str,
            "attribute": str,
            "expected": int,
            "note": str,
            "lifted_ms": int,
        },
        optional=("expected", "lifted_ms"),
        soft=True,
    )
    create_table(
        db,
        "panel_item",
        {"panel_test_id": int, "number": int, "wheel_id": int, "reference": str},
        parents=(("panel_test_id", "panel_test"), ("wheel_id", "wheel")),
        optional=("wheel_id",),
    )
    create_table(
        db,
        "panel_set",
        {
            "panel_test_id": int,
            "number": int,
            "assessor_id": int,
            "cups": str,
            "codes": str,
            "answer": str,
        },
        parents=(("panel_test_id", "panel_test"), ("assessor_id", "assessor")),
    )


def create_series(db: Database) -> None:
    """Designed series: what was set up beforehand, and the makes it became."""
    create_table(
        db,
        "series",
        {
            "name": str,
            "begun_ms": int,
            "variables": str,
            "low": str,
            "high": str,
            "kind": str,
            "plan_id": int,
        },
        parents=(("plan_id", "plan"),),
        optional=("plan_id",),
        soft=True,
    )
    create_table(
        db,
        "series_make",
        {"series_id": int, "position": int, "block": int, "wanted": str, "make_id": int},
        parents=(("series_id", "series"), ("make_id", "make")),
        optional=("make_id",),
    )
