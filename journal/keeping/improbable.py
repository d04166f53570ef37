"""Records that cannot be true: impossible times, duplicates."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

import numpy as np

from journal.keeping.blocks import unpack
from journal.keeping.sums import tables_of
from journal.message import Instant, Message
from journal.records.instants import DAY_MS, now_ms

_FIRST_MS = 631_152_000_000  # 1990
_SLACK_MS = 400 * DAY_MS  # so far ahead a time may be noted
_BEFORE_MS, _AFTER_MS = DAY_MS, 60 * DAY_MS  # so far from a make its readings may lie
_AHEAD = {"expires_ms", "keep_until_ms", "planned_begin_ms", "planned_end_ms", "ends_ms"}
_CODED = {"make", "wheel"}  # whose code no other has; those of blind samples come again
_BEGIN_AND_END = (
    ("brine_stay", "in_ms", "out_ms"),
    ("brine", "made_ms", "gone_ms"),
    ("generation", "made_ms", "gone_ms"),
)
_OF_MAKE = """
select m.code, m.zone, m.started_ms, m.finished_ms, t.kind, min(x.first_ms), max(x.last_ms)
from (
    select trace_id, first_ms, last_ms from reading_block
    union all select trace_id, at_ms, at_ms from reading_log
) x join trace t on t.id = x.trace_id join make m on m.id = t.make_id
group by t.id order by t.id
"""


def out_of_time(db: sqlite3.Connection) -> Iterator[Message]:
    """Times before 1990 or far ahead, ends before beginnings, readings outside their make."""
    latest = now_ms() + _SLACK_MS
    for table, columns in tables_of(db).items():
        times = (c for c, kind in columns.items() if c.endswith("_ms") and kind == "INTEGER")
        for column in (c for c in times if c not in _AHEAD):
            for key, at in db.execute(
                f'select id, "{column}" from {table} where "{column}" not between ? and ?',
                (_FIRST_MS, latest),
            ):
                yield Message("keeping.time-impossible", noun=table, key=key, at=str(at))
    for table, begin, end in _BEGIN_AND_END:
        for (key,) in db.execute(f"select id from {table} where {end} < {begin}"):
            yield Message("keeping.ends-before-it-began", noun=table, key=key)
    for code, zone, began, ended, kind, first, last in db.execute(_OF_MAKE):
        if first < began - _BEFORE_MS or (ended is not None and last > ended + _AFTER_MS):
            at = Instant(first if first < began - _BEFORE_MS else last, zone)
            yield Message("keeping.readings-outside", kind=kind, make=code, at=at)


def ends_before(db: sqlite3.Connection) -> Iterator[Message]:
    """Makes and stages that end before they begin."""
    for (code,) in db.execute("select code from make where finished_ms < started_ms"):
        yield Message("keeping.finished-before-it-began", make=code)
    for code, kind in db.execute(
        "select m.code, r.kind from stage_run r join make m on m.id = r.make_id "
        "where r.ended_ms is not null and (r.began_ms is null or r.ended_ms < r.began_ms)"
    ):
        yield Message("keeping.stage-ends-before-it-began", stage=kind, make=code)


def twice(db: sqlite3.Connection) -> Iterator[Message]:
    """Records with one uuid or code, found without an index, and readings that are there twice."""
    for table, columns in tables_of(db).items():
        for column in ("uuid", "code") if table in _CODED else ("uuid",):
            if column not in columns:
                continue
            for (value,) in db.execute(
                f'select "{column}" from main.{table} not indexed group by +"{column}" '
                "having count(*) > 1"
            ):
                yield Message("keeping.twice", noun=table, value=str(value))
    for make_id, code in db.execute("select id, code from make order by id"):
        for (kind,) in db.execute("select distinct kind from trace where make_id = ?", (make_id,)):
            if count := _doubles(db, make_id, kind):
                yield Message("keeping.readings-twice", readings=count, kind=kind, make=code)


def _doubles(db: sqlite3.Connection, make_id: int, kind: str) -> int:
    """How many readings of a make and kind are there again, same instant and value."""
    parts = []
    for first, count, coding, at, value, flags in db.execute(
        'select b.first_ms, b."count", b.coding, b."at", b.value, b.flags from reading_block b '
        "join trace t on t.id = b.trace_id where t.make_id = ? and t.kind = ?",
        (make_id, kind),
    ):
        instants, values, _ = unpack(first, count, coding, at, value, flags)
        parts.append(np.rec.fromarrays([instants, values]))
    logged = db.execute(
        "select l.at_ms, l.value from reading_log l join trace t on t.id = l.trace_id "
        "where t.make_id = ? and t.kind = ?",
        (make_id, kind),
    ).fetchall()
    if logged:
        at_ms, shown = zip(*logged, strict=True)
        parts.append(np.rec.fromarrays([np.array(at_ms, np.int64), np.array(shown, float)]))
    if not parts:
        return 0
    whole = np.concatenate(parts)
    return len(whole) - len(np.unique(whole))
