"""The backups of a journal: when, what is in each, and the way back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QWidget

from journal.background import State
from journal.desk.asking import Asking
from journal.desk.buttons import FAINT, MAIN, PLAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.tables import Column, RowsView
from journal.desk.work import Work
from journal.keeping import Journal, KeepingError
from journal.keeping.backups import DAYS, MONTHS, WEEKS, Backup, backups_of, is_sound, restore
from journal.wording import text_of
from journal.wording.counts import counted
from journal.wording.dates import ago, clock, day_words

_ABOUT = (
    "A backup is a whole journal with its photos. One is made each day that the journal is open; "
    f"of the older ones {DAYS} days, {WEEKS} weeks and {MONTHS} months are kept. Save a copy on "
    "another disk now and then: what lies beside the journal is lost with it."
)


@dataclass(frozen=True)
class Contents:
    """What a backup holds; None counts where it is damaged."""

    backup: Backup
    makes: int | None = None
    readings: int = 0


@dataclass(frozen=True)
class Backed:
    """A journal's file, open or not, whose backups are shown."""

    path: Path
    zone: str
    clock: Callable[[], int]
    work: Work


class BackupsDialog(FramedDialog):
    """Lists them; `restored` carries the journal's path and what to say, when one was put back;
    `leaving` comes before, so that what is typed goes into the backup of what was there."""

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
        self.arrange(self.table, self.holds, self.asking, about,
                     acts=(self.away, self.back, self.make))  # fmt: skip
        self.setMinimumSize(QSize(720, 460))
        self.show_backups()

    def show_backups(self) -> None:
        """List what there is now, the newest first."""
        self.asking.leave()
        found = backups_of(self._of.path, self._of.zone)
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

    def _on_make(self) -> None:
        of = self._of
        task = of.work.start_file("backup", str(of.path), _back_up, of.clock())
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


def _back_up(journal: Journal, at_ms: int, state: State) -> Path:
    return journal.back_up(at_ms, stop=state.stopped).path


def _words(found: Contents) -> str:
    makes, readings = counted(found.makes or 0, "make"), counted(found.readings, "reading")
    return f"It is sound and holds {makes} with {readings}."


def _at(one: Backup) -> int:
    return one.at_ms


def _megabytes(one: Backup) -> str:
    return f"{one.bytes / 1_000_000:.1f}"
