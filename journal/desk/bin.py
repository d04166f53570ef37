"""The bin: what was deleted, to be restored, or deleted for good."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget

from journal.desk.asking import Asking
from journal.desk.buttons import FAINT, MAIN, PLAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.place import Desk
from journal.desk.preferences import chosen
from journal.desk.tables import Column, RowsView
from journal.keeping import Change, KeepingError
from journal.keeping.binned import Binned
from journal.wording import text_of, worded
from journal.wording.ages import ago
from journal.wording.dates import clock, day_words
from journal.wording.history import BIN_EMPTY, called
from journal.wording.letters import capital

_ABOUT = (
    "What is deleted stays here until you empty the bin. A make is here "
    "with its wheels and their scores."
)


class BinDialog(FramedDialog):
    """Lists what was deleted, the last first."""

    help_topic = "files/Undo, history, bin"

    def __init__(self, desk: Desk, parent: QWidget) -> None:
        super().__init__("Bin", parent)
        self._desk = desk
        zone = desk.journal.zone
        self.table = RowsView(
            "Deleted",
            (
                Column("what", lambda one: capital(called(one.called, zone)), bold=True,
                       stretch=True),
                Column("deleted", lambda one: day_words(one.at_ms, zone), sort=_at),
                Column("time", lambda one: clock(one.at_ms, zone), spare=True),
                Column("", lambda one: ago(one.at_ms, desk.clock(), zone), quiet=True, sort=_at),
            ),
        )  # fmt: skip
        self.message = Label("", wrap=True)
        self.restore = Button("Restore", MAIN)
        self.clear = Button("Empty the bin…", PLAIN)
        self.away = Button("Close", FAINT, "Esc")
        self.asking = Asking()
        self.asking.agreed.connect(self._on_agreed)
        self.table.opened.connect(self._on_restore)
        self.restore.clicked.connect(self._on_restore)
        self.clear.clicked.connect(self._on_clear)
        self.away.clicked.connect(self.accept)
        about = Label(_ABOUT, role="quiet", wrap=True)
        self.arrange(self.table, self.asking, about, message=self.message,
                     acts=(self.away, self.clear, self.restore))  # fmt: skip
        self.setMinimumSize(QSize(720, 460))
        self.setFocusProxy(self.table)
        desk.journal.listen(self._on_change)
        self.finished.connect(self._on_finished)
        self._show()

    def _show(self) -> None:
        self.asking.leave()
        try:
            found = self._desk.journal.bin.all()
        except KeepingError as error:
            self.message.say(text_of(error), wrong=True)
            return
        self.table.show_rows(found)
        self.restore.setEnabled(bool(found))
        self.clear.setEnabled(bool(found))
        if not found and not self.message.text():
            self.message.say(worded(BIN_EMPTY))

    # Handlers

    def _on_restore(self, _row: object = None) -> None:
        one = self.table.current()
        if one is None:
            return
        words = called(one.called, self._desk.journal.zone)
        try:
            self._desk.journal.bin.restore([one.id])
        except KeepingError as error:
            self.message.say(text_of(error), wrong=True)
        else:
            self.message.say(worded("desk.restored-from-bin", what=words))

    def _on_clear(self) -> None:
        if chosen(self._desk.settings, "ask_bin") != "yes":
            self._on_agreed(None)
            return
        asked = worded("desk.empty-the-bin-asked", records=len(self.table.rows))
        self.asking.ask(asked, "Delete for good", None)

    def _on_agreed(self, _about: object) -> None:
        journal = self._desk.journal
        try:
            gone = journal.bin.empty()
        except KeepingError as error:
            self.message.say(text_of(error), wrong=True)
            return
        left = len(journal.bin.all())
        parts = [worded("desk.deleted-for-good", records=gone)]
        parts += [worded("desk.others-need", records=left)] if left else []
        self.message.say(" ".join(parts))

    def _on_change(self, _change: Change) -> None:
        self._show()

    def _on_finished(self) -> None:
        self._desk.journal.unlisten(self._on_change)


def _at(one: Binned) -> int:
    return one.at_ms
