"""The backups of a journal: when, what is in each, and the way back; where they go besides."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSettings, QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.background import State
from journal.desk import dialogs
from journal.desk.asking import Asking
from journal.desk.buttons import FAINT, MAIN, PLAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.settings import choose_second_folder, second_folder
from journal.desk.spoken import SpokenProgress
from journal.desk.tables import Column, RowsView
from journal.desk.watch import BUSY_S, WHILE_WRITTEN_S
from journal.desk.work import Task, Work
from journal.keeping import Journal
from journal.keeping.backups import (
    DAYS,
    MONTHS,
    WEEKS,
    Backup,
    backups_of,
    folder_in,
    folder_of,
    is_sound,
    restore,
)
from journal.message import Instant
from journal.wording import text_of, worded
from journal.wording.ages import ago
from journal.wording.dates import clock, day_words
from journal.wording.languages import translated


@dataclass(frozen=True)
class Contents:
    """What a backup holds; None counts where it is damaged."""

    backup: Backup
    makes: int | None = None
    readings: int = 0


@dataclass(frozen=True)
class Backed:
    """A journal's file, open or not, whose backups are shown; of one that could not be opened its
    `origin` is not known. `opened` is the journal where the window shows it."""

    path: Path
    zone: str
    clock: Callable[[], int]
    work: Work
    saved: QSettings
    origin: str = ""
    opened: Journal | None = None

    @property
    def second(self) -> Path | None:
        """Where they go beside the journal's own folder."""
        return second_folder(self.saved, self.origin) if self.origin else None

    def backups(self) -> list[Backup]:
        """Those of both folders, the newest first."""
        found = backups_of(self.path, self.zone)
        if (second := self.second) is not None:
            found += backups_of(self.path, self.zone, folder_in(second, self.path, self.origin))
        return sorted(found, key=_at, reverse=True)


