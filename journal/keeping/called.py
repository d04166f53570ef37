"""What the rows of any table are called: by themselves, and by what they hang on."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import Any

from journal.message import UNREADABLE

# Which column says what a row is called, the first that says something.
_OWN = ("code", "name", "farm", "attribute", "text", "blind_code", "kind")
# What it hangs on, the nearest first.
_OWNERS = ("trace_id", "stage_id", "sample_id", "wheel_id", "make_id", "plan_id", "room_id",
           "brine_id", "tasting_id", "panel_test_id", "series_id")  # fmt: skip
_COVERED = ("sample_id", "tasting_id", "panel_test_id")  # by what it may be hidden
_DEEP = 6


@dataclass(frozen=True)
class RowName:
    """A row: its table, what it is called ("" where by nothing), when it was where that is its
    name, what it hangs on, and whether it is of a session or test that is still hidden: then
    nothing else is said."""

    noun: str
    text: str = ""
    at_ms: int | None = None
    owner: RowName | None = None
    hidden: bool = False


class RowNamer:
    """Calls rows by name; of rows that are gone it knows what the history last had of them."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db
        self._known: dict[tuple[str, int], RowName] = {}
        self._parents: dict[str, dict[str, str]] = {}

    def of_row(self, noun: str, row: dict[str, Any], depth: int = 0) -> RowName:
        """The name of a row whose columns are known."""
        if self._is_hidden(row):
            return RowName(noun, hidden=True)
        own = next((str(row[column]) for column in _OWN if row.get(column)), "")
        at_ms = row.get("at_ms") if not own or noun == "reading_log" else None
        parents = self._parents_of(noun)
        for column in _OWNERS:
            if column in parents and isinstance(row.get(column), int) and depth < _DEEP:
                owner = self.of_key(parents[column], row[column], depth + 1)
                return RowName(noun, own, at_ms, owner)
        return RowName(noun, own, at_ms)

    def of_key(self, noun: str, key: int, depth: int = 0) -> RowName:
        """The name of the row of that id, now or last."""
        if (noun, key) not in self._known:
            self._known[noun, key] = self.of_row(noun, self._row(noun, key), depth)
        return self._known[noun, key]

    def of_value(self, noun: str, column: str, value: object) -> RowName | None:
        """What a column that refers to a row refers to; None for other columns."""
        parent = self._parents_of(noun).get(column)
        return self.of_key(parent, value) if parent and isinstance(value, int) else None

    def _is_hidden(self, row: dict[str, Any]) -> bool:
        if "lifted_ms" in row:
            return row["lifted_ms"] is None
        for column in _COVERED:
            if isinstance(row.get(column), int):
                noun = column.removesuffix("_id")
                return self._is_hidden(self._row(noun, row[column]))
        return False

    def _row(self, noun: str, key: int) -> dict[str, Any]:
        return self._now(noun, key) or self._last(noun, key)

    def _now(self, noun: str, key: int) -> dict[str, Any]:
        cursor = self._db.execute(f'select * from "{noun}" where id = ?', (key,))
        names = [column[0] for column in cursor.description]
        found = cursor.fetchone()
        return dict(zip(names, found, strict=True)) if found is not None else {}

    def _last(self, noun: str, key: int) -> dict[str, Any]:
        found = self._db.execute(
            "select coalesce(before, after) from history where noun = ? and key = ? "
            "and (before is null or after is null) order by id desc limit 1",
            (noun, key),
        ).fetchone()
        try:
            return dict(json.loads(found[0])) if found is not None else {}
        except UNREADABLE:
            return {}

    def _parents_of(self, noun: str) -> dict[str, str]:
        if noun not in self._parents:
            refers = self._db.execute(f'pragma main.foreign_key_list("{noun}")').fetchall()
            self._parents[noun] = {row[3]: row[2] for row in refers}
        return self._parents[noun]
