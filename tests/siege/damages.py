"""Random damages to journals: no crash, no wrong or missing value without a word, and a rescue
that saves only what is true.

The oracle is the file before the damage, read by plain sqlite3.
"""

from __future__ import annotations

import random
import shutil
import sqlite3
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

from journal.keeping import Journal, KeepingError
from journal.keeping.rescue import rescue
from journal.records import RecordError
from journal.records.whole import WholeMake
from journal.sample import write_sample
from tests.present import NOW
from tests.siege.table import Tally

PAGE = 4096
BAD = ("crashed", "wrong without a word", "missing without a word", "untrue after rescue",
       "unsound after rescue", "lost without a word")  # fmt: skip
Row = tuple[Any, ...]
Tables = dict[str, dict[Any, Row]]


def run(count: int, seed: int, sizes: tuple[int, ...] = (2, 40)) -> Tally:
    """Damage journals of so many makes in turn and see what is said of each; each name of `BAD`
    is a fault."""
    counts: Counter[str] = Counter()
    faults = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sound = []
        for makes in sizes:
            path = folder / f"sound-{makes}.vatside"
            write_sample(path, seed=seed, makes=makes, now_ms=NOW)
            with Journal.open(path, read_only=True) as journal:
                sound.append((path, rows_of(path), dict(_everything(journal))))
        for number in range(count):
            chance = random.Random(f"{seed} {number}")
            path, tables, truth = sound[number % len(sound)]
            try:
                found = Counter(_one(path, tables, truth, chance, folder / "at-work"))
            except Exception as error:  # noqa: BLE001 - what nobody foresaw is looked for
                found = Counter(crashed=1)
                faults.append(f"damage {number} of seed {seed}: {error!r}")
            counts.update(found, damages=1)
            if failed := set(found) & set(BAD):
                faults.append(f"damage {number} of seed {seed}: {', '.join(sorted(failed))}")
    return Tally("damages", counts, faults)


def _one(
    path: Path, tables: Tables, truth: dict[Any, Any], chance: random.Random, folder: Path
) -> Iterator[str]:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    hurt = folder / "hurt.vatside"
    whole = path.read_bytes()
    kind, spoilt = _damaged(whole, chance)
    hurt.write_bytes(spoilt)
    yield kind
    if spoilt == whole:
        return
    yield from _read(hurt, truth, read_only=chance.random() < 0.7)
    for ending in ("-wal", "-shm"):
        Path(f"{hurt}{ending}").unlink(missing_ok=True)
    hurt.write_bytes(spoilt)  # what was opened to write may have changed it
    out = folder / "out.vatside"
    try:
        announced = rescue(hurt, out)
    except KeepingError:
        yield "nothing to rescue"
        return
    yield from _rescued(
        out,
        tables,
        {one.table: one.lost if one.exact else len(tables[one.table]) for one in announced},
    )


def _damaged(whole: bytes, chance: random.Random) -> tuple[str, bytes]:
    kind = chance.choice(("flipped", "flipped", "zeroed", "swapped", "cut"))
    pages = len(whole) // PAGE
    spoilt = bytearray(whole)
    if kind == "flipped":
        for _ in range(chance.choice((1, 1, 1, 4, 30))):
            spoilt[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
    elif kind == "zeroed":
        at = chance.randrange(pages) * PAGE
        spoilt[at : at + PAGE] = bytes(PAGE)
    elif kind == "swapped":
        one, two = (chance.randrange(pages) * PAGE for _ in range(2))
        spoilt[one : one + PAGE], spoilt[two : two + PAGE] = (
            whole[two : two + PAGE], whole[one : one + PAGE],
        )  # fmt: skip
    else:
        del spoilt[chance.randrange(len(whole)) :]
    return kind, bytes(spoilt)


def _read(hurt: Path, truth: dict[Any, Any], *, read_only: bool) -> Iterator[str]:
    """Open it and read all there is; what differs from the truth must have been said."""
    try:
        journal = Journal.open(hurt, read_only=read_only)
    except KeepingError:
        yield "not opened"
        return
    with journal:
        seen = dict(_everything(journal))
        reported = bool(journal.check()) or bool(journal.left_out())
    wrong = [key for key, value in seen.items() if value is not None and truth.get(key) != value]
    missing = [key for key in truth if key not in seen]
    refused = [key for key, value in seen.items() if value is None]
    if not reported and wrong:
        yield "wrong without a word"
    if not reported and missing:
        yield "missing without a word"
    if wrong:
        yield "wrong, and said"
    yield "said" if reported else "refused" if refused else "no value touched"


def _everything(journal: Journal) -> Iterator[tuple[Any, Any]]:
    """Every record and every make as a whole, by what it is; None for what is refused."""
    for keeper in journal.keepers():
        try:
            for record in keeper.all():
                yield (keeper.noun, record.id), record
        except (KeepingError, RecordError):
            yield (keeper.noun, "all"), None
    try:
        makes = [row.id for row in journal.makes.rows()]
    except (KeepingError, RecordError):
        makes = []
    for key in makes:
        try:
            yield ("whole", key), _plain(journal.whole(key))
        except (KeepingError, RecordError):
            yield ("whole", key), None


def _plain(whole: WholeMake) -> Any:
    """A make with all that hangs on it, its curves as lists."""
    curves = {
        kind: (trace.at_ms.tolist(), trace.value.tolist(), trace.flags.tolist())
        for kind, trace in whole.traces.items()
    }
    return repr((whole.make, whole.plan, whole.runs, whole.additions, whole.scores, whole.wheels,
                 whole.weighings, whole.care, whole.notes, curves))  # fmt: skip


def rows_of(path: Path) -> Tables:
    """Every row of every table by its rowid."""
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)) as db:
        names = [r[0] for r in db.execute("select name from sqlite_master where type = 'table'")]
        return {
            name: {row[0]: row[1:] for row in db.execute(f'select rowid, * from "{name}"')}
            for name in names
            if not name.startswith(("sqlite_", "_sqlite_"))
        }


def _rescued(out: Path, tables: Tables, lost: dict[str, int]) -> Iterator[str]:
    yield "rescued"
    after = rows_of(out)
    for table, rows in tables.items():
        there = after.get(table, {})
        keyed = {row[:1]: row for row in rows.values()} if table == "setting" else rows
        now = {row[:1]: row for row in there.values()} if table == "setting" else there
        if table == "stage":  # one that stands for all of a plan's that are lost
            now = {key: row for key, row in now.items() if "?" not in row}
        untrue = [key for key, row in now.items() if not _is_part(row, keyed.get(key))]
        if untrue and table != "setting":
            yield "untrue after rescue"
        if len(rows) - len(there) > lost.get(table, 0):
            yield "lost without a word"
    with Journal.open(out, read_only=True) as journal:
        if journal.check():
            yield "unsound after rescue"


def _is_part(row: Row, true: Row | None) -> bool:
    """Whether a row is the true one, but for references to what is lost, and names for that."""
    if true is None:
        return False
    return row == true or all(
        one == other or one in (None, "?") for one, other in zip(row[:-1], true[:-1], strict=True)
    )