class BackupsDialog(FramedDialog):
    """Lists them; `restored` carries the journal's path and what to say, when one was put back;
    `leaving` comes before, so that what is typed goes into the backup of what was there."""

    help_topic = "files/Backups"

    leaving = Signal()
    restored = Signal(object, str)

    def __init__(self, of: Backed, parent: QWidget) -> None:
        super().__init__("Backups", parent)
        self._of = of
        self._restoring: Task | None = None
        self._spoken = SpokenProgress()
        zone = of.zone
        self.table = RowsView(
            "Backups",
            (
                Column("day", lambda one: day_words(one.at_ms, zone), bold=True, sort=_at),
                Column("time", lambda one: clock(one.at_ms, zone)),
                Column("", lambda one: ago(one.at_ms, of.clock(), zone), quiet=True,
                       stretch=True, sort=_at),
                Column("", self._place, quiet=True),
                Column("MB", _megabytes, right=True, quiet=True),
            ),
        )  # fmt: skip
        self.holds = Label("", wrap=True)
        self.make = Button("Back up now", MAIN)
        self.back = Button("Restore…", PLAIN)
        self.away = Button("Close", FAINT, "Esc")
        self.asking = Asking()
        self.asking.agreed.connect(self._on_agreed)
        self.table.picked.connect(self._on_picked)
        self.make.clicked.connect(self._on_make)
        self.back.clicked.connect(self._on_restore)
        self.away.clicked.connect(self.reject)
        about = worded("desk.about-backups", days=DAYS, weeks=WEEKS, months=MONTHS)
        self.second = Label("", wrap=True)
        self.choose = Button("Second folder…", PLAIN)
        self.leave = Button("No second folder", FAINT)
        self.choose.clicked.connect(self._on_choose)
        self.leave.clicked.connect(self._on_leave)
        where = QHBoxLayout()
        where.addWidget(self.second, 1)
        for each in (self.leave, self.choose):
            where.addWidget(each)
            each.setEnabled(bool(of.origin))
        explained = Label(about, role="quiet", wrap=True)
        self.arrange(self.table, self.holds, self.asking, explained, where,
                     acts=(self.away, self.back, self.make))  # fmt: skip
        self.setMinimumSize(QSize(800, 500))
        self.show_backups()

    def show_backups(self) -> None:
        """List what there is now, the newest first."""
        self.asking.leave()
        found = self._of.backups()
        second = self._of.second
        self.second.setText("" if second is None else worded("desk.backups-go-too", folder=second))
        self.leave.setVisible(second is not None)
        self.table.show_rows(found)
        self.back.setEnabled(False)
        self.holds.setText("" if found else "There is no backup yet.")
        if found:
            self.table.select(0)
            self._on_picked(found[0])

    # Handlers

    def _on_picked(self, one: Backup) -> None:
        self.asking.leave()
        self.back.setEnabled(False)
        self.holds.setText("Reading the backup…")
        task = self._of.work.start("contents of a backup", _contents_of, one, long=True)
        task.finished.connect(self._on_contents)
        task.failed.connect(self._on_failed)

    def _on_contents(self, found: Contents) -> None:
        sound = found.makes is not None
        self.back.setEnabled(sound)
        if found.makes is None:
            self.holds.say("This backup is damaged. Choose another.", wrong=True)
        else:
            text = worded("desk.backup-holds", makes=found.makes, readings=found.readings)
            self.holds.say(text, role="ink")

    def _place(self, one: Backup) -> str:
        own = one.path.parent == folder_of(self._of.path)
        return "" if own else one.path.parent.parent.name

    def _on_choose(self) -> None:
        folder = dialogs.ask_folder(self, "Where backups go too")
        if folder:
            self._take_second(Path(folder))

    def _on_leave(self) -> None:
        self._take_second(None)

    def _take_second(self, folder: Path | None) -> None:
        choose_second_folder(self._of.saved, self._of.origin, folder)
        self.show_backups()
        if folder is not None:
            self._on_make()

    def _on_make(self) -> None:
        of = self._of
        path = str(of.path)
        task = of.work.start_file("backup", path, _back_up, of.clock(), of.second, long=True)
        task.words = "Making a backup"
        task.finished.connect(self.show_backups)
        task.failed.connect(self._on_failed)

    def _on_restore(self) -> None:
        one = self.table.current()
        if one is not None:
            at = Instant(one.at_ms, self._of.zone)
            self.asking.ask(worded("desk.restore-asked", at=at), "Restore", one)

    def _on_agreed(self, one: Backup) -> None:
        """In the background, so that sensors and timers go on; they wait for no lock meanwhile."""
        self.leaving.emit()
        of = self._of
        task = of.work.start("restore", _restore, of.path, one.path, of.clock(), long=True)
        task.words = "Restoring a backup"
        task.progressed.connect(self._on_progress)
        task.finished.connect(partial(self._on_restored, one))
        task.failed.connect(self._on_not_restored)
        self._say_restoring(task)
        self._on_progress(0.0)

    def _say_restoring(self, task: Task | None) -> None:
        self._restoring = task
        if self._of.opened is not None:
            self._of.opened.wait_at_most(BUSY_S if task is None else WHILE_WRITTEN_S)
        for part in (self.table, self.make, self.back, self.choose, self.leave):
            part.setEnabled(task is None)
        self.away.setText("Close" if task is None else "Stop")

    def _on_progress(self, share: float, _words: str = "") -> None:
        if self._restoring is not None and not self._restoring.state.stopped():
            self.holds.say(worded("desk.restoring", share=100 * share))
            self._spoken.tell(self.holds, share, "Restoring")

    def _on_not_restored(self, error: Exception) -> None:
        self._say_restoring(None)
        self.show_backups()
        self._on_failed(error)

    def reject(self) -> None:
        """Close it; while it restores, stop that instead."""
        if self._restoring is None:
            super().reject()
            return
        self._restoring.break_off()
        self.holds.say(translated("Stopping."))

    def _on_restored(self, one: Backup, before: Backup | None) -> None:
        self._say_restoring(None)
        at = Instant(one.at_ms, self._of.zone)
        words = worded("desk.restored-from-backup", at=at)
        if before is not None:
            words = f"{words} {worded('desk.before-restoring', file=before.path.name)}"
        self.restored.emit(self._of.path, words)
        self.accept()

    def _on_failed(self, error: Exception) -> None:
        self.holds.say(text_of(error), wrong=True)


def _restore(path: Path, backup: Path, at_ms: int, state: State) -> Backup | None:
    return restore(path, backup, at_ms, state.stopped, state.progress)


def _contents_of(one: Backup, state: State) -> Contents:
    if not is_sound(one.path, state.stopped):
        return Contents(one)
    with Journal.open(one.path, read_only=True) as journal:
        rows = journal.makes.rows()
    return Contents(one, len(rows), sum(row.readings for row in rows))


def _back_up(journal: Journal, at_ms: int, also: Path | None, state: State) -> None:
    journal.back_up(at_ms, stop=state.stopped)
    if also is not None:
        journal.back_up_also(also, at_ms, stop=state.stopped)


def _at(one: Backup) -> int:
    return one.at_ms


def _megabytes(one: Backup) -> str:
    return f"{one.bytes / 1_000_000:.1f}"
