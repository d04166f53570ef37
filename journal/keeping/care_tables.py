"""The schedule of a wheel in the schema, as format 2 has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def least_age_to_eat(db: Database) -> None:
    """A plan says from which age its cheese is eaten, days; null where nobody said."""
    db.table("plan").add_column("eat_from_days", float)
