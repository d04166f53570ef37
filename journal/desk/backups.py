"""The backups of a journal: when, what is in each, and the way back; where they go besides."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
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
from journal.desk.tables import Column, RowsView
from journal.desk.work import Work
from journal.keeping import Journal, KeepingError
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
from journal.wording import text_of
from journal.wording.counts import counted
from journal.wording.dates import ago, clock, day_words

_ABOUT = (
    "A backup is a whole journal with its photos. One is made each day that the journal is open; "
    f"of the older ones {DAYS} days, {WEEKS} weeks and {MONTHS} months are kept. What lies beside "
    "the journal is lost with it: let them go into a folder on another disk too."
)


@dataclass(frozen=True)
class Contents:
    """What a backup holds; None counts where it is damaged."""

    backup: Backup
    makes: int | None = None
    readings: int = 0


@dataclass(frozen=True)
class Backed:
    """A journal's file, open or not, whose backups are shown; of one that could not be opened its
    `origin` is not known."""

    path: Path
    zone: str
    clock: Callable[[], int]
    work: Work
    saved: QSettings
    origin: str = ""

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
        self.away.clicked.connect(self.accept)
        about = Label(_ABOUT, role="quiet", wrap=True)
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
        self.arrange(self.table, self.holds, self.asking, about, where,
                     acts=(self.away, self.back, self.make))  # fmt: skip
        self.setMinimumSize(QSize(800, 500))
        self.show_backups()

    def show_backups(self) -> None:
        """List what there is now, the newest first."""
        self.asking.leave()
        found = self._of.backups()
        second = self._of.second
        self.second.setText("" if second is None else f"They go into {second} too.")
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
        task = self._of.work.start("contents of a backup", _contents_of, one)
        task.finished.connect(self._on_contents)
        task.failed.connect(self._on_failed)

    def _on_contents(self, found: Contents) -> None:
        sound = found.makes is not None
        self.back.setEnabled(sound)
        if found.makes is None:
            self.holds.say("This backup is damaged. Choose another.", wrong=True)
        else:
            self.holds.say(_words(found), role="ink")

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
        task = of.work.start_file("backup", str(of.path), _back_up, of.clock(), of.second)
        task.finished.connect(self.show_backups)
        task.failed.connect(self._on_failed)

    def _on_restore(self) -> None:
        one = self.table.current()
        if one is not None:
            zone = self._of.zone
            self.asking.ask(
                f"Make the journal what it was on {day_words(one.at_ms, zone)} at "
                f"{clock(one.at_ms, zone)}? What it is now is backed up first.",
                "Restore", one,
            )  # fmt: skip

    def _on_agreed(self, one: Backup) -> None:
        self.leaving.emit()
        try:
            before = restore(self._of.path, one.path, self._of.clock())
        except KeepingError as error:
            self._on_failed(error)
            return
        words = f"Restored: the journal is as it was on {day_words(one.at_ms, self._of.zone)}."
        if before is not None:
            words += f" What it was until now is in {before.path.name}."
        self.restored.emit(self._of.path, words)
        self.accept()

    def _on_failed(self, error: Exception) -> None:
        self.holds.say(text_of(error), wrong=True)


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


def _words(found: Contents) -> str:
    makes, readings = counted(found.makes or 0, "make"), counted(found.readings, "reading")
    return f"It is sound and holds {makes} with {readings}."


def _at(one: Backup) -> int:
    return one.at_ms


def _megabytes(one: Backup) -> str:
    return f"{one.bytes / 1_000_000:.1f}"
