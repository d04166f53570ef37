"""How makes are compared in the schema, as format 4 has it."""

from __future__ import annotations

import json
from contextlib import suppress
from typing import TYPE_CHECKING

from journal.keeping.schema import create_table
from journal.message import UNREADABLE

if TYPE_CHECKING:
    from sqlite_utils.db import Database

_USUAL = {"by": "plan", "text": "", "makes": [], "order": "date", "time": "as-it-was",
          "moment": "set"}  # fmt: skip


def comparisons(db: Database) -> None:
    """A row a make that was compared in another way than usual; up to format 3 a setting was."""
    create_table(
        db,
        "comparison",
        {"make_id": int, "by": str, "text": str, "makes": str, "order": str, "time": str,
         "moment": str},
        parents=(("make_id", "make"),),
    )  # fmt: skip
    rows = db.execute(
        "select m.id, m.uuid, s.key, s.value from setting s "
        "join make m on s.key = 'comparison ' || m.uuid"
    ).fetchall()
    for make_id, uuid, key, value in rows:
        with suppress(*UNREADABLE):
            kept = {**_USUAL, **json.loads(value)}
            kept = {name: kept[name] for name in _USUAL}
            made = json.dumps(list(map(str, kept.pop("makes"))))
            texts = {name: str(text) for name, text in kept.items()}
            row = {"uuid": uuid, "make_id": make_id, **texts, "makes": made}
            db.table("comparison").insert(row)
        db.execute("delete from setting where key = ?", (key,))
