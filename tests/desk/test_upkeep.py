"""The window cares for the file: a copy of the file alone has the day, stale changes are said."""

from __future__ import annotations

import subprocess
import sys
from threading import get_ident

from PySide6.QtCore import Qt, QTimer

from journal.desk import upkeep
from journal.desk.upkeep import UPKEEP_MS
from journal.exchange.calendar_file import remember_calendar, write_calendar
from journal.keeping import Journal, folding
from journal.keeping.folding import _checkpoint, fold_beside
from journal.keeping.wal import wal_of
from journal.records.instants import DAY_MS, now_ms
from journal.records.plans import CareRule
from tests.desk.hands import Hands
from tests.endless import ENDLESS


def copied(path, to):
    """A copy of the file alone, by another program, while the window has it open."""
    say = "import shutil, sys; shutil.copy(*sys.argv[1:])"
    subprocess.run([sys.executable, "-c", say, str(path), str(to)], check=True)
    return to


def readings(path) -> list[float]:
    with Journal.open(path, read_only=True) as journal:
        assert journal.check() == []
        return journal.readings.trace(1, "milk-temp").value.round(3).tolist()


def test_once_nobody_types_a_copy_of_the_file_alone_has_the_day(
    vat, hands: Hands, kitchen, qtbot, tmp_path
):
    window, path = vat.window(), kitchen.journal.path
    hands.type("37.5").press(Qt.Key.Key_Return)
    assert kitchen.journal.readings.last(1, 1)[0].value == 37.5
    assert 37.5 not in readings(copied(path, tmp_path / "before.vatside"))
    timer = window._upkeep.timer
    assert timer.isActive()
    assert timer.interval() == UPKEEP_MS <= 30_000
    timer.setInterval(0)
    qtbot.waitUntil(lambda: wal_of(path).stat().st_mtime_ns < path.stat().st_mtime_ns)
    assert 37.5 in readings(copied(path, tmp_path / "after.vatside"))
    window.close()
    assert not timer.isActive()


def test_after_the_end_of_a_make_it_does_not_wait(vat, kitchen, qtbot, tmp_path):
    path, journal = kitchen.journal.path, kitchen.journal
    journal.makes.finish(1, [1.2], kitchen.after(900))
    qtbot.waitUntil(lambda: wal_of(path).stat().st_mtime_ns < path.stat().st_mtime_ns)
    with Journal.open(copied(path, tmp_path / "copy.vatside")) as copy:
        assert copy.makes.get(1).finished_ms is not None
        assert len(copy.wheels.all()) == 1


def test_changes_of_another_copy_are_said(kitchen, window_on, tmp_path, qtbot):
    journal, path = kitchen.journal, kitchen.journal.path
    journal.fold()
    old = copied(path, tmp_path / "old.vatside").read_bytes()
    journal.fold()
    journal.readings.log(1, "milk-temp", 31.5, kitchen.now_ms)
    journal.fold()
    journal.readings.log(1, "milk-temp", 31.6, kitchen.now_ms + 1)
    wal = wal_of(path).read_bytes()
    journal.close()
    path.write_bytes(old)
    wal_of(path).write_bytes(wal)
    with Journal.open(path) as opened:
        window = window_on(opened, place="today")
        output = window.current.messages.text("keeping.other-changes-set-aside")
        assert "kitchen.vatside-wal-" in output
        window.close()
    assert readings(path) == []


def test_what_can_go_wrong_where_it_lies_is_said(kitchen, window_on, qtbot, tmp_path):
    """Once the journal is shown, with the day's backup."""
    journal = kitchen.journal
    apart = tmp_path / "kitchen (conflicted copy).vatside"
    journal.save_copy(apart)
    with Journal.open(apart) as other:
        other.makes.finish(1, [1.2], kitchen.after(900))
    window = window_on(journal, place="today", daily_backup=True)
    assert window._daily.isActive()
    window._daily.start(0)
    output = "keeping.copies-with-changes"
    qtbot.waitUntil(lambda: apart.name in window.current.messages.text(output))


