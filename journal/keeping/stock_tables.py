"""The stock's part of the schema: stock, generations of cultures, brine baths."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.keeping.schema import create_table

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def stock(db: Database) -> None:
    """What is in stock, and what went into a make from it."""
    create_table(
        db,
        "ingredient",
        {
            "kind": str,
            "name": str,
            "strength": str,
            "lot": str,
            "expires_ms": int,
            "amount_left": float,
            "unit": str,
        },
        optional=("expires_ms", "amount_left"),
        soft=True,
    )
    create_table(
        db,
        "addition",
        {
            "make_id": int,
            "position": int,
            "kind": str,
            "name": str,
            "amount": float,
            "unit": str,
            "at_ms": int,
            "ingredient_id": int,
            "generation_id": int,
        },
        parents=(
            ("make_id", "make"),
            ("ingredient_id", "ingredient"),
            ("generation_id", "generation"),
        ),
        optional=("ingredient_id", "generation_id"),
    )


def generations(db: Database) -> None:
    """Backslopped cultures, a row a generation."""
    create_table(
        db,
        "generation",
        {
            "name": str,
            "made_ms": int,
            "number": int,
            "culture_type": str,
            "parent_id": int,
            "from_make_id": int,
            "origin": str,
            "keep_until_ms": int,
            "ph": float,
            "note": str,
            "gone_ms": int,
        },
        parents=(("parent_id", "generation"), ("from_make_id", "make")),
        optional=("parent_id", "from_make_id", "keep_until_ms", "ph", "gone_ms"),
        soft=True,
    )


def brines(db: Database) -> None:
    """Brine baths, what was done to them, and what lay in them."""
    create_table(
        db,
        "brine",
        {
            "name": str,
            "litres": float,
            "strength_pct": float,
            "made_ms": int,
            "note": str,
            "gone_ms": int,
        },
        optional=("gone_ms",),
        soft=True,
    )
    create_table(
        db,
        "brine_event",
        {
            "brine_id": int,
            "at_ms": int,
            "kind": str,
            "strength_pct": float,
            "salt_kg": float,
            "litres": float,
            "note": str,
        },
        parents=(("brine_id", "brine"),),
        optional=("strength_pct", "salt_kg", "litres"),
    )
    create_table(
        db,
        "brine_stay",
        {"brine_id": int, "make_id": int, "in_ms": int, "wheel_id": int, "out_ms": int},
        parents=(("brine_id", "brine"), ("make_id", "make"), ("wheel_id", "wheel")),
        optional=("wheel_id", "out_ms"),
    )
