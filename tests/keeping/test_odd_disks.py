"""Disks without second names or room, names that are taken, files that change as they are read."""

from __future__ import annotations

import errno
import itertools
import os
import shutil
import sqlite3
import struct
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from journal.keeping import Journal, KeepingError, copies, disk, file, leftovers, moving_on
from journal.keeping.backups import folder_of, is_sound
from journal.keeping.leftovers import half_of, take_halves_away
from journal.keeping.migrations import SCHEMA
from journal.keeping.moving_on import build
from journal.keeping.wal import Wal, read_wal, wal_of
from tests.keeping.conftest import START
from tests.refusals import refused

OLD = Path(__file__).parent / "released" / "format_1.vatside"
NOW = START + 86_400_000


def raises(error: OSError) -> Callable[..., None]:
    def fails(*_: object, **__: object) -> None:
        raise error

    return fails


@pytest.fixture
def no_links(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "link", raises(OSError(errno.EPERM, "not permitted")))


def test_a_disk_without_second_names_has_journals_and_their_copies(no_links, tmp_path) -> None:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path, zone="Asia/Tokyo") as journal:
        assert is_sound(journal.back_up(NOW).path)
    with refused(KeepingError, "keeping.file-exists"):
        Journal.create(path)
    old = Path(shutil.copy(OLD, tmp_path / "old.vatside"))
    with Journal.open(old) as journal:
        assert journal.makes.all()
    kept = tmp_path / "old.format-1.vatside"
    assert kept.read_bytes()[60:64] == (1).to_bytes(4, "big")
    assert not list(tmp_path.glob(".*"))


@pytest.mark.parametrize("links", [True, False])
def test_a_name_that_another_program_takes_meanwhile_stays_its_own(
    tmp_path, monkeypatch, links
) -> None:
    path = tmp_path / "kitchen.vatside"

    def built(half: Path, settings: dict[str, str]) -> None:
        build(half, settings)
        path.write_bytes(b"another's")

    monkeypatch.setattr(moving_on, "build", built)
    if not links:
        monkeypatch.setattr(disk.os, "link", raises(OSError(errno.EPERM, "not permitted")))
    with refused(KeepingError, "keeping.file-exists"):
        Journal.create(path)
    assert path.read_bytes() == b"another's"
    assert list(tmp_path.iterdir()) == [path]


def test_a_journal_for_which_there_is_no_room_leaves_nothing(tmp_path, monkeypatch) -> None:
    def half_built(half: Path, _settings: object) -> None:
        half.write_bytes(b"half")
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(moving_on, "build", half_built)
    with refused(KeepingError, "keeping.not-made-here") as caught:
        Journal.create(tmp_path / "kitchen.vatside")
    assert "No space left" in str(caught.value)
    assert list(tmp_path.iterdir()) == []
    with refused(KeepingError, "keeping.no-folder"):
        Journal.create(tmp_path / "none" / "kitchen.vatside")


def test_what_only_looks_like_a_backup_is_none(saved) -> None:
    folder = folder_of(saved.path)
    folder.mkdir()
    for name in ("kitchen-20261399-000000", "kitchen-2026-1", "kitchen-later", "other-20261130-1"):
        (folder / f"{name}.vatside").write_bytes(b"x")
    assert saved.backups() == []


def test_where_every_name_of_a_second_is_taken_nothing_is_written_over(saved) -> None:
    folder = folder_of(saved.path)
    first = saved.back_up(NOW).path
    for number in range(2, 1000):
        (folder / f"{first.stem}-{number}.vatside").write_bytes(b"x")
    before = {each.name: each.stat().st_size for each in folder.iterdir()}
    with refused(KeepingError, "keeping.file-exists"):
        saved.back_up(NOW)
    assert {each.name: each.stat().st_size for each in folder.iterdir()} == before