def test_the_calendar_file_follows_what_is_done_in_the_window(
    vat, kitchen, qtbot, tmp_path
) -> None:
    journal, out, now = kitchen.journal, tmp_path / "wheels.ics", now_ms()
    window = vat.window()
    journal.makes.finish(1, [1.2], kitchen.after(900))
    wheel = journal.wheels.all()[0]
    age = (now - kitchen.start_ms) / DAY_MS
    journal.schedules.give_wheel(wheel, [CareRule("turn", 1, age + 30, 1)])
    write_calendar(journal, out, now)
    remember_calendar(journal, out)
    before = out.read_bytes()
    assert b"SUMMARY:Turn HL-0001-A" in before
    window._upkeep.work()
    window._upkeep.timer.setInterval(0)
    journal.shelves.take_all(wheel, "eaten", now)
    qtbot.waitUntil(lambda: b"STATUS:CANCELLED" in out.read_bytes())
    assert b"STATUS:CONFIRMED" not in out.read_bytes()


def test_what_is_folded_in_the_background_is_whole_and_noted(
    vat, hands: Hands, kitchen, qtbot, monkeypatch
):
    window, path, journal = vat.window(), kitchen.journal.path, kitchen.journal
    hands.type("37.5").press(Qt.Key.Key_Return)
    threads: list[int] = []
    monkeypatch.setattr(
        upkeep, "fold_beside", lambda path: (threads.append(get_ident()), fold_beside(path))[1]
    )
    window._upkeep.work()
    qtbot.waitUntil(lambda: journal.unfolded() is None)
    assert len(threads) == 1
    assert get_ident() not in threads
    before = path.stat().st_mtime_ns, wal_of(path).stat().st_mtime_ns
    window._upkeep.work()
    qtbot.waitUntil(window.settled)
    assert (path.stat().st_mtime_ns, wal_of(path).stat().st_mtime_ns) == before, "nothing to do"
    kitchen.after(121)
    hands.type("38.1").press(Qt.Key.Key_Return)
    assert journal.unfolded() is not None
    assert journal.gone() is None, "what was folded beside is no other file"
    window.close()
    journal.close()
    assert readings(path) == [37.5, 38.1]


def test_nobody_who_types_waits_for_a_large_wal(vat, hands: Hands, kitchen, qtbot, monkeypatch):
    """It is folded by another thread, and a change that is begun meanwhile breaks that off; the
    window beats on. Here a fold has no end."""
    journal, file = kitchen.journal, kitchen.journal._db.identity
    window = vat.window()
    by: list[int] = []
    monkeypatch.setattr(
        folding, "_checkpoint", lambda db: (by.append(get_ident()), _checkpoint(db))[1]
    )
    monkeypatch.setattr(folding, "LARGE_WAL", 0)
    monkeypatch.setattr(folding, "_CHECKPOINT", ENDLESS)
    beats: list[None] = []
    beat = QTimer(window, interval=1)
    beat.timeout.connect(lambda: beats.append(None))
    hands.type("37.5").press(Qt.Key.Key_Return)
    beat.start()
    qtbot.waitUntil(lambda: file in folding._under_way and len(beats) > 20)
    hands.type("38.1").press(Qt.Key.Key_Return)
    assert [one.value for one in journal.readings.last(1, 2)] == [38.1, 37.5]
    monkeypatch.setattr(folding, "_CHECKPOINT", "pragma wal_checkpoint(passive)")
    journal.readings.log(1, "milk-temp", 38.4, kitchen.now_ms)
    window._upkeep.timer.setInterval(0)
    qtbot.waitUntil(lambda: journal.unfolded() is None)
    assert by
    assert get_ident() not in by
    beat.stop()
    assert 38.4 in readings(copied(journal.path, journal.path.with_name("copy.vatside")))
