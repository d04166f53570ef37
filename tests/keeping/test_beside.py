"""What lies beside the file: it is folded into it under a lock, and never mixed with another."""

from __future__ import annotations

import shutil
import sqlite3
import struct
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest

from journal.keeping import Journal, KeepingError, folding
from journal.keeping.file import LARGE_WAL
from journal.keeping.migrations import SCHEMA
from journal.keeping.wal import read_wal, size_of_wal, wal_of, whole_file
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from tests.refusals import refused

_OTHER = """
import sys
from journal.keeping import Journal
journal = Journal.open(sys.argv[1])
for line in sys.stdin:
    word = line.strip()
    if word == "fold":
        print(journal.fold(), flush=True)
    elif word == "hold":
        journal._db.execute("begin immediate")
        print("held", flush=True)
    elif word == "let go":
        journal._db.execute("rollback")
        print("let go", flush=True)
    else:
        journal.readings.log(1, "milk-temp", float(word), 1_000_000 + round(1000 * float(word)))
        print("kept", flush=True)
"""


class Other:
    """Another program on the journal, told what to do a line at a time; it is killed at last."""

    def __init__(self, path: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", _OTHER, str(path)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip

    def do(self, word: object) -> str:
        self.process.stdin.write(f"{word}\n")
        self.process.stdin.flush()
        return self.process.stdout.readline().strip()

    def kill(self) -> None:
        self.process.kill()
        self.process.communicate()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path) as journal:
        journal.makes.begin(Plan("p", (Stage("warm", 30, target_c=31.0),)), Milk(10.0), 1000)
    return path


@pytest.fixture
def other(path: Path) -> Iterator[Other]:
    made = Other(path)
    yield made
    made.kill()


def values(path: Path) -> list[float]:
    """The readings of a file, which is sound."""
    with Journal.open(path, read_only=True) as journal:
        assert journal.check() == []
        return journal.readings.trace(1, "milk-temp").value.round(3).tolist()


def copied(path: Path, to: Path) -> None:
    """A copy of the file alone, by another program: this one may have it open."""
    say = "import shutil, sys; shutil.copy(*sys.argv[1:])"
    subprocess.run([sys.executable, "-c", say, str(path), str(to)], check=True)


def log(journal: Journal, value: float) -> None:
    journal.readings.log(1, "milk-temp", value, 1_000_000 + round(1000 * value))


# Folding


def test_a_copy_of_the_file_alone_has_what_was_folded(path: Path, tmp_path: Path) -> None:
    with Journal.open(path) as journal:
        log(journal, 31.5)
        assert journal.fold()
        copied(path, tmp_path / "stick.vatside")
        log(journal, 31.6)
    assert values(tmp_path / "stick.vatside") == [31.5]
    assert values(path) == [31.5, 31.6]


def test_nothing_is_written_where_there_is_nothing_to_fold(path: Path) -> None:
    with Journal.open(path) as journal:
        log(journal, 31.5)
        assert journal.fold()
        before = path.stat().st_mtime_ns, wal_of(path).stat().st_mtime_ns
        assert journal.fold()
        assert (path.stat().st_mtime_ns, wal_of(path).stat().st_mtime_ns) == before


def test_opening_and_closing_again_writes_nothing(path: Path) -> None:
    Journal.open(path).close()
    before = path.read_bytes()
    Journal.open(path).close()
    assert path.read_bytes() == before


def test_who_closes_first_leaves_the_file_whole(path: Path, other: Other, tmp_path: Path) -> None:
    other.do(31.5)
    with Journal.open(path) as journal:
        log(journal, 31.6)
    copied(path, tmp_path / "stick.vatside")
    assert values(tmp_path / "stick.vatside") == [31.5, 31.6]
    assert other.do(31.7) == "kept"
    assert values(path) == [31.5, 31.6, 31.7]


def test_no_connection_folds_while_another_program_may_write(path: Path, other: Other) -> None:
    """Not by itself either, though the changes grow over SQLite's own thousand pages."""
    with Journal.open(path) as journal:
        before = path.stat().st_mtime_ns
        assert journal._db.execute("pragma wal_autocheckpoint").fetchone() == (0,)
        with closing(sqlite3.connect(path)) as plain:
            assert plain.execute("pragma wal_autocheckpoint").fetchone() == (1000,)
        log(journal, 31.5)
        assert other.do("hold") == "held"
        assert not journal.fold()
        assert path.stat().st_mtime_ns == before
        other.do("let go")
        assert journal.fold()
        assert path.stat().st_mtime_ns > before


