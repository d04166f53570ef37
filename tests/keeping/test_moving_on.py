"""An older file gets the format of today whole or not at all, after a copy of it that was tried."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import sys
from contextlib import closing
from pathlib import Path
from subprocess import run
from threading import Event, Thread

import pytest

from journal.keeping import Journal, KeepingError, moving_on
from journal.keeping.backups import is_sound, restore
from journal.keeping.file import older
from journal.keeping.migrations import SCHEMA
from tests.refusals import refused

OLD = Path(__file__).parent / "released" / "format_1.vatside"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return old_in(tmp_path)


def old_in(folder: Path) -> Path:
    """A journal of an older program, with its photos."""
    shutil.copytree(OLD.with_name(f"{OLD.name}.photos"), folder / "kitchen.vatside.photos")
    return Path(shutil.copy(OLD, folder / "kitchen.vatside"))


def dumped(path: Path) -> list[str]:
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro&immutable=1", uri=True)) as db:
        return list(db.iterdump())


def kept(path: Path) -> Path:
    """The copy of the file as it was."""
    return path.with_name("kitchen.format-1.vatside")


def test_the_copy_is_what_the_file_was_and_the_file_is_of_today(path: Path) -> None:
    before = dumped(path)
    with Journal.open(path) as journal:
        assert journal.check() == []
    assert dumped(kept(path)) == before
    assert path.read_bytes()[60:64] == SCHEMA.to_bytes(4, "big")
    names = sorted(entry.name for entry in path.parent.iterdir() if entry.is_file())
    assert names == ["kitchen.format-1.vatside", "kitchen.vatside"]


def test_opened_through_a_link_the_copy_lies_beside_the_file_itself(path: Path) -> None:
    """So what a killed program left half copied goes when it is opened by its own name."""
    elsewhere = path.parent / "desktop"
    elsewhere.mkdir()
    link = elsewhere / "cheese.vatside"
    link.symlink_to(path)
    Journal.open(link).close()
    assert dumped(kept(path)) == dumped(OLD)
    assert [entry.name for entry in elsewhere.iterdir()] == ["cheese.vatside"]


@pytest.mark.parametrize("worth", [b"", b"half a copy", "cut"])
def test_a_copy_that_is_worth_nothing_is_not_trusted(path: Path, worth: bytes | str) -> None:
    whole = OLD.read_bytes()
    kept(path).write_bytes(whole[: len(whole) // 2] if isinstance(worth, str) else worth)
    Journal.open(path).close()
    assert dumped(kept(path)) == dumped(OLD)


def test_a_copy_of_another_day_stays_beside_the_new_one(path: Path) -> None:
    shutil.copy(OLD, kept(path))
    with closing(sqlite3.connect(path)) as db:
        db.execute("update make set name = 'set right since'")
        db.commit()
    before = dumped(path)
    Journal.open(path).close()
    assert dumped(kept(path)) == dumped(OLD)
    assert dumped(path.with_name("kitchen.format-1-2.vatside")) == before


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork there")
def test_a_program_killed_at_any_moment_leaves_a_journal_that_opens(tmp_path: Path) -> None:
    """It is what it was or what it becomes, and a copy that has its name is whole."""
    import sqlite_utils.migrations  # noqa: F401 - loaded here, it costs the others no time

    seen, longest = set(), 0.0
    before = dumped(OLD)
    for turn in range(20):
        folder = tmp_path / str(turn)
        folder.mkdir()
        path = old_in(folder)
        longest = max(longest, 0.02)
        child = os.fork()
        if not child:
            signal.setitimer(signal.ITIMER_REAL, longest * (turn % 10 + 1) / 10)
            signal.signal(signal.SIGALRM, signal.SIG_DFL)  # it ends the process as a kill does
            Journal.open(path).close()
            os._exit(0)
        status = os.waitpid(child, 0)[1]
        if status == 0 or turn % 10 == 9:
            longest *= 0.9 if status == 0 else 3
        copy = kept(path)
        if copy.exists():
            assert is_sound(copy)
            assert dumped(copy) == before
        with Journal.open(path, read_only=True) as journal:
            assert journal.check() == []
        with Journal.open(path) as journal:
            assert journal.check() == []
            assert len(journal.makes.all()) == 2
        assert dumped(copy) == before
        seen.add((status, copy.exists()))
    assert (signal.SIGALRM, True) in seen


def test_while_another_program_has_it_open_it_stays_as_it_is(path: Path, monkeypatch) -> None:
    monkeypatch.setattr(moving_on, "_WAIT_S", 0.3)
    before = path.read_bytes()
    with closing(sqlite3.connect(path)) as older:
        older.execute("select * from make").fetchall()
        with refused(KeepingError, "keeping.older-in-use"):
            Journal.open(path)
        with Journal.open(path, read_only=True) as journal:
            assert len(journal.makes.all()) == 2
    assert path.read_bytes() == before


def test_where_no_copy_can_be_made_it_stays_as_it_is(path: Path, monkeypatch) -> None:
    from journal.keeping import copies

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    before = path.read_bytes()
    monkeypatch.setattr(copies, "sync", full)
    with refused(KeepingError, "keeping.not-copied-to-move"):
        Journal.open(path)
    assert path.read_bytes() == before
    assert [entry.name for entry in path.parent.iterdir() if entry.is_file()] == [path.name]


def test_a_backup_of_an_older_format_is_put_back_under_an_open_window(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:  # the kept one has small pages, to be small
        for statement in ("pragma journal_mode = delete", "pragma page_size = 4096", "vacuum"):
            db.execute(statement)
    before = path.read_bytes()
    now = path.with_name("now.vatside")
    with Journal.create(now) as window:
        restore(now, path, 1_800_000_000_000)
        assert [make.code for make in window.makes.all()] == ["HL-0001", "HL-0002"]
        window.set_setting("zone", "Europe/Rome")
        assert window.check() == []
    assert path.read_bytes() == before
    with Journal.open(now) as again:
        assert again.zone == "Europe/Rome"
        assert len(again.makes.all()) == 2


@pytest.mark.parametrize("share", [0.0, 0.2, 0.35, 0.4, 0.8, 0.95])
def test_it_says_how_far_it_is_and_can_be_stopped_anywhere(
    path: Path, monkeypatch, share: float
) -> None:
    monkeypatch.setattr(moving_on, "PAGES", 16)  # so that there is a midst of its writing
    before, shares = dumped(path), [0.0]
    with refused(KeepingError, "keeping.moving-on-stopped"):
        Journal.open(path, stop=lambda: shares[-1] >= share, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] < 1
    assert dumped(path) == before
    assert [entry.name for entry in path.parent.iterdir() if entry.is_file()] == [path.name]
    with Journal.open(path, progress=shares.append) as journal:
        assert journal.check() == []
    assert shares[-1] == 1


def test_stopping_leaves_a_copy_that_was_there_before(path: Path) -> None:
    shutil.copy(OLD, kept(path))
    shares = [0.0]
    with refused(KeepingError, "keeping.moving-on-stopped"):
        Journal.open(path, stop=lambda: shares[-1] > 0.5, progress=shares.append)
    assert dumped(kept(path)) == dumped(OLD)


def test_meanwhile_this_program_opens_others_and_another_one_waits(path: Path, monkeypatch) -> None:
    """Nothing here looks into the file: that would drop the lock that keeps the other out."""
    go_on, here = Event(), Event()
    apply = moving_on.apply

    def waits(*given: object, **named: object) -> None:
        here.set()
        assert go_on.wait(60)
        apply(*given, **named)

    monkeypatch.setattr(moving_on, "apply", waits)
    opened = Thread(target=lambda: Journal.open(path).close())
    opened.start()
    try:
        assert here.wait(60)
        for read_only in (False, True):
            with refused(KeepingError, "keeping.moved-on-here"):
                Journal.open(path, read_only=read_only)
        assert older(path) is None
        with Journal.create(path.with_name("new.vatside")) as other:
            assert other.check() == []
        told = run([sys.executable, "-c", _OTHER, str(path)], capture_output=True, text=True)
        assert told.stdout.strip() == "keeping.older-in-use"
    finally:
        go_on.set()
        opened.join()
    with Journal.open(path) as journal:
        assert journal.check() == []


_OTHER = """
import sys
from journal.keeping import Journal, KeepingError, moving_on
moving_on._WAIT_S = 0.1
try:
    Journal.open(sys.argv[1])
except KeepingError as error:
    print(error.id)
"""
