"""How a table of the schema is made: STRICT, with its id, its uuid and an index on each parent."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sqlite_utils.db import Database

ColumnTypes = dict[str, Any]
BASE: ColumnTypes = {"id": int, "uuid": str}


def create_table(
    db: Database,
    name: str,
    columns: ColumnTypes,
    *,
    parents: tuple[tuple[str, str], ...] = (),
    optional: tuple[str, ...] = (),
    soft: bool = False,
) -> None:
    """One STRICT table with id, uuid, its columns and an index on each parent."""
    whole = {**BASE, **columns}
    if soft:
        whole["binned_ms"] = int
        optional = (*optional, "binned_ms")
    db.table(name).create(
        whole,
        pk="id",
        foreign_keys=[(column, parent, "id") for column, parent in parents],
        not_null={c for c in whole if c not in optional and c != "id"},
        strict=True,
    )
    db.table(name).create_index(["uuid"], unique=True)
    for column, _ in parents:
        db.table(name).create_index([column])
