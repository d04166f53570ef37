"""A journal made large: the makes of a small one copied into earlier years, each copy with noise of
its own, written in bulk. What is written is what the program would have written: rows with their
sums, readings in blocks, and acts with what they changed."""

from __future__ import annotations

import hashlib
import json
import random
import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from journal.keeping.blocks import pack, unpack
from journal.keeping.sums import row_sum, tables_of

DAY_MS = 86_400_000
GROUPS = 16  # each two years before the next one, so that a copy is made in its own season
GROUP_DAYS, BESIDE_DAYS = 730, 1.5  # between two groups, and between copies within one
ROWS_AT_ONCE = 20_000
LETTERS = "OL"  # of the codes of copies
Row = dict[str, Any]

# What hangs on a make: the table, its column that names the row it hangs on, and that row's table.
HANGING = (
    ("stage_run", "make_id", "make"),
    ("addition", "make_id", "make"),
    ("wheel", "make_id", "make"),
    ("weighing", "wheel_id", "wheel"),
    ("care", "wheel_id", "wheel"),
    ("note", "make_id", "make"),
    ("trace", "make_id", "make"),
    ("reading_block", "trace_id", "trace"),
)
OF_SAMPLES = ("score", "defect_mark", "sample_note")


def add_copies(path: Path, makes: int) -> None:
    """Add copies of the makes that finished, and of the sessions they were tasted in, until the
    journal has so many makes. Nothing else may have it open."""
    db = sqlite3.connect(path, isolation_level=None)
    try:
        for setting in ("journal_mode = off", "synchronous = off", "cache_size = -300000"):
            db.execute(f"pragma {setting}")
        indexes = db.execute(
            "select name, sql from sqlite_master where type = 'index' and sql is not null"
        ).fetchall()
        db.execute("begin")
        for name, _ in indexes:
            db.execute(f'drop index "{name}"')
        _copy(db, makes)
        for _, sql in indexes:
            db.execute(sql)
        db.execute("commit")
        db.execute("pragma journal_mode = wal")
    finally:
        db.close()


