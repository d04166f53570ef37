"""Backups: whole while others write, tried before they count, thinned, and put back."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import date, datetime, timedelta
from itertools import count
from pathlib import Path
from threading import Event, Timer

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.keeping import DamageError, Journal, KeepingError, copies, file
from journal.keeping.backups import (
    Backup,
    backups_of,
    folder_of,
    is_due,
    is_sound,
    kept,
    restore,
)
from journal.keeping.photos import photos_of
from journal.records.instants import from_iso, local
from journal.records.tastings import Assessor
from tests.endless import endless
from tests.keeping.conftest import START
from tests.refusals import refused

NOW = from_iso("2026-11-25T18:30", "Europe/London")
DAY_MS = 86_400_000
PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(200))


def rows(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of a file that this process has not open, read by another way."""
    with closing(sqlite3.connect(path)) as db:
        names = [name for (name,) in db.execute(
            "select name from sqlite_master where type = 'table' order by name"
        )]  # fmt: skip
        return {name: db.execute(f'select * from "{name}"').fetchall() for name in names}


@pytest.fixture
def path(saved: Journal) -> Path:
    return saved.path


@pytest.fixture
def photo(saved: Journal, tmp_path: Path) -> Path:
    source = tmp_path / "cut.png"
    source.write_bytes(PNG)
    return saved.photos.file(saved.photos.bring(source))


def test_one_that_is_stopped_anywhere_leaves_nothing(saved, make, photo, monkeypatch):
    """Between any two of its pieces, and between its photos."""
    monkeypatch.setattr(copies, "PAGES", 16)
    saved.readings.log(make.id, "milk-temp", 31.4, START + 1000)
    first = saved.back_up(NOW)
    before = {each.relative_to(saved.path.parent) for each in saved.path.parent.rglob("*")}
    output: list[str] = []
    for after in count():
        asked = iter(range(after))
        try:
            made = saved.back_up(NOW + DAY_MS, stop=lambda asked=asked: next(asked, None) is None)
            break
        except KeepingError as error:
            output.append(error.id)
        left = {each.relative_to(saved.path.parent) for each in saved.path.parent.rglob("*")}
        assert left == before
    assert set(output) == {"keeping.backup-stopped"}
    assert len(output) >= saved.path.stat().st_size // (16 * 4096) >= 5
    assert [one.path for one in saved.backups()] == [made.path, first.path]
    assert is_sound(made.path)


def test_one_statement_that_looks_at_every_page_is_broken_off_too(saved, make, monkeypatch):
    begun = Event()
    monkeypatch.setattr(copies, "unsound_rows", endless(begun))
    with refused(KeepingError, "keeping.backup-stopped"):
        saved.back_up(NOW, stop=begun.is_set)
    assert list(folder_of(saved.path).iterdir()) == []
    monkeypatch.undo()
    assert is_sound(saved.back_up(NOW).path)


def test_a_backup_has_the_day_that_the_file_itself_lacks(saved, make, tmp_path):
    """The window is open, so the day lies in the -wal alone."""
    saved.readings.log(make.id, "milk-temp", 31.4, START + 1000)
    made = saved.back_up(NOW)
    assert made.path == folder_of(saved.path) / "kitchen-20261125-183000.vatside"
    with Journal.open(made.path, read_only=True) as copy:
        assert copy.readings.trace(make.id, "milk-temp").value.tolist() == [31.4]
        assert copy.check() == []
    assert [entry.name for entry in made.path.parent.iterdir()] == [made.path.name]
    saved.close()
    assert rows(made.path) == rows(saved.path)


def test_photos_lie_beside_it_and_take_no_room_twice(saved, photo):
    first, second = saved.back_up(NOW), saved.back_up(NOW + DAY_MS)
    for one in (first, second):
        copy = photos_of(one.path) / photo.name
        assert copy.read_bytes() == PNG
        assert copy.stat().st_ino == photo.stat().st_ino
    photo.unlink()
    assert (photos_of(first.path) / photo.name).read_bytes() == PNG


def test_where_no_second_name_can_be_given_photos_are_copied(saved, photo, tmp_path, monkeypatch):
    monkeypatch.setattr(os, "link", _no_link)
    made = saved.back_up(NOW, tmp_path / "elsewhere" / "deep")
    assert (photos_of(made.path) / photo.name).read_bytes() == PNG
    assert made.path.parent == tmp_path / "elsewhere" / "deep"


