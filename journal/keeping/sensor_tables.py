"""The sensors' part of the schema: the sources that were set up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.keeping.schema import create_table

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def sources(db: Database) -> None:
    """Where readings arrive by themselves from; never a password."""
    create_table(
        db,
        "source",
        {
            "name": str,
            "kind": str,
            "reading": str,
            "unit": str,
            "settings": str,
            "make_id": int,
        },
        parents=(("make_id", "make"),),
        optional=("make_id",),
    )
