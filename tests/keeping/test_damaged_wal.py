"""What a crash left beside the file, damaged before the next start: nothing is missing unsaid."""

from __future__ import annotations

import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from journal.keeping import Journal
from journal.keeping.wal import is_cut, read_wal, whole_file
from journal.wording import text_of

FRAME, READINGS = 24 + 4096, 12
START = 1_760_000_000_000

_CRASHES = """
import os, signal, sys
from journal.keeping import Journal
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans

journal = Journal.create(sys.argv[1])
make = journal.makes.begin(builtin_plans()[0], Milk(10.0), int(sys.argv[2]))
for minute in range(int(sys.argv[3])):
    at_ms = int(sys.argv[2]) + 60_000 * minute
    journal.readings.log(make.id, "milk-temp", 30 + minute / 10, at_ms)
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture(scope="module")
def crashed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("crashed") / "kitchen.vatside"
    words = [sys.executable, "-c", _CRASHES, str(path), str(START), str(READINGS)]
    assert subprocess.run(words, check=False).returncode == -signal.SIGKILL
    return path


@pytest.fixture
def path(crashed: Path, tmp_path: Path) -> Path:
    there = tmp_path / "kitchen.vatside"
    for ending in ("", "-wal"):
        shutil.copy(f"{crashed}{ending}", f"{there}{ending}")
    return there


def wal_of(path: Path) -> Path:
    return Path(f"{path}-wal")


def flip(frame: Callable[[int], int]) -> Callable[[bytearray], bytearray]:
    """One bit in the page of a frame."""

    def act(wal: bytearray) -> bytearray:
        count = (len(wal) - 32) // FRAME
        wal[32 + FRAME * frame(count) + 300] ^= 4
        return wal

    return act


def flip_head(wal: bytearray) -> bytearray:
    wal[21] ^= 4
    return wal


def cut(wal: bytearray) -> bytearray:
    return wal[:-1000]


def torn(wal: bytearray) -> bytearray:
    return wal[:-1000] + bytes(1000)


def same(wal: bytearray) -> bytearray:
    return wal


def never_ended(wal: bytearray) -> bytearray:
    """The first frames of a change whose process was killed in its midst."""
    whole = bytes(wal)
    last = whole[-FRAME : -FRAME + 4] + bytes(4) + whole[-FRAME + 8 :]
    return bytearray(whole[:-FRAME] + last)


@pytest.mark.parametrize(
    "act",
    [flip_head, *(flip(at) for at in (lambda _: 0, lambda n: n // 2, lambda n: n - 2,
                                      lambda n: n - 1)), cut, torn],
)  # fmt: skip
@pytest.mark.parametrize("read_only", [True, False])
def test_changes_that_cannot_be_reached_any_more_are_said_and_kept(path, act, read_only):
    spoilt = bytes(act(bytearray(wal_of(path).read_bytes())))
    wal_of(path).write_bytes(spoilt)
    with Journal.open(path, read_only=read_only) as journal:
        (remark,) = journal.remarks
        assert remark.id == "keeping.changes-cut"
        makes = journal.makes.rows()
        there = len(journal.readings.trace(makes[0].id, "milk-temp")) if makes else 0
        assert there < READINGS
        assert journal.check() == []
    (aside,) = path.parent.glob("*-damaged-*")
    assert aside.read_bytes() == spoilt
    assert aside.name in text_of(remark)
    with Journal.open(path) as again:
        assert again.remarks == (), "what could be reached is in the file, and it is said no more"


@pytest.mark.parametrize("act", [same, never_ended])
def test_what_a_kill_leaves_is_no_damage(path, act):
    wal_of(path).write_bytes(act(bytearray(wal_of(path).read_bytes())))
    with Journal.open(path) as journal:
        assert journal.remarks == ()
        assert len(journal.readings.trace(1, "milk-temp")) >= READINGS - 1


def test_a_head_that_names_no_size_of_a_page_hides_no_changes(path):
    wal = bytearray(wal_of(path).read_bytes())
    wal[10] ^= 4
    wal_of(path).write_bytes(wal)
    assert is_cut(path)


def test_an_older_era_behind_the_changes_is_no_damage(path):
    """A `-wal` is written over from its beginning: what lies behind the new changes is old."""
    size = wal_of(path).stat().st_size
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("pragma wal_checkpoint(restart)")
        db.execute("update setting set value = value where key = 'zone'")
        assert wal_of(path).stat().st_size == size, "only its beginning is new"
        assert not is_cut(path)


def test_a_change_of_thousands_of_pages_is_read_to_its_end(path):
    """By the page size as well: SQLite's smallest, so that it costs little."""
    path.unlink()
    wal_of(path).unlink()
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        for line in ("page_size = 512", "journal_mode = wal", "wal_autocheckpoint = 0"):
            db.execute(f"pragma {line}")
        db.execute("create table t (a blob)")
        db.executemany("insert into t values (?)", [(bytes(400),)] * 2)
        db.execute("insert into t values (?)", (bytes(3000 * 508),))
        (pages,) = db.execute("pragma page_count").fetchone()
        found = read_wal(path)
        assert found is not None
        assert (found.page_size, found.pages) == (512, pages)
        assert len(found.frames) > 3000
        assert not is_cut(path)
        whole = whole_file(path, found)
        with closing(sqlite3.connect(":memory:")) as copy:
            copy.deserialize(whole)
            assert copy.execute("select sum(length(a)) from t").fetchone() == (800 + 3000 * 508,)
            assert copy.execute("pragma integrity_check").fetchone() == ("ok",)