def test_a_reader_that_looks_at_the_past_is_waited_for(path: Path, tmp_path: Path) -> None:
    with Journal.open(path) as journal, Journal.open(path, read_only=True) as reader:
        reader._db.execute("begin")
        reader.makes.all()
        log(journal, 31.5)
        assert not journal.fold()
        reader._db.execute("commit")
        assert journal.fold()
        assert reader.readings.trace(1, "milk-temp").value.tolist() == [31.5]
    assert values(path) == [31.5]


def test_what_lies_beside_stays_small_however_much_is_written(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert LARGE_WAL < 10_000_000
    monkeypatch.setattr(folding, "LARGE_WAL", 100_000)
    sizes = []
    with Journal.open(path) as journal:
        for k in range(40):
            log(journal, 31 + k / 100)
            sizes.append(size_of_wal(path))
    assert max(sizes) < 200_000
    assert 40 * (sizes[1] - sizes[0]) > 2 * max(sizes)
    assert len(values(path)) == 40


def test_a_fold_is_no_change_of_others_to_who_folds(path: Path) -> None:
    with Journal.open(path) as journal:
        log(journal, 31.5)
        version = journal._db.execute("pragma data_version").fetchone()
        assert journal.fold()
        assert journal._db.execute("pragma data_version").fetchone() == version
        assert journal.undo() is not None
        assert journal.redo() is not None
    assert values(path) == [31.5]


def test_each_era_of_changes_begins_above_the_one_before(
    path: Path, other: Other, tmp_path: Path
) -> None:
    """Whoever writes and folds in turn; so an older copy of the file is told from the present one.

    A copy of an earlier era does not belong to the changes of a later one, the file always does.
    """
    heads, last = [], 0
    with Journal.open(path) as journal:
        for turn in range(9):
            if turn % 3 != 1:
                other.do(30 + turn / 100)
            if turn % 3 != 2:
                log(journal, 31 + turn / 100)
            found = read_wal(path)
            copied(path, tmp_path / "now")
            head = (tmp_path / "now").read_bytes()[:100]
            assert found.belongs_to(head)
            assert not any(found.belongs_to(older) for older in heads), turn
            heads.append(head)
            assert found.counters[0] > last
            assert journal.fold() if turn % 2 else other.do("fold") == "True"
            last = read_wal(path).counters[1]
    assert len(set(heads)) == 9


# What a program that was killed left


def crashed(path: Path, *turns: object) -> None:
    """Another program does this and is killed."""
    other = Other(path)
    for word in turns:
        assert other.do(word)
    other.kill()


def laid_by_cp(copy: Path, path: Path) -> None:
    path.write_bytes(copy.read_bytes())


def laid_by_mv(copy: Path, path: Path) -> None:
    copy.replace(path)


def test_what_a_killed_program_kept_is_there(path: Path) -> None:
    crashed(path, 31.1, 31.2, "fold", 31.3)
    assert size_of_wal(path)
    assert values(path) == [31.1, 31.2, 31.3]
    crashed(path, 31.4)
    with Journal.open(path) as journal:
        assert journal.remarks == ()
        assert journal.check() == []
    assert values(path) == [31.1, 31.2, 31.3, 31.4]
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]


@pytest.mark.parametrize("lay", [laid_by_cp, laid_by_mv])
@pytest.mark.parametrize("read_only", [True, False])
def test_an_older_copy_laid_over_a_crashed_journal_is_that_copy(
    path: Path, tmp_path: Path, lay: Callable[[Path, Path], None], read_only: bool
) -> None:
    with Journal.open(path) as journal:
        log(journal, 31.1)
    copy = Path(shutil.copy(path, tmp_path / "copy of it"))
    crashed(path, 31.2, "fold", *(31.3 + k / 100 for k in range(5)))
    lay(copy, path)
    with Journal.open(path, read_only=read_only) as journal:
        (remark,) = journal.remarks
        assert remark.id == "keeping.other-changes-set-aside"
        assert journal.readings.trace(1, "milk-temp").value.tolist() == [31.1]
        assert journal.check() == []
    aside = path.with_name(remark.values["aside"])
    assert aside.stat().st_size > 32
    with Journal.open(path) as journal:
        assert journal.remarks == ()
        log(journal, 31.9)
    assert values(path) == [31.1, 31.9]