class _Rows:
    """New rows with their keys and sums, and the acts that wrote them."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db
        self._columns = tables_of(db)
        self._used = {
            table: db.execute(f'select coalesce(max(rowid), 0) from "{table}"').fetchone()[0]
            for table in self._columns
        }
        self._waiting: dict[str, list[tuple[Any, ...]]] = defaultdict(list)
        self._random = random.Random(14)
        self._act: list[tuple[str, int, str, str]] = []
        self._stamp, self._by = db.execute(
            'select stamp, "by" from act order by stamp desc limit 1'
        ).fetchone()

    def add(self, table: str, row: Row) -> int:
        """Add a row like this one under a key and a UUID of its own; returns its key."""
        key = self._key(table)
        row = {**row, "id": key, "uuid": self._uuid()}
        self._put(table, row)
        self._act.append((table, key, row["uuid"], _written(row)))
        return key

    def end_act(self, name: str, makes: list[int]) -> None:
        """Write what was added since as one act."""
        self._stamp += 1
        key = self._key("act")
        kinds = sorted({_KIND.get(table, table) for table, *_ in self._act})
        self._put("act", {
            "id": key, "uuid": self._uuid(), "at_ms": self._stamp, "stamp": self._stamp,
            "name": json.dumps({"id": name, "values": {}}), "by": self._by, "seat": "command",
            "kinds": json.dumps(kinds), "makes": json.dumps(makes), "undoes": None,
            "undone_ms": None,
        })  # fmt: skip
        for table, row, uuid, after in self._act:
            self._put("history", {
                "id": self._key("history"), "act_id": key, "noun": table, "key": row,
                "row_uuid": uuid, "before": None, "after": after,
            })  # fmt: skip
        self._act.clear()

    def end(self) -> None:
        """Write what waits."""
        for table in list(self._waiting):
            self._write(table)

    def _key(self, table: str) -> int:
        self._used[table] += 1
        return self._used[table]

    def _uuid(self) -> str:
        return _uuid(self._random.getrandbits(128))

    def _put(self, table: str, row: Row) -> None:
        values = [row[name] for name in self._columns[table]]
        plain = (value.encode() if type(value) is str else value for value in values)
        waiting = self._waiting[table]
        waiting.append((*values, row_sum(table, *plain)))
        if len(waiting) >= ROWS_AT_ONCE:
            self._write(table)

    def _write(self, table: str) -> None:
        names = [*self._columns[table], "sum"]
        columns, marks = ", ".join(f'"{name}"' for name in names), ", ".join("?" * len(names))
        insert = f'insert into "{table}" ({columns}) values ({marks})'
        self._db.executemany(insert, self._waiting.pop(table))


_KIND = {"reading_block": "reading", "trace": "reading"}  # what an act calls them


def _uuid(bits: int) -> str:
    """Of the fourth version."""
    digits = f"{bits:032x}"
    head, middle, tail = digits[:12], digits[13:16], digits[17:]
    return f"{head[:8]}-{head[8:]}-4{middle}-8{tail[:3]}-{tail[3:]}"


def _written(row: Row) -> str:
    """A row as the history has it: a blob by its digest."""
    plain = {
        name: {"sha256": hashlib.sha256(value).hexdigest()} if type(value) is bytes else value
        for name, value in row.items()
    }
    return json.dumps(plain, separators=(",", ":"), ensure_ascii=False)


@dataclass(frozen=True)
class _Copy:
    """One make to be written: which one it is a copy of, and by how much it is earlier."""

    of: Row
    group: int
    beside: int

    @property
    def shift_ms(self) -> int:
        days = GROUP_DAYS * (1 + self.group) + BESIDE_DAYS * self.beside
        return round(days * DAY_MS)

    @property
    def started_ms(self) -> int:
        return int(self.of["started_ms"]) - self.shift_ms


def _copies(makes: list[Row], count: int) -> list[_Copy]:
    """The newest so many of all copies, oldest first."""
    batches = -(-count // len(makes))
    every = [_Copy(make, b % GROUPS, b // GROUPS) for b in range(batches) for make in makes]
    return sorted(every, key=lambda copy: copy.started_ms)[-count:]


def _copy(db: sqlite3.Connection, makes: int) -> None:
    there = db.execute("select count(*) from make").fetchone()[0]
    sources = list(_read(db, "make", "finished_ms is not null and code not like '%-N%'"))
    small = _Small(db)
    rows = _Rows(db)
    wheels: dict[tuple[int, int], list[int]] = defaultdict(list)  # by group, and the wheel copied
    for number, copy in enumerate(_copies(sources, makes - there), 1):
        for old, new in _add_make(rows, small, copy, number):
            wheels[copy.group, old].append(new)
    for group in range(GROUPS):
        _add_sessions(rows, small, group, wheels)
    rows.end()


class _Small:
    """The rows of the small journal, by what they hang on."""

    def __init__(self, db: sqlite3.Connection) -> None:
        tables = [(table, column) for table, column, _ in HANGING]
        tables += [("sample", "tasting_id"), *((table, "sample_id") for table in OF_SAMPLES)]
        self._by: dict[str, dict[int, list[Row]]] = {}
        for table, column in tables:
            of = self._by[table] = defaultdict(list)
            for row in _read(db, table, "true"):
                of[row[column]].append(row)
        self.tastings = list(_read(db, "tasting", "binned_ms is null"))
        self.air = list(_read(db, "air_reading", "true"))
        self.noise = np.random.default_rng(14)
        self._last: dict[int, int] = {}
        for table in ("care", "weighing"):
            for wheel, given in self._by[table].items():
                self._at(wheel, max(row["at_ms"] for row in given))
        for tasting in self.tastings:
            for sample in self.of("sample", tasting["id"]):
                self._at(sample["wheel_id"], tasting["at_ms"])

    def of(self, table: str, key: int) -> list[Row]:
        """The rows of a table that hang on that key."""
        return self._by[table].get(key, [])

    def last_ms(self, wheel: Row) -> int:
        """The last that is known of a wheel."""
        return self._last.get(wheel["id"], 0)

    def _at(self, wheel: int, at_ms: int) -> None:
        self._last[wheel] = max(at_ms, self._last.get(wheel, 0))


def _read(db: sqlite3.Connection, table: str, which: str) -> Iterator[Row]:
    found = db.execute(f'select * from "{table}" where {which} order by id')
    names = [column[0] for column in found.description]
    for values in found:
        row = dict(zip(names, values, strict=True))
        row.pop("sum", None)
        yield row


def _add_make(rows: _Rows, small: _Small, copy: _Copy, number: int) -> Iterator[tuple[int, int]]:
    """Write one make with all that hangs on it; gives each wheel that was copied, and its copy."""
    code = f"{LETTERS}-{number:04d}"
    fat = copy.of["milk_fat_pct"]
    warmer, less_sour = small.noise.normal(0.0, [0.15, 0.02])
    make = _earlier(copy.of, copy.shift_ms) | {"code": code}
    if fat is not None:
        make["milk_fat_pct"] = round(fat + small.noise.normal(0.0, 0.06), 2)
    keys = {("make", copy.of["id"]): rows.add("make", make)}
    kinds: dict[int, str] = {}
    for table, column, parent in HANGING:
        for old in [key for name, key in keys if name == parent]:
            for row in small.of(table, old):
                new = _earlier(row, copy.shift_ms) | {column: keys[parent, old]}
                if table == "wheel":
                    new |= _gone(row, code, small, copy)
                elif table == "trace":
                    kinds[row["id"]] = row["kind"]
                elif table == "reading_block":
                    new |= _block(row, kinds[old], small.noise, (warmer, less_sour), copy.shift_ms)
                keys[table, row["id"]] = rows.add(table, new)
    rows.end_act(code, [keys["make", copy.of["id"]]])
    return ((old, new) for (table, old), new in list(keys.items()) if table == "wheel")


def _earlier(row: Row, shift_ms: int) -> Row:
    """A row with all its instants moved."""
    return {
        name: value - shift_ms if name.endswith("_ms") and type(value) is int else value
        for name, value in row.items()
    }


def _gone(wheel: Row, code: str, small: _Small, copy: _Copy) -> Row:
    """A wheel's new code; one that is still there in the small journal was eaten a while after the
    last that is known of it."""
    changed: Row = {"code": f"{code}-{wheel['code'].rsplit('-', 1)[1]}"}
    if wheel["gone_ms"] is None:
        after = round(float(small.noise.uniform(1, 40)) * DAY_MS)
        changed |= {"gone_ms": small.last_ms(wheel) + after - copy.shift_ms, "gone_why": "eaten"}
    return changed


def _block(
    row: Row, kind: str, noise: np.random.Generator, by: tuple[float, float], shift_ms: int
) -> Row:
    """A block of the same course with other noise."""
    at, value, flags = unpack(
        *(row[name] for name in ("first_ms", "count", "coding", "at", "value", "flags"))
    )
    if kind.endswith("temp"):
        slow = by[0] * np.sin(np.linspace(0.0, 9.0 * by[1], len(at)) + 50.0 * by[1])
        value = np.round(value + slow + noise.normal(0.0, 0.02, len(at)), 2)
    elif kind.endswith("ph"):
        value = np.round(value + by[1], 2)
    block = pack(at - shift_ms, value, flags)
    names = ("first_ms", "last_ms", "count", "low", "high", "coding", "at", "value", "flags",
             "outline")  # fmt: skip
    return {name: getattr(block, name) for name in names}


def _add_sessions(
    rows: _Rows, small: _Small, group: int, wheels: dict[tuple[int, int], list[int]]
) -> None:
    """The sessions of a group of years, each with all copies of the wheels it had, and the air of
    the rooms in those years."""
    shift = _Copy({}, group, 0).shift_ms
    for air in small.air:
        rows.add("air_reading", _earlier(air, shift))
    rows.end_act("air of the rooms", [])
    for tasting in small.tastings:
        served = [
            (sample, wheel)
            for sample in small.of("sample", tasting["id"])
            for wheel in wheels.get((group, sample["wheel_id"]), [])
        ]
        if not served:
            continue
        key = rows.add("tasting", _earlier(tasting, shift) | {"coding": "open"})
        codes = small.noise.permutation(np.arange(100, 1000))
        for (sample, wheel), code in zip(served, codes.tolist(), strict=False):
            _add_sample(rows, small, sample, {
                "tasting_id": key, "wheel_id": wheel, "blind_code": str(code)
            })  # fmt: skip
        rows.end_act("a session", [])


def _add_sample(rows: _Rows, small: _Small, sample: Row, where: Row) -> None:
    key = rows.add("sample", sample | where)
    better = float(small.noise.integers(-1, 2)) / 2
    for table in OF_SAMPLES:
        for row in small.of(table, sample["id"]):
            new = row | {"sample_id": key}
            if table == "score":
                new["value"] = min(max(row["value"] + better, 0.0), 10.0)
            rows.add(table, new)
