"""What the window does with files: journals opened and made, readings and makes brought in."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSettings, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QWidget
from shiboken6 import isValid

from journal.background import State
from journal.desk import dialogs, settings
from journal.desk.menus import Menu
from journal.desk.messages import Action, Actions
from journal.desk.place import Desk
from journal.desk.under_way import UnderWay
from journal.desk.work import Task, Work
from journal.keeping import DamageError, Journal, KeepingError
from journal.keeping.backups import OpenFile
from journal.keeping.file import older
from journal.message import Message
from journal.records.instants import now_ms, system_zone
from journal.wording import text_of, worded

if TYPE_CHECKING:
    from journal.desk.incoming.dialog import Incoming
    from journal.desk.new_journal import NewJournalDialog
    from journal.exchange.bundle import Bundle

BUNDLE = ".vatside.zip"
OLD_MAKES = "I have old makes"


class FileController(QObject):
    """The file commands of a window. `desk` gives what its places share, None without a journal.

    `opened` carries a journal to show, None to close the one shown,
    `message` a sentence and whether it wants attention,
    `damaged` the path of a journal that is not opened for its damage, and what to say;
    `leaving` asks to write down what is typed and not kept, `pausing` to stop the sensors and keep
    what came, `resuming` to start them again;
    `holding` says that nothing is to be typed for now, `caution` carries a message about its place.
    `under_way` shows what may take minutes.
    """

    opened = Signal(object)
    message = Signal(str, bool)
    damaged = Signal(Path, str)
    leaving = Signal()
    pausing = Signal()
    resuming = Signal()
    holding = Signal(bool)
    caution = Signal(Message)

    def __init__(
        self,
        window: QWidget,
        remembered: QSettings,
        desk: Callable[[], Desk | None],
        work: Work,
    ) -> None:
        super().__init__(window)
        self._window, self._remembered, self._desk, self._work = window, remembered, desk, work
        self.under_way = UnderWay(window)
        self.under_way.stopped.connect(partial(self._say, attention=True))

    def new_journal(self) -> None:
        """Ask for letters, units and zone and where, make an empty journal there and show it."""
        self._ask_for_new()

    def begin_with_old_makes(self) -> None:
        """The same, and then ask for the table of past makes that is to be imported there."""
        self._ask_for_new().created.connect(self.bring_makes)

    def ways_to_begin(self) -> Actions:
        """What can be done from the sample."""
        return [("Begin your own", self.new_journal), (OLD_MAKES, self.begin_with_old_makes)]

    def _ask_for_new(self) -> NewJournalDialog:
        from journal.desk.new_journal import NewJournalDialog

        shown = NewJournalDialog(self._remembered, self._window)
        shown.created.connect(self.opened)
        shown.open()
        return shown

    def open_journal(self) -> None:
        """Ask for a journal and show it."""
        desk = self._desk()
        folder = str(desk.journal.path.parent) if desk is not None else ""
        path = dialogs.ask_open(self._window, "Open a journal", dialogs.TO_OPEN, folder)
        if path.lower().endswith(".zip"):
            self.open_bundle(path)
        elif path:
            self.open_path(path)

    def open_path(self, path: str) -> None:
        """Show the journal at `path`; a sentence when it cannot be opened."""
        if (remark := older(Path(path))) is not None:
            self._move_on(path, remark)
            return
        try:
            made = Journal.open_as_may_be(path)
        except KeepingError as error:
            self._on_not_opened(path, error)
            return
        self.opened.emit(made)

    def _move_on(self, path: str, remark: Message) -> None:
        """Give an older journal the format of today, and show it then."""
        self.message.emit(text_of(remark), False)
        task = self._work.start(path, _move_on, path, long=True)
        task.finished.connect(self.open_path)
        task.failed.connect(partial(self._on_not_opened, path))
        self.under_way.follow(task, worded("desk.updating", file=Path(path).name))

    def open_bundle(self, path: str) -> None:
        """Ask where the journal in a bundle is to lie, take it out there and show it."""
        folder = dialogs.ask_folder(self._window, "A folder for the journal in this bundle")
        if folder:
            task = self._work.start("bundle", _take_out, path, folder, long=True)
            self._follow_task(task, "Taking the journal out of its bundle", self._on_taken_out)

    def add_recent(self, menu: QMenu, after: QAction) -> None:
        """The journals last opened, as a menu of their own behind a line."""
        desk = self._desk()
        shown = str(desk.journal.path.resolve()) if desk is not None else ""
        paths = [p for p in settings.recent(self._remembered) if p != shown]
        if not paths:
            return
        under = Menu(menu, "Open recent")
        lines = menu.actions()
        following = lines.index(after) + 1
        menu.insertMenu(lines[following] if following < len(lines) else after, under)
        for path in paths:
            entry = QAction(f"{Path(path).stem}   {Path(path).parent}".replace("&", "&&"), under)
            entry.setData(path)
            under.addAction(entry)
        under.triggered.connect(self._on_recent)

    def bring_readings(self) -> None:
        """Ask for a logger's file and bring it into the make that is open."""
        desk = self._desk()
        if desk is None or desk.make_id is None:
            return
        path = dialogs.ask_open(self._window, "Import readings", dialogs.READINGS)
        if path:
            from journal.desk.bring_in import BringIn

            self._show(BringIn(desk.journal, desk.make_id, path, self._window))

    def bring_makes(self) -> None:
        """Ask for a table of past makes and bring it in."""
        desk = self._desk()
        if desk is None:
            return
        path = dialogs.ask_open(self._window, "Import past makes", dialogs.TABLES)
        if path:
            self.bring_makes_of(path)

    def bring_makes_of(self, path: str) -> None:
        """Show what a table of past makes would bring in."""
        desk = self._desk()
        if desk is not None:
            from journal.desk.bring_in import BringInMakes

            self._show(BringInMakes(desk.journal, path, self._window))

    def _show(self, dialog: Incoming) -> None:
        dialog.imported.connect(partial(self._say, attention=False))
        dialog.open()

    def export(self) -> None:
        """Ask for a folder and write everything there."""
        desk = self._desk()
        if desk is None:
            return
        folder = dialogs.ask_folder(self._window, "Export everything to a folder")
        if not folder:
            return
        path = str(desk.journal.path)
        task = desk.work.start_file("export", path, _export, folder, long=True)
        self._follow_task(task, "Exporting everything", self._on_exported)

    # Copies

    def back_up_daily(self) -> None:
        """Make the day's backup beside what goes on, where there is none yet."""
        desk = self._desk()
        if desk is not None and not desk.journal.read_only:
            also = settings.second_folder(self._remembered, desk.journal.origin)
            task = desk.work.start_file(
                "backup", str(desk.journal.path), _back_up_if_due, desk.clock(), also, long=True
            )
            task.failed.connect(self._on_failed)

    def look_around(self) -> None:
        """Say what can go wrong where the journal lies."""
        desk = self._desk()
        if desk is not None:
            task = desk.work.start_file("surroundings", str(desk.journal.path), _cautions)
            task.finished.connect(self._on_cautions)

    def save_copy(self) -> None:
        """Ask where, and write a copy of the journal with its photos there."""
        desk = self._desk()
        where = self._ask_for_copy()
        if desk is not None and where is not None:
            path = str(desk.journal.path)
            task = desk.work.start_file("copy", path, _save_copy, where, long=True)
            self._follow_task(task, "Saving a copy", self._on_copied)

    def _ask_for_copy(self) -> Path | None:
        desk = self._desk()
        if desk is None:
            return None
        name = worded("desk.copy-of-file", file=desk.journal.path.stem) + dialogs.SUFFIX
        path = dialogs.ask_save(self._window, "Save a copy", dialogs.JOURNALS, name)
        if not path:
            return None
        return Path(path) if Path(path).suffix else Path(path).with_suffix(dialogs.SUFFIX)

    # A file that was renamed, deleted or replaced while it was open

    def ways_on(self) -> Actions:
        """What can be done then: open it where it is now, open what is there, save what is seen."""
        desk = self._desk()
        if desk is None:
            return []
        now, path = desk.journal.now_at(), desk.journal.path
        if now is not None:
            return [("Open it there", partial(self._follow, now))]
        ways: list[Action] = [("Save a copy…", self._save_what_is_open)]
        if path.exists():
            ways.append(("Open the other file", partial(self._follow, path)))
        return ways

    def _follow(self, path: Path) -> None:
        """Close what is open and open that file; what is typed stays with what was open."""
        desk = self._desk()
        if desk is not None:
            desk.journal.release()
            self.opened.emit(None)
        self.open_path(str(path))

    def _save_what_is_open(self) -> None:
        """Nothing is typed or measured meanwhile: it would not be in the copy."""
        desk = self._desk()
        where = self._ask_for_copy()
        if desk is None or where is None:
            return
        measured = desk.sensors.bridge is not None
        desk.journal.release()
        self.leaving.emit()
        self.pausing.emit()
        desk.journal.release(False)
        try:
            file = desk.journal.open_file()
        except KeepingError as error:
            self._on_failed(error)
            self._resume(measured)
            return
        held = self._window.focusWidget()
        self.holding.emit(True)
        task = self._work.start("copy what is open", _copy_open, file, where, long=True)
        self._follow_task(task, "Saving a copy", self._follow)
        task.ended.connect(partial(self._release, held, measured))

    def _resume(self, measured: bool) -> None:
        if measured:
            self.resuming.emit()

    def _release(self, held: QWidget | None, measured: bool, task: Task) -> None:
        self.holding.emit(False)
        self._resume(measured and task.has_failed)
        if held is not None and isValid(held):
            held.setFocus()

    def bundle(self) -> None:
        """Ask where, and write the journal, its photos and its plans there as one file."""
        desk = self._desk()
        if desk is None:
            return
        name = f"{desk.journal.path.stem}{BUNDLE}"
        title = "Save everything in one file, for another computer"
        path = dialogs.ask_save(self._window, title, dialogs.BUNDLES, name)
        if path:
            where = path if path.lower().endswith(".zip") else f"{path}{BUNDLE}"
            path = str(desk.journal.path)
            task = desk.work.start_file("bundle", path, _bundle, where, long=True)
            self._follow_task(task, "Writing the bundle", self._on_bundled)

    def _follow_task(self, task: Task, words: str, on_finished: Callable[..., object]) -> None:
        task.finished.connect(on_finished)
        task.failed.connect(self._on_failed)
        self.under_way.follow(task, words)

    def merge(self) -> None:
        """Ask for another copy of the journal, and show what it brings."""
        desk = self._desk()
        path = dialogs.ask_open(self._window, "Another copy of this journal", dialogs.JOURNALS)
        if desk is not None and path:
            from journal.desk.merging import MergeDialog

            shown = MergeDialog(desk, path, self._window)
            shown.leaving.connect(self.leaving)
            shown.merged.connect(self._on_merged)
            shown.open()

    def show_backups(self) -> None:
        """The backups of the journal, to look at, make and restore."""
        desk = self._desk()
        if desk is not None:
            self._show_backups(
                desk.journal.path, desk.journal.zone, desk.clock, desk.journal.origin
            )

    def show_backups_of(self, path: Path) -> None:
        """The backups of a journal that is not open, perhaps too damaged for it."""
        self._show_backups(path, system_zone(), now_ms)

    def _show_backups(
        self, path: Path, zone: str, clock: Callable[[], int], origin: str = ""
    ) -> None:
        from journal.desk.backups import Backed, BackupsDialog

        desk = self._desk()
        opened = desk.journal if desk is not None and origin else None
        backed = Backed(path, zone, clock, self._work, self._remembered, origin, opened)
        shown = BackupsDialog(backed, self._window)
        shown.leaving.connect(self.leaving)
        shown.restored.connect(self._on_restored)
        shown.open()

    # Handlers

    def _on_not_opened(self, path: str, error: Exception) -> None:
        if isinstance(error, DamageError):
            self.damaged.emit(Path(path), text_of(error))
        else:
            self.message.emit(text_of(error), True)

    def _say(self, sentence: str, *, attention: bool) -> None:
        self.message.emit(sentence, attention)

    def _on_cautions(self, found: list[Message]) -> None:
        for one in found:
            self.caution.emit(one)

    def _on_copied(self, path: Path) -> None:
        self.message.emit(worded("desk.copy-saved", path=path), False)

    def _on_bundled(self, made: Bundle) -> None:
        text = worded("desk.bundled", path=made.path, photos=made.photos, plans=made.plans)
        self.message.emit(text, False)

    def _on_taken_out(self, made: Bundle) -> None:
        self.open_path(str(made.path))
        self.message.emit(worded("desk.taken-out", path=made.path), False)

    def _on_merged(self, sentence: str) -> None:
        self.message.emit(sentence, False)

    def _on_restored(self, path: Path, sentence: str) -> None:
        self.open_path(str(path))
        self.message.emit(sentence, False)

    def _on_recent(self, chosen: QAction) -> None:
        self.open_path(chosen.data())

    def _on_exported(self, folder: str) -> None:
        desk = self._desk()
        hidden = desk is not None and _hides(desk.journal)
        self.message.emit(worded("desk.exported", folder=folder, hidden=hidden), False)

    def _on_failed(self, error: Exception) -> None:
        self.message.emit(text_of(error), True)


