"""Milk by lot in the schema, as format 2 has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.keeping.schema import create_table

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def milk_lots(db: Database) -> None:
    """Lots of milk, and how much of each went into a make."""
    create_table(
        db,
        "milk_lot",
        {
            "farm": str,
            "day_ms": int,
            "fat_pct": float,
            "protein_pct": float,
            "ph": float,
            "price": float,
            "remark": str,
        },
        optional=("fat_pct", "protein_pct", "ph", "price"),
        soft=True,
    )
    create_table(
        db,
        "milk_use",
        {"make_id": int, "milk_lot_id": int, "litres": float},
        parents=(("make_id", "make"), ("milk_lot_id", "milk_lot")),
    )
