"""The readings of two journals together: each once, struck where it was struck."""

from __future__ import annotations

import json
import sqlite3
from base64 import b64decode
from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from journal.keeping.blocks import pack, split, unpack
from journal.keeping.merge_side import MERGE, Cells, MergeSide
from journal.keeping.streaming import Ids
from journal.records.plans import new_uuid

TraceOf = tuple[str, str, str]  # the make's UUID, the kind, the source
ReadingKey = tuple[int, float]  # an instant and a value
FOLD_AT = 2048


@dataclass
class _Readings:
    """A trace as one side has it: the marks of each reading, and when it was kept."""

    marks: dict[ReadingKey, list[int]] = field(default_factory=dict)
    kept_ms: dict[ReadingKey, int] = field(default_factory=dict)

    def add(self, at_ms: int, value: float, flags: int, kept_ms: int) -> None:
        key = (at_ms, value)
        self.marks.setdefault(key, []).append(flags)
        self.kept_ms[key] = kept_ms


@dataclass
class TraceMerge:
    """What a trace gets: rows to add (instant, value, marks, when kept), all marks of a reading
    anew, readings that go."""

    uuid: str
    rows: list[tuple[int, float, int, int]] = field(default_factory=list)
    marks: dict[ReadingKey, list[int]] = field(default_factory=dict)
    gone: set[ReadingKey] = field(default_factory=set)


@dataclass
class _Changed:
    """What one side did to readings that were there, and the other never heard of. Those that are
    `buried` were deleted for good: they go with their make, and come along where that stays."""

    marked: set[tuple[TraceOf, ReadingKey]] = field(default_factory=set)
    gone: set[tuple[TraceOf, ReadingKey]] = field(default_factory=set)
    buried: set[tuple[TraceOf, ReadingKey]] = field(default_factory=set)


class MergedReadings:
    """What each trace of `here` gets from `there`; the makes that have readings are in `makes`."""

    def __init__(self, here: MergeSide, there: MergeSide) -> None:
        self.makes: set[str] = set()
        self.traces: dict[TraceOf, TraceMerge] = {}
        ours, theirs = _traces(here), _traces(there)
        ours_changed, both = (_changed_of(here, there, ours), _changed_of(there, here, theirs))
        for of in dict.fromkeys((*ours, *theirs)):
            one, two = ours.get(of), theirs.get(of)
            uuid = min(side.uuids["trace"][key] for side, key in ((here, one), (there, two))
                       if key is not None)  # fmt: skip
            got = self.traces[of] = TraceMerge(uuid)
            if one is not None and two is not None and _same(here.db, one, there.db, two):
                self.makes.add(of[0])
                continue
            if self._join(of, _read(here.db, one), _read(there.db, two), (ours_changed, both), got):
                self.makes.add(of[0])

    def counted(self, makes: Collection[str]) -> tuple[int, int]:
        """How many readings of these makes come, and how many are struck or let stand, or go."""
        found = [one for of, one in self.traces.items() if of[0] in makes]
        return sum(len(one.rows) for one in found), sum(len(o.marks) + len(o.gone) for o in found)

    def _join(
        self, of: TraceOf, ours: _Readings, theirs: _Readings, both: tuple[_Changed, _Changed],
        got: TraceMerge,
    ) -> bool:  # fmt: skip
        """Whether any reading is left for which its make stays."""
        mine, other = both
        left, buried = False, mine.buried | other.buried
        for key in dict.fromkeys((*ours.marks, *theirs.marks)):
            a, b = ours.marks.get(key, []), theirs.marks.get(key, [])
            if not b and (of, key) in other.gone and (of, key) not in mine.marked:
                got.gone.add(key)
                continue
            if not a and (of, key) in mine.gone and (of, key) not in other.marked:
                continue
            left = left or (of, key) not in buried
            marks = _marks(a, b, (of, key) in mine.marked, (of, key) in other.marked)
            if a and marks[: len(a)] != a:
                got.marks[key] = marks[: len(a)]
            got.rows += [(*key, mark, theirs.kept_ms[key]) for mark in marks[len(a) :]]
        return left

    def write(self, db: sqlite3.Connection, makes: dict[str, int], side: MergeSide) -> set[str]:
        """Write it into `here`, within a transaction; the UUIDs of the makes concerned."""
        ids, known, touched = Ids(db), _traces(side), set()
        for of, got in self.traces.items():
            make_id, key = makes.get(of[0]), known.get(of)
            if make_id is None:
                for table, column in (("reading_log", "trace_id"), ("reading_block", "trace_id"),
                                      ("trace", "id")):  # fmt: skip
                    db.execute(f"delete from {table} where {column} = ?", (key,))
                continue
            if key is None:
                key = ids.fresh("trace")
                db.execute("insert into trace (id, uuid, make_id, kind, source) "
                           "values (?, ?, ?, ?, ?)", (key, got.uuid, make_id, *of[1:]))  # fmt: skip
            elif side.uuids["trace"][key] != got.uuid:
                db.execute("update trace set uuid = ? where id = ?", (got.uuid, key))
            if got.gone or got.marks:
                _mark(db, ids, key, got)
            if got.rows:
                _add(db, ids, key, got.rows)
            if got.gone or got.marks or got.rows:
                touched.add(of[0])
        return touched