def _back_up_if_due(journal: Journal, now_ms: int, also: Path | None, state: State) -> None:
    if journal.backup_due(now_ms):
        journal.back_up(now_ms, stop=state.stopped)
    if also is not None and journal.backup_due(now_ms, also):
        journal.back_up_also(also, now_ms, stop=state.stopped)


def _cautions(journal: Journal, _state: object) -> list[Message]:
    return journal.cautions()


def _save_copy(journal: Journal, path: Path, state: State) -> Path:
    journal.save_copy(path, stop=state.stopped, progress=state.progress)
    return path


def _copy_open(file: OpenFile, path: Path, state: State) -> Path:
    file.save_copy(path, state.stopped, state.progress)
    return path


def _move_on(path: str, state: State) -> str:
    Journal.open(path, stop=state.stopped, progress=state.progress).close()
    return path


def _bundle(journal: Journal, path: str, state: State) -> Bundle:
    from journal.exchange.bundle import write_bundle

    return write_bundle(journal, path, state.stopped, state.progress)


def _take_out(path: str, folder: str, state: State) -> Bundle:
    from journal.exchange.bundle import read_bundle

    return read_bundle(path, folder, state.stopped, state.progress)


def _export(journal: Journal, folder: str, state: State) -> str:
    from journal.exchange.export import export_journal

    export_journal(journal, folder, progress=state.progress, stop=state.stopped, blind=True)
    return folder


def _hides(journal: Journal) -> bool:
    """Whether a session or a panel test is hidden."""
    tests = journal.panel_tests.all()
    return bool(journal.sessions.hidden_sessions()) or any(test.lifted_ms is None for test in tests)
