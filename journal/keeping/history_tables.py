"""The history's part of the schema: what was done, by whom, and what each row was before."""

from __future__ import annotations

from typing import TYPE_CHECKING

from journal.keeping.schema import create_table

if TYPE_CHECKING:
    from sqlite_utils.db import Database


def create_history(db: Database) -> None:
    """Acts, and the changes of rows that each of them made."""
    create_table(
        db,
        "act",
        {
            "at_ms": int,
            "stamp": int,  # the same, but above those of all acts before: what is later than what
            "name": str,  # a message as JSON
            "by": str,  # the open journal that did it
            "seat": str,
            "kinds": str,  # what its notice names, as JSON
            "makes": str,
            "undoes": int,
            "undone_ms": int,
        },
        parents=(("undoes", "act"),),
        optional=("undoes", "undone_ms"),
    )
    db.table("act").create_index(["stamp"])
    db.table("history").create(
        {
            "id": int,
            "act_id": int,
            "noun": str,
            "key": int,
            "row_uuid": str,
            "before": str,
            "after": str,
        },
        pk="id",
        foreign_keys=[("act_id", "act", "id")],
        not_null={"act_id", "noun", "key", "row_uuid"},
        strict=True,
    )
    db.table("history").create_index(["act_id"])
    db.table("history").create_index(["row_uuid", "noun", "key"])
    db.table("history").create_index(["noun", "key"])