def test_the_changes_of_another_journal_are_not_mixed_in(path: Path, tmp_path: Path) -> None:
    """Two kitchens that began alike: their files are as long, and their changes as many."""
    twin = tmp_path / "twin.vatside"
    with Journal.create(twin) as journal:
        journal.makes.begin(Plan("p", (Stage("warm", 30, target_c=31.0),)), Milk(10.0), 1000)
    crashed(twin, 66.6)
    shutil.copy(wal_of(twin), wal_of(path))
    with Journal.open(path) as journal:
        assert [one.id for one in journal.remarks] == ["keeping.other-changes-set-aside"]
    assert values(path) == []
    assert values(twin) == [66.6]


def test_a_new_journal_does_not_take_over_what_a_deleted_one_left(path: Path) -> None:
    crashed(path, 31.1)
    path.unlink()
    with Journal.create(path) as journal:
        assert [one.id for one in journal.remarks] == ["keeping.other-changes-set-aside"]
        assert journal.makes.all() == []
        assert journal.check() == []


def test_changes_of_a_program_that_did_not_count_them_are_taken(path: Path, tmp_path: Path) -> None:
    """The release before this one wrote page 1 only where the file grew."""
    with Journal.open(path) as journal:
        journal.set_setting("zone", "Europe/Rome")
    say = (
        "import os, sqlite3, sys\n"
        "db = sqlite3.connect(sys.argv[1], isolation_level=None)\n"
        "db.execute(\"delete from setting where key = 'zone'\")\n"
        "os._exit(0)\n"
    )
    subprocess.run([sys.executable, "-c", say, str(path)], check=True)
    assert read_wal(path).counters == []
    with Journal.open(path) as journal:
        assert journal.remarks == ()
        assert journal.zone == "UTC"


def test_changes_are_read_as_sqlite_reads_them(path: Path) -> None:
    """Cut short anywhere and with a byte flipped, as a power cut may leave them."""
    crashed(path, *(31 + k / 100 for k in range(8)), "fold", *(32 + k / 100 for k in range(4)))
    wal, whole = wal_of(path), wal_of(path).read_bytes()
    file, rng, seen = path.read_bytes(), np.random.default_rng(1), set()
    for turn in range(30):
        data = bytearray(whole[: int(rng.integers(32, len(whole) + 1))])
        if turn % 2:
            data[int(rng.integers(len(data)))] ^= 1
        wal.write_bytes(data)
        path.write_bytes(file)
        Path(f"{path}-shm").unlink(missing_ok=True)
        with closing(sqlite3.connect(":memory:")) as ours:
            ours.deserialize(whole_file(path, read_wal(path)))
            rows = list(ours.iterdump())
        with closing(sqlite3.connect(path)) as theirs:
            assert rows == list(theirs.iterdump())
        seen.add(len(rows))
    assert len(seen) > 3


def test_a_file_given_another_format_meanwhile_is_not_written_to(path: Path) -> None:
    with Journal.open(path) as journal:
        with closing(sqlite3.connect(path)) as newer:
            newer.execute(f"pragma user_version = {SCHEMA + 1}")
        with refused(KeepingError, "keeping.format-changed", version=SCHEMA + 1, known=SCHEMA):
            log(journal, 31.5)
        with closing(sqlite3.connect(path)) as newer:
            assert newer.execute("pragma user_version").fetchone() == (SCHEMA + 1,)
            newer.execute(f"pragma user_version = {SCHEMA}")
        log(journal, 31.6)
    assert values(path) == [31.6]


def test_a_new_file_counts_from_a_number_of_its_own(path: Path, tmp_path: Path) -> None:
    with Journal.open(path) as journal:
        journal.save_copy(tmp_path / "copy.vatside")
    heads = [each.read_bytes()[:100] for each in (path, tmp_path / "copy.vatside")]
    first, second = (struct.unpack(">I", head[24:28])[0] for head in heads)
    assert abs(first - second) > 100
    assert all(head[24:28] == head[92:96] for head in heads)
