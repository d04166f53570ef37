"""Rescue: every row of a damaged journal whose sum holds, in a new journal that is sound.

The file is read page by page (`pages.py`). A row's table is known by its sum, which covers the
table's name, so a leaf that no tree leads to any more gives its rows too. What is lost is known
from the indexes, which have each row's id.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from journal.keeping.disk import make_folder
from journal.keeping.errors import KeepingError
from journal.keeping.file import is_open, open_other, reason, sync
from journal.keeping.migrations import SUMMED_BEFORE
from journal.keeping.moving_on import apply
from journal.keeping.pages import LEAF, CellValues, Pages
from journal.keeping.photos import photos_of
from journal.keeping.stopping import Progress, Stop, never, unseen
from journal.keeping.sums import SUM, SUMMED, TypeNames, add_sums, row_sum, tables_of
from journal.keeping.whole_tables import put_rows, write_journal
from journal.records.plans import new_uuid

RowId = int | str
_READ = 0.7  # of the time: what follows asks SQLite alone


@dataclass(frozen=True)
class Rescued:
    """What became of a table.

    Attributes
    ----------
    saved, lost : int
        How many of its rows.
    hung : int
        Of those lost, how many could be read but belong to a row that is lost.
    cut : int
        Of those saved, how many no longer name something that is lost.
    exact : bool
        False where no index tells all rows that were there: more may be lost.
    """

    table: str
    saved: int
    lost: int
    hung: int
    cut: int
    exact: bool


@dataclass
class _Found:
    rows: dict[RowId, tuple[Any, ...]] = field(default_factory=dict)
    known: set[RowId] = field(default_factory=set)  # the ids that were there
    exact: bool = False  # whether these are all


def rescue(path: Path, out: Path, stop: Stop = never, progress: Progress = unseen) -> list[Rescued]:
    """Write what can be saved of a journal into a new one, with its photos.

    Returns
    -------
    list of Rescued
        One for each table that had rows.

    Raises
    ------
    KeepingError
        When nothing could be saved, or `out` is there already or cannot be written, or `stop` said
        so; nothing is left of it then.
    """
    try:
        pages = _pages(path)
    except FileNotFoundError:
        raise KeepingError("keeping.no-file", file=str(path)) from None
    except OSError as error:
        raise KeepingError("keeping.file-not-read", file=path.name, why=reason(error)) from error
    tables: list[Rescued] = []
    version = pages.version()

    count = max(1, len(pages.numbers()))

    def asked(looked_at: int) -> None:
        if stop():
            raise KeepingError("keeping.rescue-stopped")
        progress(min(_READ, _READ * looked_at / count))

    pages.on_look = asked

    def fill(db: sqlite3.Connection) -> None:
        tables.extend(
            _fill_from(version, db, pages) if version in SUMMED_BEFORE else _fill(db, pages)
        )
        if not any(one.saved for one in tables if one.table != "setting"):
            raise KeepingError("keeping.nothing-to-rescue", file=path.name)

    try:
        write_journal(out, fill, stop)
        _bring_photos(photos_of(path), photos_of(out))
    except KeepingError as error:
        if stop():
            raise KeepingError("keeping.rescue-stopped") from error
        raise
    return tables


def _pages(path: Path) -> Pages:
    """The pages of a file; of one that is open here, those of a copy that SQLite makes."""
    if not is_open(path):
        with open_other(path):  # no pipe and no device, which have no end
            return Pages(path)
    with TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        address = f"{path.resolve().as_uri()}?mode=ro"
        with (
            closing(sqlite3.connect(address, uri=True)) as db,
            closing(sqlite3.connect(copy)) as to,
        ):
            db.backup(to)
        return Pages(copy)


def _fill_from(version: int, db: sqlite3.Connection, pages: Pages) -> list[Rescued]:
    """The same from a file of an earlier format: into one of that format, which is moved on."""
    with closing(sqlite3.connect(":memory:")) as old:
        apply(old, version)
        tables = _fill(old, pages)
        old.commit()
        apply(old)
        for table, columns in tables_of(old).items():
            names = ", ".join(f'"{name}"' for name in columns)
            put_rows(db, table, [*columns], old.execute(f'select {names} from "{table}"'))
        add_sums(db)
    return tables


def _fill(db: sqlite3.Connection, pages: Pages) -> list[Rescued]:
    tables = tables_of(db)
    found = _read(pages, tables)
    saved = {
        table: put_rows(db, table, [*tables[table], SUM], each.rows.values())
        for table, each in found.items()
    }
    hung, cut = _drop_what_hangs(db)
    _set_anew(db)
    _stand_in(db)
    add_sums(db)
    rescued = []
    for table, each in found.items():
        left = saved[table] - hung.get(table, 0)
        lost = len(each.known) - left
        rescued.append(
            Rescued(table, left, lost, hung.get(table, 0), len(cut.get(table, ())), each.exact)
        )
    return [one for one in rescued if one.saved or one.lost or not one.exact]


def _stand_in(db: sqlite3.Connection) -> None:
    """One stage of a minute, called "?", for each plan whose stages are all lost: no plan is
    without, and its makes hang on it. The same name for each cheese that was tasted as a wheel
    which is lost."""
    for table in ("sample", "panel_item"):
        db.execute(f"update {table} set reference = '?' where wheel_id is null and reference = ''")
    lacking = "select id from plan where id not in (select plan_id from stage)"
    for (key,) in db.execute(lacking).fetchall():
        db.execute(
            "insert into stage (uuid, plan_id, position, kind, minutes, name, turns, "
            "whey_drawn_per_l, water_added_per_l, alone, instruction, until) "
            "values (?, ?, 0, 'drain', 1, '?', 0, 0, 0, 0, '', '')",
            (new_uuid(), key),
        )


def _set_anew(db: sqlite3.Connection) -> None:
    """The letters and the zone from the makes, where the settings are lost."""
    for key, of in (("letters", "substr(code, 1, 2)"), ("zone", "zone")):
        db.execute(
            f"insert or ignore into setting (key, value) select '{key}', {of} from make "
            f"group by {of} order by count(*) desc limit 1"
        )


# Reading


def _read(pages: Pages, tables: dict[str, TypeNames]) -> dict[str, _Found]:
    """The rows of each table that are what they were, and the ids of all that were there."""
    found = {table: _Found() for table in tables}
    by_size: dict[int, list[str]] = {}
    for table, columns in tables.items():
        by_size.setdefault(len(columns) + 1, []).append(table)
    reached, whole = _by_trees(pages, tables, found)
    if not whole:
        gone = pages.free() | reached
        for number in pages.numbers():
            if number not in gone and pages.kind(number) == LEAF:
                _take(pages, number, tables, by_size, found)
    return found


def _by_trees(
    pages: Pages, tables: dict[str, TypeNames], found: dict[str, _Found]
) -> tuple[set[int], bool]:
    """Take what the trees lead to; the pages that were reached, and whether all trees are whole."""
    master = pages.walk(1)
    reached, whole = {*master.leaves, *master.inner}, master.whole
    there = set()
    for kind, name, root in _roots(pages, master.leaves):
        walked = pages.walk(root, index=kind == "index")
        if name not in SUMMED:
            reached.update(walked.leaves)
            continue
        reached.update(walked.leaves, walked.inner)
        if kind == "index":
            noted = _note_ids(pages, [*walked.leaves, *walked.inner], found[name])
            found[name].exact |= walked.whole and noted
            continue
        there.add(name)
        whole = whole and walked.whole
        sound = [
            _take(pages, number, tables, {len(tables[name]) + 1: [name]}, found, table=name)
            for number in walked.leaves
        ]
        found[name].exact |= walked.whole and all(sound)
    return reached, whole and there == set(tables)


def _roots(pages: Pages, leaves: list[int]) -> Iterator[tuple[str, str, int]]:
    """Kind, table and root page of each tree the schema names."""
    for number in leaves:
        for _, record in pages.rows(number) if pages.kind(number) == LEAF else ():
            if record is not None and len(record) == 5:
                kind, _, table, root, _ = record
                if isinstance(root, int) and root > 0:
                    yield str(kind), str(table), root


def _note_ids(pages: Pages, numbers: list[int], of: _Found) -> bool:
    """Note the ids in an index; whether all could be read."""
    exact = True
    for number in numbers:
        for record in pages.entries(number):
            if record is not None and len(record) >= 2 and isinstance(record[-1], int):
                of.known.add(record[-1])
            else:
                exact = False
    return exact


def _take(
    pages: Pages,
    number: int,
    tables: dict[str, TypeNames],
    by_size: dict[int, list[str]],
    found: dict[str, _Found],
    *,
    table: str = "",
) -> bool:
    """Take the rows of a leaf whose sums hold; of others, their ids where the table is known.
    Whether all of them hold."""
    sound = True
    for rowid, record in pages.rows(number):
        names = by_size.get(len(record), []) if record is not None else []
        for name in names:
            row = _row(name, tables[name], rowid, record or [])
            if row is not None:
                found[name].known.add(rowid)
                found[name].rows.setdefault(rowid, row)
                break
        else:
            sound = False
            if table and rowid > 0:
                found[table].known.add(rowid)
    return sound


def _row(table: str, columns: TypeNames, rowid: int, record: CellValues) -> tuple[Any, ...] | None:
    """The columns of a record with its sum, if that is the sum of a row of this table."""
    row: list[Any] = []
    written: list[Any] = []
    for (name, kind), value in zip(columns.items(), record[:-1], strict=True):
        if name == "id" and value is None:
            value = rowid
        if kind == "REAL" and isinstance(value, int):
            value = float(value)
        if kind == "TEXT":
            written.append(
                value.encode() if isinstance(value, str) else None if value is None else 0
            )
        elif isinstance(value, str):
            return None
        else:
            written.append(value)
        row.append(value)
    return (*row, record[-1]) if record[-1] == row_sum(table, *written) else None


# Writing


def _drop_what_hangs(
    db: sqlite3.Connection,
) -> tuple[dict[str, int], dict[str, set[int]]]:
    """Take out what refers to rows that are lost, or the reference where a row can be without;
    by table, how many rows went, and which are without."""
    dropped: dict[str, int] = {}
    cut: dict[str, set[int]] = {}
    while rows := db.execute("pragma foreign_key_check").fetchall():
        for table, rowid, _, number in rows:
            column = next(
                row[3]
                for row in db.execute(f'pragma foreign_key_list("{table}")')
                if row[0] == number
            )
            needed = any(
                row[1] == column and row[3] for row in db.execute(f'pragma table_info("{table}")')
            )
            if needed:
                gone = db.execute(f'delete from "{table}" where rowid = ?', (rowid,)).rowcount
                dropped[table] = dropped.get(table, 0) + gone
            else:
                cut.setdefault(table, set()).add(rowid)
                db.execute(
                    f'update "{table}" set "{column}" = null, "{SUM}" = null where rowid = ?',
                    (rowid,),
                )
    return dropped, cut


def _bring_photos(photos: Path, to: Path) -> None:
    with suppress(FileNotFoundError):
        for photo in sorted(photos.iterdir()):
            if photo.is_file() and not photo.is_symlink():
                make_folder(to)
                if not (to / photo.name).exists():
                    shutil.copyfile(photo, to / photo.name)
                    sync(to / photo.name)
        if to.is_dir():
            sync(to)
