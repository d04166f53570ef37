"""What the window does with files: journals opened and made, readings and makes brought in."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from journal.desk import dialogs, settings
from journal.keeping import Journal, KeepingError
from journal.records.instants import system_zone

SUFFIX = ".vatside"
FIRST_LETTERS = "VS"


class FileActs:
    """The window's file commands; mixed into Window, which has `take`, `journal`, `current`."""

    def new_journal(self) -> None:
        """Ask where, make an empty journal there and show it."""
        path = dialogs.ask_save(self, "New journal", dialogs.JOURNALS, f"journal{SUFFIX}")
        if not path:
            return
        where = Path(path)
        where = where if where.suffix else where.with_suffix(SUFFIX)
        try:
            made = Journal.create(where, letters=FIRST_LETTERS, zone=system_zone())
        except KeepingError as error:
            self._tell(str(error))
            return
        self._replace(made)

    def open_journal(self) -> None:
        """Ask for a journal and show it."""
        path = dialogs.ask_open(self, "Open a journal", dialogs.JOURNALS, self._folder())
        if path:
            self.open_path(path)

    def open_path(self, path: str) -> None:
        """Show the journal at `path`; a sentence when it cannot be opened."""
        try:
            made = Journal.open(path)
        except KeepingError as error:
            self._tell(str(error))
            return
        self._replace(made)

    def add_recent(self, menu: QMenu) -> None:
        """The journals last opened, as a menu of their own."""
        shown = str(self.journal.path.resolve()) if self.journal else ""
        paths = [p for p in settings.recent(self.settings) if p != shown]
        if not paths:
            return
        under = menu.addMenu("Open again")
        for path in paths:
            entry = QAction(f"{Path(path).stem}   {Path(path).parent}", under)
            entry.setData(path)
            entry.triggered.connect(self._on_recent)
            under.addAction(entry)

    def bring_readings(self) -> None:
        """Ask for a logger's file and bring it into the make that is open."""
        if not self.has_make():
            return
        path = dialogs.ask_open(self, "Bring in readings", dialogs.READINGS)
        if path:
            from journal.desk.bring_in import BringIn

            BringIn(self.journal, self.desk.make_id, path, self).open()

    def bring_makes(self) -> None:
        """Ask for a table of past makes and bring it in."""
        if not self.has_journal():
            return
        path = dialogs.ask_open(self, "Bring in past makes", dialogs.TABLES)
        if path:
            from journal.desk.bring_in import BringInMakes

            BringInMakes(self.journal, path, self).open()

    def export(self) -> None:
        """Ask for a folder and write everything there."""
        if not self.has_journal():
            return
        folder = dialogs.ask_folder(self, "Export everything to a folder")
        if not folder:
            return
        task = self.work.start_file("export", str(self.journal.path), _export, folder)
        task.finished.connect(self._on_exported)
        task.failed.connect(self._on_failed)

    def _replace(self, made: Journal) -> None:
        before = self.journal
        self.take(made)
        if before is not None:
            before.close()

    def _tell(self, sentence: str) -> None:
        """Say it in the place shown, or where a journal is chosen when there is none."""
        if self.current is not None:
            self.current.say("file", sentence)
        else:
            self.take(None, sentence=sentence)

    def _folder(self) -> str:
        return str(self.journal.path.parent) if self.journal else ""

    def _on_recent(self) -> None:
        self.open_path(self.sender().data())

    def _on_exported(self, folder: str) -> None:
        hidden = self.journal is not None and _hides(self.journal)
        but = ", but for what is still under the cloth" if hidden else ""
        self.current.say("file", f"Everything was written to {folder}{but}.", attention=False)

    def _on_failed(self, error: Exception) -> None:
        self._tell(str(error))


def _export(journal: Journal, folder: str, _state: object) -> str:
    from journal.exchange.export import export_journal

    export_journal(journal, Path(folder), blind=True)
    return folder


def _hides(journal: Journal) -> bool:
    """Whether a sitting or a panel test is under the cloth."""
    tests = journal.panel_tests.all()
    return bool(journal.blind.under_cloth()) or any(test.lifted_ms is None for test in tests)