@pytest.mark.parametrize(
    "spoilt",
    [
        "update setting set value = 'elsewhere' where key = 'zone'",
        "pragma foreign_keys = off; update make set plan_id = 999",
        "delete from setting; delete from make",
    ],
)
def test_a_copy_that_came_out_otherwise_is_no_backup(saved, make, monkeypatch, spoilt) -> None:
    copied = copies._copy

    def copied_wrong(
        db: sqlite3.Connection, half: Path, *others: Callable[..., Any]
    ) -> dict[str, int]:
        counted = copied(db, half, *others)
        with closing(sqlite3.connect(half)) as copy:
            copy.executescript(spoilt)
        return counted

    monkeypatch.setattr(copies, "_copy", copied_wrong)
    with refused(KeepingError, "keeping.not-backed-up") as caught:
        saved.back_up(NOW)
    assert caught.value.values["why"].id.startswith("keeping.copy-")
    assert list(folder_of(saved.path).iterdir()) == []


def test_an_older_journal_whose_rows_refer_to_nothing_stays_as_it_is(tmp_path) -> None:
    """It is not moved on: of what is not sound no copy counts."""
    path = Path(shutil.copy(OLD, tmp_path / "old.vatside"))
    with closing(sqlite3.connect(path)) as db:
        db.execute("pragma foreign_keys = off")
        db.execute("delete from plan")
        db.commit()
        db.execute("pragma journal_mode = delete")
    with refused(KeepingError, "keeping.not-copied-to-move") as caught:
        Journal.open(path)
    assert caught.value.values["why"].id == "keeping.copy-unsound"
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as db:
        assert db.execute("pragma user_version").fetchone()[0] == 1 < SCHEMA
        assert db.execute("select count(*) from make").fetchone()[0] > 0
    assert not list(tmp_path.glob("*.half")) + list(tmp_path.glob("*format-1*"))


@pytest.mark.parametrize(
    "harm",
    [
        lambda wal: wal[:20],
        lambda wal: b"\0\0\0\0" + wal[4:],
        lambda wal: wal[:8] + struct.pack(">I", 300) + wal[12:],
        lambda wal: wal[:12] + b"\xff" + wal[13:],
        lambda wal: wal[:32],
        lambda wal: wal[:100],
    ],
)
def test_changes_beside_a_file_that_sqlite_would_not_read_are_none(saved, tmp_path, harm) -> None:
    """A head cut short, of another kind, with an impossible page size, or whose sum is wrong; and
    nothing behind it, or half a page."""
    saved.set_setting("letters", "QQ")
    path = tmp_path / "apart.vatside"
    wal_of(path).write_bytes(harm(wal_of(saved.path).read_bytes()))
    assert read_wal(path) is None


def test_changes_of_another_page_size_belong_to_no_file_of_this(saved) -> None:
    saved.set_setting("letters", "QQ")
    found = read_wal(saved.path)
    assert found is not None
    head = bytearray(saved._db.head.read())
    assert found.belongs_to(bytes(head))
    head[16:18] = struct.pack(">H", 8192)
    assert not found.belongs_to(bytes(head))
    head[16:18] = b"\0\1"  # which stands for 65,536
    assert Wal(65_536, found.frames[:0], 1).belongs_to(bytes(head))


def test_a_file_that_never_rests_is_in_use(saved, tmp_path, monkeypatch) -> None:
    """An older file that only can be read is read whole, or not at all."""
    path = Path(shutil.copy(OLD, tmp_path / "old.vatside"))
    states = itertools.count()
    monkeypatch.setattr(file, "_state", lambda _path: next(states))
    with refused(KeepingError, "keeping.busy"):
        Journal.open(path, read_only=True)


def test_what_a_process_of_another_person_writes_stays(tmp_path, monkeypatch) -> None:
    half = tmp_path / ".kitchen.vatside.4711.half"
    half.write_bytes(b"half")
    monkeypatch.setattr(leftovers.os, "kill", raises(PermissionError(errno.EPERM, "not yours")))
    take_halves_away(tmp_path, "kitchen")
    assert half.exists()
    monkeypatch.setattr(leftovers.os, "kill", raises(ProcessLookupError()))
    take_halves_away(tmp_path, "kitchen")
    assert not half.exists()
    assert half_of(tmp_path / "kitchen.vatside").name == f".kitchen.vatside.{os.getpid()}.half"


def test_within_a_change_nothing_is_folded(saved, make) -> None:
    with saved.unit("keeping.act-finish"):
        assert not saved.fold()
    assert saved.fold()
