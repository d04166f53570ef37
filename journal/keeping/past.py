"""The history as it is read: acts with what they changed, of the whole journal or one record."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import Any

from journal.keeping.called import RowName, RowNamer
from journal.keeping.errors import KeepingError
from journal.keeping.history import UNDOABLE, Row, SavedAct, acts, rows_of

_SILENT = ("uuid", "id", "kept_ms", "position")  # columns that say nothing to a person
MOST_ROWS = 40  # of one act that are shown; an import has thousands


@dataclass(frozen=True)
class HistoryField:
    """One column of a row before and after an act; where it refers to a row, that row's name."""

    column: str
    before: Any
    after: Any


@dataclass(frozen=True)
class HistoryRow:
    """What an act did to one row: what the row is called, whether it came or went, its fields."""

    called: RowName
    came: bool
    went: bool
    fields: tuple[HistoryField, ...]


@dataclass(frozen=True)
class HistoryAct:
    """An act with the first of the rows it changed, or those of the record asked for, and how
    many it changed in all."""

    act: SavedAct
    rows: tuple[HistoryRow, ...]
    count: int


class HistoryKeeper:
    """Reads the acts of a journal, the newest first."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db

    def all(self, most: int = -1) -> list[HistoryAct]:
        """What was done in the journal, at most so many acts."""
        return self._read("where id is not null order by id desc limit ?", (most,))

    def of(self, noun: str, key: int, most: int = -1) -> list[HistoryAct]:
        """What was done to one record and to what hangs on it, itself not being referred to.

        Raises
        ------
        KeepingError
            When the journal has no such table.
        """
        if noun not in UNDOABLE:
            raise KeepingError("keeping.no-record", noun=noun, key=key)
        keys = self._with_it(noun, key)
        return self._read(
            "where id is not null and id in (select h.act_id from json_each(?) j join history h "
            "on h.noun = json_extract(j.value, '$[0]') and h.key = json_extract(j.value, '$[1]')) "
            "order by id desc limit ?",
            (json.dumps(sorted(keys)), most),
            keys,
        )

    def _read(
        self, clause: str, values: tuple[Any, ...], about: set[tuple[str, int]] | None = None
    ) -> list[HistoryAct]:
        caller = RowNamer(self._db)
        return [self._past(caller, act, about) for act in acts(self._db, clause, values)]

    def _past(
        self, caller: RowNamer, act: SavedAct, about: set[tuple[str, int]] | None
    ) -> HistoryAct:
        changes = rows_of(self._db, act.id, MOST_ROWS if about is None else -1)
        asked = "select count(*) from history where act_id = ? and noun <> 'bin'"
        count = self._db.execute(asked, (act.id,)).fetchone()[0]
        rows = []
        for change in changes:
            aside = about is not None and (change.noun, change.key) not in about
            if aside or change.noun == "bin":
                continue
            before, after = change.before or {}, change.after or {}
            whole = change.before is None or change.after is None
            if whole:
                called = caller.of_row(change.noun, before or after)
            else:
                called = caller.of_key(change.noun, change.key)
            fields = () if called.hidden else _fields(caller, change.noun, before, after)
            rows.append(HistoryRow(called, change.before is None, change.after is None, fields))
        return HistoryAct(act, tuple(rows[:MOST_ROWS]), count)

    def _with_it(self, noun: str, key: int) -> set[tuple[str, int]]:
        """The row and all that hang on it, now or once, other records in their own right aside."""
        found = {(noun, key)}
        if noun == "plan":  # all its versions
            asked = "select id from plan where name = (select name from plan where id = ?)"
            found |= {(noun, row[0]) for row in self._db.execute(asked, (key,))}
        fresh = found
        while fresh:
            coming: set[tuple[str, int]] = set()
            for table in UNDOABLE:
                refers = self._db.execute(f'pragma main.foreign_key_list("{table}")').fetchall()
                for parent, column in {(row[2], row[3]) for row in refers}:
                    keys = [k for n, k in fresh if n == parent]
                    if keys and column in _HANGS.get(table, (column,)):
                        coming |= {(table, k) for k in self._hanging(table, column, keys)}
            fresh = coming - found
            found = found | fresh
        return found

    def _hanging(self, table: str, column: str, keys: list[int]) -> set[int]:
        marks = ", ".join("?" * len(keys))
        path = f"$.{column}"
        rows = self._db.execute(
            f'select id from "{table}" where "{column}" in ({marks}) union '
            "select key from history where noun = ? and (before is null or after is null) "
            f"and json_extract(coalesce(before, after), ?) in ({marks})",
            [*keys, table, path, *keys],
        )
        return {row[0] for row in rows}


# What hangs on a row only by some of the columns that refer to it: a make is not its plan's.
_HANGS: dict[str, tuple[str, ...]] = {
    "make": (),
    "generation": (),
    "series": (),
    "source": (),
    "series_make": ("series_id",),
    "addition": ("make_id",),
    "wheel": ("make_id",),
}


def _fields(caller: RowNamer, noun: str, before: Row, after: Row) -> tuple[HistoryField, ...]:
    return tuple(
        HistoryField(
            column, *(_shown(caller, noun, column, side.get(column)) for side in (before, after))
        )
        for column in {**before, **after}
        if column not in _SILENT
    )


def _shown(caller: RowNamer, noun: str, column: str, value: Any) -> Any:
    """A value as it is, or the name of the row it refers to; of a blob nothing."""
    if isinstance(value, dict):
        return None
    return caller.of_value(noun, column, value) or value