def _traces(side: MergeSide) -> dict[TraceOf, int]:
    rows = side.db.execute("select make_id, kind, source, id from trace order by id")
    return {(side.key_of("make", make) or "", kind, source): key
            for make, kind, source, key in rows}  # fmt: skip


def _same(here: sqlite3.Connection, one: int, there: sqlite3.Connection, two: int) -> bool:
    """Whether two traces are row by row the same, before any block is opened."""
    for asked in (
        "select at_ms, value, flags from reading_log where trace_id = ? order by at_ms, value, id",
        "select uuid, flags from reading_block where trace_id = ? order by uuid",
    ):
        if here.execute(asked, (one,)).fetchall() != there.execute(asked, (two,)).fetchall():
            return False
    return True


def _read(db: sqlite3.Connection, trace_id: int | None) -> _Readings:
    found = _Readings()
    for packed in db.execute(
        'select first_ms, "count", coding, "at", value, flags from reading_block '
        "where trace_id = ? order by first_ms, uuid", (trace_id,),
    ):  # fmt: skip
        for at_ms, value, flags in zip(*(c.tolist() for c in unpack(*packed)), strict=True):
            found.add(at_ms, value, flags, at_ms)
    for row in db.execute(
        "select at_ms, value, flags, kept_ms from reading_log where trace_id = ? order by id",
        (trace_id,),
    ):
        found.add(*row)
    return found


def _marks(a: list[int], b: list[int], ours: bool, theirs: bool) -> list[int]:
    """The marks of one reading: those of the side that changed them, else all of both."""
    if ours != theirs and a and b:
        first = a if ours else b
        return [*first, *max(a, b, key=len)[len(first) :]]
    longer, shorter = (a, b) if len(a) >= len(b) else (b, a)
    both = [x | y for x, y in zip(longer, shorter, strict=False)]
    return [*both, *longer[len(both) :]]


def _changed_of(side: MergeSide, other: MergeSide, traces: dict[TraceOf, int]) -> _Changed:
    """What the acts of a side that the other does not know did to readings."""
    changed, of = _Changed(), {key: trace for trace, key in traces.items()}
    known = {other.uuids["trace"][key]: trace for trace, key in _traces(other).items()}
    buried = set[str]()
    rows = side.db.execute(
        "select a.uuid, h.noun, h.key, h.row_uuid, h.before, h.after from history h join act a "
        "on a.id = h.act_id where h.noun in ('trace', 'reading_log', 'reading_block') "
        "and not (a.undoes is null and json_extract(a.name, '$.id') = ?) order by h.id desc",
        (MERGE,),
    )
    for act, noun, key, uuid, before, after in rows:
        if act in other.acts or act in side.cancelled or before is None:
            continue
        was = json.loads(before)
        if not was:
            buried.add(uuid)
        elif noun == "trace" and after is None:
            make = side.key_of("make", was.get("make_id")) or ""
            of[key] = known.get(uuid, (make, str(was.get("kind")), str(was.get("source"))))
        elif noun != "trace" and after is None:
            changed.gone |= {(of[was["trace_id"]], pair) for pair in _keys_of(noun, was)
                          if was["trace_id"] in of}  # fmt: skip
        elif noun != "trace":
            changed.marked |= set(_marked(side.db, of, noun, key))
    there = {other.ids["trace"][uuid]: known[uuid] for uuid in buried & known.keys()}
    changed.buried |= set(_known_to(side, other, there))
    return changed


def _known_to(
    side: MergeSide, other: MergeSide, of: dict[int, TraceOf]
) -> Iterator[tuple[TraceOf, ReadingKey]]:
    """The readings of these traces at the other side that came by acts which this side knows. (Of
    what streamed in nobody can say.)"""
    rows = other.db.execute(
        "select h.noun, h.key, a.uuid from history h join act a on a.id = h.act_id where "
        "h.noun in ('reading_log', 'reading_block') and h.before is null"
    )
    for noun, key, act in rows if of else ():
        if act in side.acts:
            yield from _marked(other.db, of, noun, key)