def _no_link(*_: object) -> None:
    raise OSError(38, "Function not implemented")


def test_two_in_one_second_are_two(saved):
    names = [saved.back_up(NOW).path.name for _ in range(3)]
    assert names == [
        "kitchen-20261125-183000.vatside",
        "kitchen-20261125-183000-2.vatside",
        "kitchen-20261125-183000-3.vatside",
    ]
    assert {one.path.name for one in saved.backups()} == set(names)


_WRITER = """
import sys
from journal.keeping import Journal
with Journal.open(sys.argv[1]) as journal:
    k = 0
    print("ready", flush=True)
    while True:
        k += 1
        with journal.unit("two"):
            journal.readings.log(1, "milk-temp", 10 + k % 40 / 2, 1_760_000_000_000 + 1000 * k)
            journal.readings.log(1, "room-temp", 10 + k % 40 / 2, 1_760_000_000_000 + 1000 * k)
"""


@pytest.fixture
def writer(path: Path, make) -> Iterator[subprocess.Popen[str]]:
    process = subprocess.Popen(
        [sys.executable, "-c", _WRITER, str(path)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout.readline() == "ready\n"
    yield process
    process.kill()
    process.communicate()


def test_what_another_program_writes_meanwhile_is_in_it_whole_or_not_at_all(saved, writer):
    seen = []
    for k in range(6):
        made = saved.back_up(NOW + 1000 * k)
        with Journal.open(made.path, read_only=True) as copy:
            milk = copy.readings.trace(1, "milk-temp").value.tolist()
            assert milk == copy.readings.trace(1, "room-temp").value.tolist()
            assert milk == [10 + (n + 1) % 40 / 2 for n in range(len(milk))]
            assert copy.check() == []
        seen.append(len(milk))
    assert seen == sorted(seen)
    assert seen[-1] > seen[0], "it wrote meanwhile"
    assert writer.poll() is None


_BACKER = """
import sys
from pathlib import Path
from journal.keeping import Journal, copies
copies.try_copy = lambda *_: (print("half", flush=True), sys.stdin.read())
with Journal.open(sys.argv[1], read_only=True) as journal:
    journal.back_up(int(sys.argv[2]))
"""


@pytest.mark.skipif(os.name == "nt", reason="no SIGKILL there")
def test_one_that_was_killed_counts_for_nothing_and_goes_with_the_next(saved, path, make):
    process = subprocess.Popen(
        [sys.executable, "-c", _BACKER, str(path), str(NOW)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout.readline() == "half\n"
    process.send_signal(signal.SIGKILL)
    process.communicate()
    folder = folder_of(path)
    assert [
        entry.stat().st_size for entry in folder.iterdir() if not entry.name.startswith(".")
    ] == [0]  # its name
    assert saved.backups() == []
    made = saved.back_up(NOW)
    assert [entry.name for entry in folder.iterdir()] == [made.path.name]


def test_a_copy_that_is_not_the_journal_is_no_backup(saved, make, monkeypatch):
    monkeypatch.setattr(copies, "_copy", _copy_without_makes)
    with refused(KeepingError, "keeping.not-backed-up"):
        saved.back_up(NOW)
    assert list(folder_of(saved.path).iterdir()) == []


def _copy_without_makes(
    db: sqlite3.Connection, half: Path, _stop: object, _progress: object
) -> dict[str, int]:
    from journal.keeping.copies import _rows

    with closing(sqlite3.connect(half, isolation_level=None)) as copy:
        db.backup(copy)
        copy.execute("delete from setting")
    return _rows(db)


def test_a_copy_is_never_saved_over_a_journal_that_is_open(saved, make):
    """As the window does it: by a connection of its own that reads only."""
    with (
        Journal.open(saved.path, read_only=True) as reader,
        refused(KeepingError, "keeping.not-backed-up"),
    ):
        reader.save_copy(saved.path)
    saved.readings.log(make.id, "milk-temp", 32.0, START + 2000)
    assert saved.check() == []
    assert [one.id for one in saved.makes.all()] == [make.id]


def test_a_copy_is_never_saved_under_the_changes_of_another_journal(saved, make, tmp_path):
    """Its program was killed: a new file of that name would be read with the old -wal."""
    target = tmp_path / "other.vatside"
    wal = Path(f"{target}-wal")
    target.write_bytes(b"its file")
    wal.write_bytes(b"its changes")
    with refused(KeepingError, "keeping.not-backed-up"):
        saved.save_copy(target)
    assert (target.read_bytes(), wal.read_bytes()) == (b"its file", b"its changes")


def test_one_that_lacks_a_photo_is_no_backup(saved, make, photo, monkeypatch):
    monkeypatch.setattr(os, "link", _no_link)
    monkeypatch.setattr(shutil, "copyfile", _no_link)
    with refused(KeepingError, "keeping.not-backed-up"):
        saved.back_up(NOW)
    assert list(folder_of(saved.path).iterdir()) == []


def test_a_folder_that_is_a_file_is_refused(saved, tmp_path):
    target = tmp_path / "stick"
    target.write_text("mine")
    with refused(KeepingError, "keeping.not-backed-up"):
        saved.back_up(NOW, target)


@pytest.mark.parametrize("name", ["a[1] b.vatside", ".vatside", "journal", "kitchen."])
def test_any_name_of_a_journal_will_do(tmp_path, name):
    with Journal.create(tmp_path / name, zone="Europe/London") as journal:
        made = [journal.back_up(NOW).path, journal.back_up(NOW + 1000).path]
        half = made[0].with_name(f".{made[0].name}.{2**22 + 1}.half")
        half.write_text("of a program that was killed")
        made.append(journal.back_up(NOW + 2000).path)
        assert [one.path for one in journal.backups()] == made[::-1]
        assert not half.exists()


def test_a_link_to_a_journal_has_the_backups_of_the_journal(saved, tmp_path):
    link = tmp_path / "now.vatside"
    link.symlink_to(saved.path)
    made = saved.back_up(NOW)
    with Journal.open(link) as journal:
        later = journal.back_up(NOW + 1000)
        assert [one.path for one in journal.backups()] == [later.path, made.path]


# What stays


def at(day: str) -> Backup:
    at_ms = from_iso(f"{day}T12:00", "Europe/London")
    return Backup(Path(f"k-{day}.vatside"), at_ms, 1)


def days(backups: list[Backup]) -> list[str]:
    return [local(one.at_ms, "Europe/London").date().isoformat() for one in backups]


def test_of_a_daily_backup_for_two_years_seven_days_four_weeks_twelve_months_stay():
    """Worked by hand from the calendar: 2026-11-25 is a Wednesday; ISO weeks begin on Mondays."""
    first = date(2024, 12, 1)
    every = [at((first + timedelta(days=k)).isoformat()) for k in range(725)]
    stay = days(kept(every, "Europe/London", NOW))
    assert stay == [
        "2026-11-25", "2026-11-24", "2026-11-23", "2026-11-22", "2026-11-21", "2026-11-20",
        "2026-11-19",  # seven days
        "2026-11-15", "2026-11-08",  # with the 25th and the 22nd, the last of four weeks
        "2026-10-31", "2026-09-30", "2026-08-31", "2026-07-31", "2026-06-30", "2026-05-31",
        "2026-04-30", "2026-03-31", "2026-02-28", "2026-01-31", "2025-12-31",  # twelve months
    ]  # fmt: skip


@given(st.lists(st.integers(0, 900), unique=True))
def test_the_newest_always_stays_and_thinning_twice_takes_no_more(ages):
    every = [Backup(Path(f"{age}.vatside"), NOW - age * DAY_MS // 3, 1) for age in ages]
    stay = kept(every, "Europe/London", NOW)
    assert stay[:1] == sorted(every, key=lambda one: -one.at_ms)[:1]
    assert kept(stay, "Europe/London", NOW) == stay
    assert {one for one in every if one.at_ms > NOW - DAY_MS} <= set(stay)
    assert len(stay) <= 3 + 7 + 4 + 12


def test_what_is_thinned_goes_with_its_photos_and_nothing_else_goes(saved, photo, path):
    for k in (40, 39, 38, 1, 0):
        saved.back_up(NOW - k * DAY_MS)
    beside = folder_of(path) / "notes.txt"
    beside.write_text("mine")
    later = saved.back_up(NOW + 200 * DAY_MS)
    left = [one.path for one in saved.backups()]
    assert later.path in left
    assert sorted(folder_of(path).iterdir()) == sorted(
        [beside, *left, *(photos_of(one) for one in left)]
    )


def test_the_clock_of_the_kitchen_names_it_wherever_the_program_runs(saved):
    made = saved.back_up(from_iso("2026-07-01T00:10", "Europe/London"))
    assert made.path.name == "kitchen-20260701-001000.vatside"
    found = backups_of(saved.path, "Europe/London")
    assert [one.at_ms for one in found] == [made.at_ms]
    assert datetime.fromtimestamp(found[0].at_ms / 1000).year == 2026


def test_one_a_day_will_do_where_the_clock_was_ahead_once(saved):
    saved.back_up(NOW + 400 * DAY_MS)
    assert is_due(saved.path, "Europe/London", NOW)
    saved.back_up(NOW)
    assert not is_due(saved.path, "Europe/London", NOW)


# Putting back


def test_the_oldest_of_seven_days_can_be_restored_and_stays(saved, make):
    """That of today, made first, is the seventh day."""
    for k in range(7, 0, -1):
        saved.back_up(NOW - k * DAY_MS)
    oldest = saved.backups()[-1].path
    saved.readings.log(make.id, "milk-temp", 31.0, START + 1000)
    restore(saved.path, oldest, NOW)
    assert oldest.is_file()
    assert [row.readings for row in saved.makes.rows()] == [0]


def test_a_restored_journal_is_what_the_backup_was_and_what_was_there_is_kept(saved, make, photo):
    saved.readings.log(make.id, "milk-temp", 31.0, START + 1000)
    first = saved.back_up(NOW)
    saved.readings.log(make.id, "milk-temp", 77.0, START + 2000)
    photo.unlink()
    path = saved.path
    with Journal.open(path) as window:  # another window, open meanwhile
        before = restore(path, first.path, NOW + 60_000)
        assert window.readings.trace(make.id, "milk-temp").value.tolist() == [31.0]
        assert window.check() == []
    assert photo.read_bytes() == PNG
    with Journal.open(before.path, read_only=True) as was:
        assert was.readings.trace(make.id, "milk-temp").value.tolist() == [31.0, 77.0]


def test_a_journal_that_does_not_open_is_set_aside(saved, make):
    first, path = saved.back_up(NOW), saved.path
    saved.close()
    path.write_bytes(path.read_bytes()[:5000])
    with pytest.raises(DamageError):
        Journal.open(path)
    assert restore(path, first.path, NOW) is None
    with Journal.open(path) as again:
        assert [row.id for row in again.makes.all()] == [make.id]
        assert again.check() == []
    aside = [entry for entry in path.parent.iterdir() if "-damaged-" in entry.name]
    assert [entry.stat().st_size for entry in aside] == [5000]


def test_a_stale_wal_is_set_aside_with_the_damaged_file(saved, make):
    """The file of an older copy with the -wal of a journal that was killed."""
    first, path = saved.back_up(NOW), saved.path
    saved.close()
    Path(f"{path}-wal").write_bytes(b"\x37\x7f\x06\x82" + bytes(5000))
    path.write_bytes(b"SQLite format 3\x00" + bytes(5000))
    restore(path, first.path, NOW)
    assert not Path(f"{path}-wal").exists()
    with Journal.open(path) as again:
        assert again.check() == []


@pytest.mark.parametrize("harm", ["cut", "flipped", "other"])
def test_a_backup_that_is_none_is_refused_and_nothing_changes(saved, make, harm):
    bad = saved.back_up(NOW).path
    data = bytearray(bad.read_bytes())
    if harm == "cut":
        data = data[: len(data) // 2]
    elif harm == "flipped":
        for place in range(4096, len(data), 4096):
            data[place] ^= 0xFF  # the kind of every page
    else:
        data = bytearray(b"no journal")
    bad.write_bytes(data)
    assert not is_sound(bad)
    with pytest.raises(KeepingError):
        restore(saved.path, bad, NOW + 1000)
    assert [one.id for one in saved.makes.all()] == [make.id]


def test_an_open_journal_is_no_backup(saved, make):
    with refused(KeepingError, "keeping.backup-is-open"):
        restore(saved.path, saved.path, NOW)
    assert not is_sound(saved.path)


def test_no_other_file_is_put_aside_for_a_backup(saved, make, tmp_path):
    """A letter, a picture, another program's database; what a damage left of the journal goes."""
    backup = saved.back_up(NOW).path
    letter, other = tmp_path / "letter.txt", tmp_path / "other.db"
    letter.write_text("Dear Ann,")
    with closing(sqlite3.connect(other)) as db:
        db.execute("create table mine (a)")
    for path in (letter, other):
        before = path.read_bytes()
        with refused(KeepingError, "keeping.other-file-there", file=path.name):
            restore(path, backup, NOW)
        assert path.read_bytes() == before
    new, path = tmp_path / "new.vatside", saved.path
    restore(new, backup, NOW)
    saved.close()
    path.write_bytes(bytes(5000))
    restore(path, backup, NOW)
    for each in (new, path):
        with Journal.open(each) as again:
            assert [row.id for row in again.makes.all()] == [make.id]


@pytest.mark.parametrize("long", [200, 230, 246])
@pytest.mark.parametrize("letter", ["k", "ö"])
def test_a_journal_with_a_very_long_name_has_backups_too(saved, make, tmp_path, long, letter):
    name = letter * ((long - len(".vatside")) // len(letter.encode()))
    path = tmp_path / f"{name}.vatside"
    saved.save_copy(tmp_path / "copy.vatside")
    (tmp_path / "copy.vatside").rename(path)
    with Journal.open(path) as journal:
        made = [journal.back_up(NOW).path, journal.back_up(NOW + 1000).path]
        assert [one.path for one in journal.backups()] == made[::-1]
        journal.outcomes.delete(make.id)
        restore(path, made[0], NOW + 2000)
        assert [row.id for row in journal.makes.all()] == [make.id]


def test_a_file_with_a_trigger_is_not_put_back(saved, make):
    made = saved.back_up(NOW).path
    with closing(sqlite3.connect(made)) as db:
        db.execute("create trigger t after update on setting begin delete from make; end")
        db.commit()
    assert not is_sound(made)
    with pytest.raises(KeepingError):
        restore(saved.path, made, NOW + 1000)
    assert [one.id for one in saved.makes.all()] == [make.id]


def test_half_a_photo_that_a_killed_program_left_goes_with_the_next(saved, photo, tmp_path):
    old, new = photo.with_name(".old.png.half"), photo.with_name(".new.png.half")
    for half in (old, new):
        half.write_bytes(PNG)
    os.utime(old, (1_700_000_000, 1_700_000_000))
    saved.photos.bring(tmp_path / "cut.png")
    assert not old.exists()
    assert new.exists(), "another program may be at it"


def test_a_whole_journal_that_does_not_open_just_now_is_not_set_aside(saved, make, monkeypatch):
    monkeypatch.setattr(file, "_WAIT_S", 0.3)
    backup, path = saved.back_up(NOW).path, saved.path
    saved.close()
    there = path.stat().st_ino
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("pragma locking_mode = exclusive")
        db.execute("begin immediate")
        db.execute("pragma user_version = 999")
        with refused(KeepingError, "keeping.not-opened"):
            restore(path, backup, NOW)
        db.execute("commit")
    with refused(KeepingError, "keeping.newer"):
        restore(path, backup, NOW)
    assert path.stat().st_ino == there
    with refused(KeepingError, "keeping.is-folder"):
        restore(path.parent, backup, NOW)


_HOLDER = """
import sqlite3, sys
db = sqlite3.connect(sys.argv[1], isolation_level=None)
db.execute("begin immediate")
print("held", flush=True)
sys.stdin.read()
"""


def test_nothing_is_undone_over_a_restored_journal(saved):
    """The row that another window adds then may have the number of one that was added before."""
    backup = saved.back_up(NOW).path
    ann = saved.assessors.save(Assessor("Ann"))
    restore(saved.path, backup, NOW + 1000)
    with Journal.open(saved.path) as window:
        assert window.assessors.save(Assessor("Zed")).id == ann.id
    assert saved.undo_name is None
    assert saved.undo() is None
    assert [one.name for one in saved.assessors.all()] == ["Zed"]
    saved.assessors.save(Assessor("Wen"))
    assert saved.undo() is not None
    assert saved.redo() is not None
    assert [one.name for one in saved.assessors.all()] == ["Zed", "Wen"]


def test_a_restore_does_not_wait_for_ever(saved, make, monkeypatch):
    monkeypatch.setattr(file, "_WAIT_S", 0.3)
    backup = saved.back_up(NOW).path
    process = subprocess.Popen(
        [sys.executable, "-c", _HOLDER, str(saved.path)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout.readline() == "held\n"
    end = Timer(20, process.kill)
    end.start()
    with refused(KeepingError, "keeping.busy"):
        restore(saved.path, backup, NOW + 1000)
    end.cancel()
    process.communicate()
    restore(saved.path, backup, NOW + 2000)
    assert [one.id for one in saved.makes.all()] == [make.id]


def test_a_damaged_journal_comes_back_where_a_link_points(saved, make, tmp_path):
    backup, path = saved.back_up(NOW).path, saved.path
    saved.close()
    path.write_bytes(path.read_bytes()[:5000])
    link = tmp_path / "now.vatside"
    link.symlink_to(path)
    restore(link, backup, NOW)
    assert link.is_symlink()
    with Journal.open(path) as again:
        assert [one.id for one in again.makes.all()] == [make.id]


def test_what_cannot_be_put_back_leaves_all_as_it_was(saved, make, photo, monkeypatch):
    backup, path = saved.back_up(NOW).path, saved.path
    saved.close()
    photo.unlink()
    monkeypatch.setattr(os, "link", _no_link)
    monkeypatch.setattr(shutil, "copyfile", _no_link)
    path.write_bytes(path.read_bytes()[:5000])
    there = sorted(path.parent.iterdir())
    with refused(KeepingError, "keeping.not-restored"):
        restore(path, backup, NOW)
    assert sorted(path.parent.iterdir()) == there


def test_what_another_window_writes_while_the_last_backup_is_made_is_in_it(
    saved, make, monkeypatch
):
    from journal.keeping import copies

    first = saved.back_up(NOW)
    known, values = copies.try_copy, iter((31.5, 31.6))

    def busy(*given) -> None:
        known(*given)
        value = next(values, None) if given[1] is not None else None
        if value is not None:
            saved.readings.log(make.id, "milk-temp", value, START + 1000 + round(value * 10))

    monkeypatch.setattr(copies, "try_copy", busy)
    before = restore(saved.path, first.path, NOW + 60_000)
    with Journal.open(before.path, read_only=True) as was:
        assert was.readings.trace(make.id, "milk-temp").value.tolist() == [31.5, 31.6]
    assert saved.readings.trace(make.id, "milk-temp").value.tolist() == []
    assert {one.path for one in saved.backups()} == {first.path, before.path}


def test_where_another_program_never_rests_nothing_is_restored(saved, make, monkeypatch):
    from journal.keeping import copies

    first, known, at = saved.back_up(NOW), copies.try_copy, iter(range(100))

    def busy(*given) -> None:
        known(*given)
        if given[1] is not None:
            saved.readings.log(make.id, "milk-temp", 31.0, START + 1000 * next(at))

    monkeypatch.setattr(copies, "try_copy", busy)
    with refused(KeepingError, "keeping.busy"):
        restore(saved.path, first.path, NOW + 60_000)
    assert len(saved.readings.trace(make.id, "milk-temp").value) == 5


_ONE_OF_MANY = """
import sys
from pathlib import Path
from journal.keeping import Journal
with Journal.open(sys.argv[1], read_only=True) as journal:
    print("ready", flush=True)
    sys.stdin.readline()
    print(journal.back_up(int(sys.argv[2])).path)
"""


def test_of_many_programs_in_one_second_each_has_a_backup_of_its_own(saved, make, photo):
    started = [
        subprocess.Popen(
            [sys.executable, "-c", _ONE_OF_MANY, str(saved.path), str(NOW)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )
        for _ in range(4)
    ]  # fmt: skip
    for process in started:
        assert process.stdout.readline() == "ready\n"
    for process in started:
        process.stdin.write("\n")
        process.stdin.flush()
    made = {process.communicate(timeout=60)[0].strip() for process in started}
    assert {str(one.path) for one in saved.backups()} == made
    assert len(made) == 4
    for path in made:
        assert is_sound(Path(path))
        assert (photos_of(Path(path)) / photo.name).read_bytes() == PNG
