"""Opening a journal: what is refused, with which message, and that nothing is touched."""

from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from journal.keeping import Journal, KeepingError, file, folding, moving_on
from journal.keeping.file import MAGIC
from journal.keeping.migrations import APPLICATION_ID, SCHEMA, TABLES, migrations
from journal.message import Message
from journal.records.plans import Plan
from tests.refusals import refused

if TYPE_CHECKING:
    from sqlite_utils.db import Database
    from sqlite_utils.migrations import Migrations


def contents(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in sorted(folder.iterdir())}


def report(path: Path) -> Message:
    """What is said of a file that is no journal; it and its folder stay as they are."""
    before = contents(path.parent)
    with pytest.raises(KeepingError) as caught:
        Journal.open(path)
    assert contents(path.parent) == before
    return caught.value.message


@pytest.mark.parametrize("text", ["milk, salt, muslin", "milk, salt, muslin\n" * 9, MAGIC.decode()])
def test_a_file_of_another_kind_is_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "shopping.vatside"
    path.write_text(text)
    assert report(path) == Message("keeping.other-kind", file="shopping.vatside")


def test_an_empty_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "empty.vatside"
    path.touch()
    assert report(path) == Message("keeping.other-kind", file="empty.vatside")


def test_another_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.vatside"
    db = sqlite3.connect(path)
    db.execute("create table make (id integer)")
    db.close()
    assert report(path) == Message("keeping.other-database", file="other.vatside")


def test_a_newer_journal_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "newer.vatside"
    Journal.create(path).close()
    db = sqlite3.connect(path)
    db.execute(f"pragma user_version = {SCHEMA + 1}")
    db.commit()
    db.execute("pragma wal_checkpoint(truncate)")
    db.close()
    output = report(path)
    assert (output.id, output.values["version"]) == ("keeping.newer", SCHEMA + 1)


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    assert report(tmp_path / "none.vatside").id == "keeping.no-file"
    (tmp_path / "folder").mkdir()
    with refused(KeepingError, "keeping.is-folder", file="folder"):
        Journal.open(tmp_path / "folder")


def test_an_existing_file_is_never_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "mine.vatside"
    path.write_text("years of work")
    with refused(KeepingError, "keeping.file-exists", file="mine.vatside"):
        Journal.create(path)
    assert path.read_text() == "years of work"


def opened_without_rights(path: Path) -> subprocess.CompletedProcess[str]:
    """What a program says that opens it for a person without rights there."""
    say = (
        "import os, sys\n"
        "from journal.keeping import Journal, KeepingError\n"
        "from journal.wording import text_of\n"
        "if os.getuid() == 0: os.setuid(65534)\n"
        "try:\n    Journal.open(sys.argv[1])\n"
        "except KeepingError as error:\n    print(text_of(error))\n"
    )
    command = [sys.executable, "-c", say, str(path)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def test_a_folder_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    """Run as a person without rights there, since root may write anywhere."""
    folder = tmp_path / "locked"
    folder.mkdir()
    path = folder / "kitchen.vatside"
    Journal.create(path).close()
    before = contents(folder)
    path.chmod(stat.S_IRUSR | stat.S_IRGRP | stat.S_IROTH)
    folder.chmod(0o555)
    for parent in (tmp_path, *tmp_path.parents):
        if os.access(parent, os.W_OK) and parent != Path("/"):
            parent.chmod(parent.stat().st_mode | 0o055)
    done = opened_without_rights(path)
    folder.chmod(0o755)
    assert "cannot be written to" in done.stdout, done.stderr
    assert contents(folder) == before


def test_a_file_behind_a_closed_folder_cannot_be_read(tmp_path: Path) -> None:
    """Run as a person without rights there, since root may look anywhere."""
    path = tmp_path / "closed" / "kitchen.vatside"
    path.parent.mkdir()
    Journal.create(path).close()
    path.parent.chmod(0o600)
    done = opened_without_rights(path)
    path.parent.chmod(0o700)
    assert "kitchen.vatside cannot be read" in done.stdout, done.stderr


def test_a_journal_is_strict_durable_and_checked(saved: Journal) -> None:
    db = saved._db
    assert db.execute("pragma journal_mode").fetchone()[0] == "wal"
    assert db.execute("pragma synchronous").fetchone()[0] == 2  # FULL
    assert db.execute("pragma foreign_keys").fetchone()[0] == 1
    assert db.execute("pragma application_id").fetchone()[0] == APPLICATION_ID
    loose = [
        name
        for name, strict in db.execute(
            "select name, strict from pragma_table_list "
            "where schema = 'main' and type = 'table' and name not like 'sqlite_%' "
            "and name not like '\\_sqlite%' escape '\\'"
        )
        if not strict
    ]
    assert loose == []
    assert saved.check() == []


def test_a_closed_journal_is_one_file(tmp_path: Path, plan: Plan) -> None:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path) as journal:
        journal.plans.save(plan)
    assert [p.name for p in tmp_path.iterdir()] == ["kitchen.vatside"]


def test_reading_only_does_not_write(tmp_path: Path, plan: Plan) -> None:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path) as journal:
        journal.plans.save(plan)
    with Journal.open(path, read_only=True) as journal:
        assert journal.plans.names() == ["kitchen hard"]
        with refused(KeepingError, "keeping.not-writable-here"):
            journal.plans.remove("kitchen hard")


