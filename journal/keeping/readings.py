"""The keeper of readings: a durable row log that is folded into columnar blocks."""

from __future__ import annotations

import sqlite3
from itertools import groupby
from operator import itemgetter

import numpy as np

from journal.keeping.blocks import pack, read_outline, split, unpack
from journal.keeping.changes import Changes
from journal.keeping.checked import Checked
from journal.keeping.errors import KeepingError
from journal.keeping.joining import TracePart, joined, narrowed
from journal.keeping.streaming import Ids, append_rows, near, only_new
from journal.records import RecordError
from journal.records.calibrations import Checks
from journal.records.instants import now_ms
from journal.records.kinds import reading_kind
from journal.records.plans import new_uuid
from journal.records.traces import STRUCK, Flags, Floats, Instants, Reading, Trace

FOLD_AT = 2048  # rows of one trace in the log before they are folded into blocks


class ReadingKeeper:
    """Keeps readings. A typed one goes into the log and is durable when `log` returns."""

    def __init__(self, db: sqlite3.Connection, changes: Changes) -> None:
        self._db = db
        self._changes = changes
        self._ids = Ids(db)
        self._checked = Checked(db)

    @property
    def checks(self) -> Checks:
        """The checks of the kitchen's instruments, over all makes."""
        return self._checked.all

    def log(self, make_id: int, kind: str, value: float, at_ms: int, flags: int = 0) -> Reading:
        """Keep one reading as the instrument shows it, value in the kind's kept unit; what comes
        back is corrected by the last check of its instrument.

        Raises
        ------
        RecordError
            When the value is impossible for its kind.
        KeepingError
            When the file refuses it.
        """
        check_possible(kind, value)
        with self._changes.unit("keeping.act-reading", kind=kind):
            trace_id = self._trace_id(make_id, kind, "")
            key = self._ids.fresh("reading_log")
            self._db.execute(
                "insert into reading_log (id, trace_id, at_ms, value, flags, kept_ms) "
                "values (?, ?, ?, ?, ?, ?)",
                (key, trace_id, at_ms, float(value), flags, now_ms()),
            )
            self._changes.touch("reading", make_id)
        return self._read(make_id, "", kind, at_ms, float(value), flags, key)

    def corrected(self, kind: str, value: float, at_ms: int) -> float:
        """What a typed value will be read as, by the last check of its instrument."""
        return self._checked.value(kind, "", at_ms, value)

    def add_many(
        self,
        make_id: int,
        kind: str,
        at_ms: Instants,
        value: Floats,
        source: str = "",
        flags: Flags | None = None,
    ) -> int:
        """Keep many readings at once, shapes (n,), with their marks; nothing is kept twice.

        A reading of the same kind, instant and value as one already there is passed over.
        Returns how many were new. Values outside what is possible are refused as a whole: the
        exchange leaves them out and says so before they come here.
        """
        at_ms, value = _checked(kind, at_ms, value)
        if not len(at_ms):
            return 0
        with self._changes.unit("keeping.act-bring-in", kind=kind):
            saved = self.trace(make_id, kind, raw=True)
            fresh = only_new((saved.at_ms, saved.value), at_ms, value)
            if len(fresh):
                trace_id = self._trace_id(make_id, kind, source)
                marks = np.zeros(len(fresh), np.uint8) if flags is None else flags[fresh]
                self._write_blocks(trace_id, at_ms[fresh], value[fresh], marks)
                self._changes.touch("reading", make_id)
        return len(fresh)

    def append_many(
        self, make_id: int, kind: str, at_ms: Instants, value: Floats, source: str,
        flags: Flags | None = None,
    ) -> int:  # fmt: skip
        """Keep readings that arrive by themselves, shapes (n,); nothing is kept twice.

        Like `add_many`, but cheap for a few rows at a time and no step to undo. Several calls
        within `Journal.appending` are one transaction. Returns how many were new.
        """
        at_ms, value = _checked(kind, at_ms, value)
        flags = np.zeros(len(at_ms), np.uint8) if flags is None else flags
        if not len(at_ms):
            return 0
        with self._changes.appending("keeping.act-readings-come", kind=kind, source=source):
            known = near(self._db, make_id, kind, int(at_ms.min()), int(at_ms.max()))
            fresh = only_new(known, at_ms, value)
            at_ms, value, flags = at_ms[fresh], value[fresh], flags[fresh]
            if len(at_ms):
                trace_id = self._trace_id(make_id, kind, source)
                if len(at_ms) >= FOLD_AT:
                    self._write_blocks(trace_id, at_ms, value, flags)
                else:
                    append_rows(self._db, self._ids, trace_id, at_ms, value, flags)
                    self._fold_stream(trace_id)
                self._changes.touch("reading", make_id)
        return len(at_ms)

    def strike(
        self, make_id: int, kind: str, at_ms: int, value: float, struck: bool = True
    ) -> None:
        """Strike a reading out (it stays, shown struck) or let it stand again.

        Raises
        ------
        KeepingError
            When there is no such reading.
        """
        with self._changes.unit("keeping.act-strike" if struck else "keeping.act-let-stand"):
            if not self._strike_in_log(make_id, kind, at_ms, value, struck):
                self._strike_in_block(make_id, kind, at_ms, value, struck)
            self._changes.touch("reading", make_id)

    def trace(self, make_id: int, kind: str, *, raw: bool = False) -> Trace:
        """All readings of that kind, every source, ascending in time.

        Each is corrected by the last check of its instrument before it; `raw` gives them as they
        were shown, in the same order.
        """
        parts = [
            (source, unpack(first, count, coding, at, value, flags))
            for source, first, count, coding, at, value, flags in self._db.execute(
                "select t.source, b.first_ms, b.count, b.coding, b.at, b.value, b.flags "
                "from reading_block b join trace t on t.id = b.trace_id "
                "where t.make_id = ? and t.kind = ? order by b.first_ms",
                (make_id, kind),
            )
        ]
        parts += self._logged(make_id, kind)
        checks = None if raw else self.checks
        if checks:
            parts = [
                (source, (at, checks.values(kind, source, at, value), flags))
                for source, (at, value, flags) in parts
            ]
        return joined(kind, [part for _, part in parts])

    def _logged(self, make_id: int, kind: str) -> list[tuple[str, TracePart]]:
        """The rows of the log as columns, a part each source."""
        rows = self._db.execute(
            "select t.source, l.at_ms, l.value, l.flags from reading_log l "
            "join trace t on t.id = l.trace_id "
            "where t.make_id = ? and t.kind = ? order by t.source, l.at_ms, l.id",
            (make_id, kind),
        ).fetchall()
        parts: list[tuple[str, TracePart]] = []
        for source, some in groupby(rows, key=itemgetter(0)):
            _, at, value, flags = zip(*some, strict=True)
            columns = (np.array(at, np.int64), np.array(value, np.float64))
            parts.append((source, (*columns, np.array(flags, np.uint8))))
        return parts

    def traces(self, make_id: int) -> dict[str, Trace]:
        """Every trace of a make, by kind; kinds without readings are left out."""
        found = {kind: self.trace(make_id, kind) for kind in self.kinds(make_id)}
        return {kind: trace for kind, trace in found.items() if len(trace)}

    def kinds(self, make_id: int) -> list[str]:
        """The kinds a make has traces of."""
        rows = self._db.execute(
            "select distinct kind from trace where make_id = ? order by kind", (make_id,)
        )
        return [row[0] for row in rows]

    def count(self, make_id: int) -> int:
        """How many readings a make has, struck ones included, by the indexes alone."""
        row = self._db.execute(
            "select (select coalesce(sum(b.count), 0) from main.reading_block b "
            "join main.trace t on t.id = b.trace_id where t.make_id = ?1) + "
            "(select count(*) from main.reading_log l join main.trace t on t.id = l.trace_id "
            "where t.make_id = ?1)",
            (make_id,),
        ).fetchone()
        return int(row[0])

    def last(self, make_id: int, n: int = 5) -> list[Reading]:
        """The newest typed readings of a make, latest instant first, struck ones included.

        What a sensor delivered is left out.
        """
        rows = self._db.execute(
            "select t.source, t.kind, l.at_ms, l.value, l.flags, l.id from reading_log l "
            "join trace t on t.id = l.trace_id where t.make_id = ? and t.source = '' "
            "order by l.at_ms desc, l.id desc limit ?",
            (make_id, n),
        )
        return [self._read(make_id, *row) for row in rows]

    def _read(
        self,
        make_id: int,
        source: str,
        kind: str,
        at_ms: int,
        raw: float,
        flags: int,
        key: int | None,
    ) -> Reading:
        value = self._checked.value(kind, source, at_ms, raw)
        shown = raw if value != raw else None
        return Reading(make_id, kind, at_ms, value, flags, key, shown)

    def outline(self, make_id: int, kind: str, columns: int = 60) -> tuple[Floats, Floats, Floats]:
        """A small picture of a trace: instants (ms), low and high, at most `columns` long.

        Reads the blocks' outlines only, and the log where a trace lives there.
        """
        rows = self._db.execute(
            "select t.source, b.outline from reading_block b join trace t on t.id = b.trace_id "
            "where t.make_id = ? and t.kind = ? order by b.first_ms",
            (make_id, kind),
        ).fetchall()
        parts = [(source, read_outline(outline)) for source, outline in rows]
        for source, (at, value, flags) in self._logged(make_id, kind):
            sound = (flags & STRUCK) == 0
            parts.append((source, np.stack([at, value, value], axis=1)[sound]))
        parts = [
            (source, self._checked.table(kind, source, part)) for source, part in parts if len(part)
        ]
        if not parts:
            empty = np.empty(0)
            return empty, empty, empty
        table = np.concatenate([part for _, part in parts])
        table = table[np.argsort(table[:, 0], kind="stable")]
        return narrowed(table, columns)

    def fold(self, at_least: int = FOLD_AT) -> int:
        """Fold long logs of sensors into blocks; returns how many readings moved. No change of the
        record. What was typed stays a row, and so does what an act speaks of: it can be struck
        out, corrected and taken back whenever."""
        moved = 0
        rows = self._db.execute(
            "select l.trace_id from (select trace_id from main.reading_log "
            "group by trace_id having count(*) >= ?) l "
            "cross join trace t on t.id = l.trace_id where t.source <> ''",
            (at_least,),
        ).fetchall()
        for (trace_id,) in rows:
            with self._changes.unit("keeping.act-fold"):
                moved += self._fold_trace(trace_id, at_least)
        return moved

    def _fold_trace(self, trace_id: int, at_least: int = FOLD_AT) -> int:
        rows = self._db.execute(
            "select l.id, l.at_ms, l.value from reading_log l where l.trace_id = ? and l.flags = 0 "
            "and not exists (select 1 from history where noun = 'reading_log' and key = l.id) "
            "order by l.at_ms, l.id",
            (trace_id,),
        ).fetchall()
        if len(rows) < at_least:
            return 0
        keys, at, value = zip(*rows, strict=True)
        columns = np.array(at, np.int64), np.array(value, float), np.zeros(len(at), np.uint8)
        self._write_blocks(trace_id, *columns)
        self._db.executemany("delete from reading_log where id = ?", [(key,) for key in keys])
        return len(rows)

    def _fold_stream(self, trace_id: int) -> None:
        """Fold a sensor's rows once there are many."""
        count = self._db.execute(
            "select count(*) from main.reading_log where trace_id = ? and flags = 0", (trace_id,)
        ).fetchone()
        if count[0] >= FOLD_AT:
            self._fold_trace(trace_id)

    def _write_blocks(self, trace_id: int, at: Instants, value: Floats, flags: Flags) -> None:
        for part in split(at):
            block = pack(at[part], value[part], flags[part])
            self._db.execute(
                'insert into reading_block (id, uuid, trace_id, first_ms, last_ms, "count", low, '
                'high, coding, "at", value, flags, outline) '
                "values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (self._ids.fresh("reading_block"), new_uuid(), trace_id, block.first_ms,
                 block.last_ms, block.count, block.low, block.high, block.coding, block.at,
                 block.value, block.flags, block.outline),
            )  # fmt: skip

    def _trace_id(self, make_id: int, kind: str, source: str) -> int:
        row = self._db.execute(
            "select id from trace where make_id = ? and kind = ? and source = ?",
            (make_id, kind, source),
        ).fetchone()
        if row:
            return int(row[0])
        key = self._ids.fresh("trace")
        try:
            self._db.execute(
                "insert into trace (id, uuid, make_id, kind, source) values (?, ?, ?, ?, ?)",
                (key, new_uuid(), make_id, kind, source),
            )
        except sqlite3.IntegrityError:
            raise KeepingError("keeping.no-record", noun="make", key=make_id) from None
        return key

    def _strike_in_log(
        self, make_id: int, kind: str, at_ms: int, value: float, struck: bool
    ) -> bool:
        rows = self._db.execute(
            "select l.id, l.flags, l.value, t.source from reading_log l "
            "join trace t on t.id = l.trace_id where t.make_id = ? and t.kind = ? "
            "and l.at_ms = ? and (l.flags & 1) != ? order by l.id desc",
            (make_id, kind, at_ms, int(struck)),
        ).fetchall()
        value_of = self._checked.value
        row = next((r for r in rows if value_of(kind, r[3], at_ms, r[2]) == value), None)
        if row is None:
            return False
        self._db.execute(
            "update reading_log set flags = ? where id = ?", (_marked(row[1], struck), row[0])
        )
        return True

    def _strike_in_block(
        self, make_id: int, kind: str, at_ms: int, value: float, struck: bool
    ) -> None:
        rows = self._db.execute(
            "select b.id, t.source, b.first_ms, b.count, b.coding, b.at, b.value, b.flags "
            "from reading_block b join trace t on t.id = b.trace_id where t.make_id = ? "
            "and t.kind = ? and b.first_ms <= ? and b.last_ms >= ?",
            (make_id, kind, at_ms, at_ms),
        ).fetchall()
        for key, source, *packed in rows:
            at, values, flags = unpack(*packed)
            read = self.checks.values(kind, source, at, values)
            hit = np.flatnonzero(
                (at == at_ms) & (read == value) & (((flags & STRUCK) != 0) != struck)
            )
            if len(hit):
                flags[hit[0]] = _marked(int(flags[hit[0]]), struck)
                block = pack(at, values, flags)
                self._db.execute(
                    "update reading_block set flags = ?, low = ?, high = ?, outline = ? "
                    "where id = ?",
                    (block.flags, block.low, block.high, block.outline, key),
                )
                return
        raise KeepingError("keeping.no-such-reading")


def check_possible(kind: str, value: float) -> None:
    """Refuse a value no reading of that kind can have (RecordError)."""
    spec = reading_kind(kind)
    if not spec.low <= value <= spec.high:
        raise RecordError(
            "keeping.reading-impossible", kind=kind, value=value, low=spec.low, high=spec.high
        )


def _checked(kind: str, at_ms: Instants, value: Floats) -> tuple[Instants, Floats]:
    """Both columns as arrays; refuses them as a whole when a value is impossible."""
    at_ms, value = np.asarray(at_ms, np.int64), np.asarray(value, np.float64)
    spec = reading_kind(kind)
    if not (np.all(value >= spec.low) and np.all(value <= spec.high)):
        raise RecordError("keeping.readings-impossible", kind=kind, low=spec.low, high=spec.high)
    return at_ms, value


def _marked(flags: int, struck: bool) -> int:
    return flags | STRUCK if struck else flags & ~STRUCK