def _keys_of(noun: str, row: Cells) -> list[ReadingKey]:
    if noun == "reading_log":
        return [(row["at_ms"], row["value"])]
    at, body, flags = (b64decode(row[c]["base64"]) if row[c] is not None else None
                       for c in ("at", "value", "flags"))  # fmt: skip
    at_ms, value, _ = unpack(
        row["first_ms"], row["count"], row["coding"], at or b"", body or b"", flags
    )
    return list(zip(at_ms.tolist(), value.tolist(), strict=True))


def _marked(
    db: sqlite3.Connection, of: dict[int, TraceOf], noun: str, key: int
) -> Iterable[tuple[TraceOf, ReadingKey]]:
    asked = "select trace_id, at_ms, value from reading_log where id = ?"
    if noun == "reading_block":
        asked = (
            'select trace_id, first_ms, "count", coding, "at", value, flags from reading_block '
            "where id = ?"
        )
    row = db.execute(asked, (key,)).fetchone()
    if row is None or row[0] not in of:
        return []
    if noun == "reading_log":
        return [(of[row[0]], (row[1], row[2]))]
    at_ms, value, _ = unpack(*row[1:])
    return [(of[row[0]], pair) for pair in zip(at_ms.tolist(), value.tolist(), strict=True)]


def _mark(db: sqlite3.Connection, ids: Ids, trace_id: int, got: TraceMerge) -> None:
    """Give readings that are there other marks, and take away those that go."""
    seen: dict[ReadingKey, int] = {}

    def mark_of(pair: ReadingKey, now: int) -> int:
        at = seen[pair] = seen.get(pair, -1) + 1
        marks = got.marks.get(pair, [])
        return marks[at] if at < len(marks) else now

    _mark_blocks(db, ids, trace_id, got, mark_of)
    for key, at_ms, value, flags in db.execute(
        "select id, at_ms, value, flags from reading_log where trace_id = ? order by id",
        (trace_id,),
    ).fetchall():
        if (at_ms, value) in got.gone:
            db.execute("delete from reading_log where id = ?", (key,))
        elif (mark := mark_of((at_ms, value), flags)) != flags:
            db.execute("update reading_log set flags = ? where id = ?", (mark, key))


def _mark_blocks(
    db: sqlite3.Connection, ids: Ids, trace_id: int, got: TraceMerge,
    mark_of: Callable[[ReadingKey, int], int],
) -> None:  # fmt: skip
    for key, *packed in db.execute(
        'select id, first_ms, "count", coding, "at", value, flags from reading_block '
        "where trace_id = ? order by first_ms, uuid", (trace_id,),
    ).fetchall():  # fmt: skip
        at_ms, value, flags = unpack(*packed)
        pairs = list(zip(at_ms.tolist(), value.tolist(), strict=True))
        marks = np.array([mark_of(p, int(f)) for p, f in zip(pairs, flags, strict=True)], np.uint8)
        stay = np.array([pair not in got.gone for pair in pairs])
        if not stay.all():
            db.execute("delete from reading_block where id = ?", (key,))
            if stay.any():
                _write_blocks(db, ids, trace_id, (at_ms[stay], value[stay], marks[stay]))
        elif (marks != flags).any():
            block = pack(at_ms, value, marks)
            db.execute(
                "update reading_block set flags = ?, low = ?, high = ?, outline = ? where id = ?",
                (block.flags, block.low, block.high, block.outline, key),
            )


def _add(
    db: sqlite3.Connection, ids: Ids, trace_id: int, rows: list[tuple[int, float, int, int]]
) -> None:
    source = db.execute("select source from trace where id = ?", (trace_id,)).fetchone()[0]
    if source and len(rows) >= FOLD_AT:
        at_ms, value, flags, _ = zip(*sorted(rows), strict=True)
        columns = np.array(at_ms, np.int64), np.array(value, float), np.array(flags, np.uint8)
        _write_blocks(db, ids, trace_id, columns)
        return
    keys = ids.fresh_run("reading_log", len(rows))
    db.executemany(
        "insert into reading_log (id, trace_id, at_ms, value, flags, kept_ms) "
        "values (?, ?, ?, ?, ?, ?)",
        [(key, trace_id, *row) for key, row in zip(keys, rows, strict=True)],
    )


def _write_blocks(
    db: sqlite3.Connection, ids: Ids, trace_id: int, columns: tuple[Any, Any, Any]
) -> None:
    for part in split(columns[0]):
        block = pack(*(column[part] for column in columns))
        names = ", ".join(f'"{name}"' for name in vars(block))
        marks = ", ".join("?" * (3 + len(vars(block))))
        db.execute(
            f"insert into reading_block (id, uuid, trace_id, {names}) values ({marks})",
            (ids.fresh("reading_block"), new_uuid(), trace_id, *vars(block).values()),
        )