def test_opening_loads_no_schema_library(tmp_path: Path) -> None:
    path = tmp_path / "kitchen.vatside"
    Journal.create(path).close()
    say = (
        "import sys\nfrom journal.keeping import Journal\n"
        f"Journal.open({str(path)!r}).close()\n"
        "print([m for m in ('sqlite_utils', 'scipy', 'pint', 'PySide6') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", say], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


# A program that came later


def later(monkeypatch: pytest.MonkeyPatch, *, breaks: bool) -> None:
    """Make this program one of a format to come: one more step, which may break half way."""

    def steps(version: int) -> Migrations:
        assert version == SCHEMA + 1
        found = migrations()

        @found()
        def m002_a_step_to_come(db: Database) -> None:
            db.execute("alter table room add column colour text not null default ''")
            if breaks:
                db.execute("insert into room (nowhere) values (1)")

        return found

    monkeypatch.setattr(moving_on, "migrations", steps)
    for module in (file, folding, moving_on):
        monkeypatch.setattr(module, "SCHEMA", SCHEMA + 1)


def kept_image(path: Path) -> tuple[list[str], int, list[tuple[object, ...]]]:
    """The statements that rebuild a file, its format, and which steps it took."""
    with closing(sqlite3.connect(path)) as db:
        steps = db.execute("select name from _sqlite_migrations").fetchall()
        return list(db.iterdump()), db.execute("pragma user_version").fetchone()[0], steps


def test_a_new_file_has_what_all_steps_come_to(tmp_path: Path) -> None:
    """`schema.sql` is written anew by `moving_on.write_schema` when a step was added."""
    new, moved = tmp_path / "new.vatside", tmp_path / "moved.vatside"
    Journal.create(new).close()
    with closing(sqlite3.connect(new)) as db, closing(sqlite3.connect(moved)) as by_steps:
        moving_on.apply(by_steps)
        for what in (
            "select type, name, tbl_name, sql from sqlite_master order by rowid",
            "select migration_set, name from _sqlite_migrations order by id",
            "pragma user_version",
            "pragma journal_mode",
        ):
            assert db.execute(what).fetchall() == by_steps.execute(what).fetchall() != []
        assert db.execute("pragma integrity_check").fetchone() == ("ok",)


def test_an_older_file_is_copied_then_moved_on(
    tmp_path: Path, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path) as journal:
        journal.plans.save(plan)
    before = kept_image(path)
    later(monkeypatch, breaks=False)
    with Journal.open(path) as journal:
        assert journal.plans.names() == ["kitchen hard"]
        assert journal.check() == []
    copy = tmp_path / f"kitchen.format-{SCHEMA}.vatside"
    assert kept_image(copy) == before
    _, version, steps = kept_image(path)
    assert (version, len(steps)) == (SCHEMA + 1, len(before[2]) + 1)
    with closing(sqlite3.connect(path)) as db:
        columns = [row[1] for row in db.execute("pragma table_info(room)")]
    assert "colour" in columns


def test_a_step_that_breaks_leaves_the_file_as_it_was(
    tmp_path: Path, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path) as journal:
        journal.plans.save(plan)
    before = kept_image(path)
    with monkeypatch.context() as patched:
        later(patched, breaks=True)
        with refused(KeepingError, "keeping.not-moved-on", copy=f"kitchen.format-{SCHEMA}.vatside"):
            Journal.open(path)
    assert kept_image(path) == before
    with Journal.open(path) as journal:
        assert journal.check() == []


def test_an_older_file_is_not_moved_on_by_reading_it(
    tmp_path: Path, plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path) as journal:
        journal.plans.save(plan)
    before = contents(tmp_path)
    later(monkeypatch, breaks=False)
    with Journal.open(path, read_only=True) as journal:
        assert journal.plans.names() == ["kitchen hard"]
        assert journal.check() == []
        assert journal._db.execute("select colour from room").fetchall() == []
        with refused(KeepingError, "keeping.not-writable-here"):
            journal.plans.remove("kitchen hard")
    assert contents(tmp_path) == before


HOSTILE = (
    "create trigger t after update on setting begin delete from make; end",
    "create view v as select * from make",
    "create table other (a)",
    "create virtual table f using fts5(a)",
)


@pytest.mark.parametrize("planted", HOSTILE)
@pytest.mark.parametrize("read_only", [True, False])
@pytest.mark.parametrize("wal", [True, False])
def test_a_file_with_what_no_journal_has_is_refused_untouched(saved, planted, read_only, wal):
    path = saved.path
    saved.close()
    db = sqlite3.connect(path)
    if not wal:
        db.execute("pragma journal_mode = delete")
    db.execute(planted)
    db.commit()
    if not wal:
        db.close()
    lies = {entry.name: entry.read_bytes() for entry in path.parent.iterdir()
            if not entry.name.endswith("-shm")}  # fmt: skip
    with refused(KeepingError, "keeping.not-ours"):
        Journal.open(path, read_only=read_only)
    for name, data in lies.items():
        assert path.with_name(name).read_bytes() == data
    db.close()


def test_what_a_journal_holds_is_named(saved):
    rows = saved._db.execute("select name from sqlite_master where type = 'table'").fetchall()
    assert {name for (name,) in rows} == TABLES


def test_nothing_a_file_brings_along_is_trusted(saved):
    for name in ("trusted_schema", "cell_size_check"):
        assert saved._db.execute(f"pragma {name}").fetchone()[0] == (name == "cell_size_check")
