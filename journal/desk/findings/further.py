"""Further variables: a list of what findings leave out by default, ticked to be looked at too."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QModelIndex, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.charts.marks import BoxMark, LineMark, Mark
from journal.desk.commands import Command
from journal.desk.findings.studying import StudyController
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.place import Desk
from journal.desk.spoken import SpokenProgress, announce
from journal.desk.tables import Column, RowsView
from journal.desk.theme import STEP
from journal.findings import FindingError
from journal.findings.further import FurtherVariable
from journal.keeping import KeepingError
from journal.reports.study import look_for_further, tick_in, ticked_in
from journal.wording import text_of, worded

WORK = "further variables"
_SIDE = 4 * STEP
_NOTE = (
    "Ticked variables are included for every score, here and by the command findings. Each further "
    "one makes all effects harder to show: tick only what you have a reason for."
)


class TickList(RowsView[FurtherVariable]):
    """Variables with a box each; Space, Enter or a click turns it."""

    turned = Signal()

    def __init__(self) -> None:
        self.ticked: set[str] = set()
        super().__init__(
            "Further variables",
            (
                Column("", self._state, width=_SIDE, marks=self._box_marks, sort=self._is_out),
                Column("variable", _name),
                Column("left out, because", _why, quiet=True, stretch=True),
            ),
        )
        self.clicked.connect(self._on_clicked)

    def show_variables(self, found: Sequence[FurtherVariable]) -> None:
        """Show these, ticked as they are."""
        self.ticked = {one.key for one in found if one.ticked}
        self.show_rows(found)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _TURN and not event.modifiers() & ~_PAD:
            self._turn(self.current())
        else:
            super().keyPressEvent(event)

    def _on_clicked(self, index: QModelIndex) -> None:
        self._turn(self.rows_model.rows[index.row()])

    def _turn(self, one: FurtherVariable | None) -> None:
        if one is not None:
            self.ticked ^= {one.key}
            self.viewport().update()
            ticked = one.key in self.ticked
            announce(self, worded("desk.is-ticked" if ticked else "desk.not-ticked", name=one.name))
            self.turned.emit()

    def _state(self, one: FurtherVariable) -> str:
        return "✓" if one.key in self.ticked else ""

    def _is_out(self, one: FurtherVariable) -> bool:
        return one.key not in self.ticked

    def _box_marks(self, one: FurtherVariable, wide: float, high: float) -> list[Mark]:
        on, x, y, half = one.key in self.ticked, wide / 2, high / 2, _SIDE / 2
        edge = "ink" if on else "frame"
        box = BoxMark((x - half, x + half), (y - half, y + half), "field", edge, 1.4, rounded=3)
        tick = LineMark((x - 4, x - 1, x + 4.5), (y, y + 3.5, y - 4), "ink", 2.0)
        return [box, tick] if on else [box]


_TURN = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)
_PAD = Qt.KeyboardModifier.KeypadModifier


class FurtherDialog(FramedDialog):
    """The list; `chosen` carries the keys of what was ticked when it is saved."""

    help_topic = "findings/More"

    chosen = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__("Further variables", parent)
        self.table = TickList()
        self.table.turned.connect(self._count)
        self._spoken = SpokenProgress()
        self.note = Label(_NOTE, role="quiet", wrap=True)
        self.count = Label("Reading the makes…", role="quiet")
        self.save = Button("Save", MAIN, "main")
        self.shut = Button("Cancel", key="Esc")
        self.save.setEnabled(False)
        self.save.clicked.connect(self.submit)
        self.shut.clicked.connect(self.reject)
        self.arrange(self.table, self.note, acts=(self.save, self.shut), beside=self.count)
        self.resize(820, 640)
        self.table.setFocus()

    def show_progress(self, share: float, words: str) -> None:
        """Say how far the reading is."""
        self.count.setText(f"{words}, {100 * share:.0f} %")
        self._spoken.tell(self.count, share, words)

    def show_variables(self, found: Sequence[FurtherVariable]) -> None:
        """Show what can be ticked."""
        self.table.show_variables(found)
        self.save.setEnabled(True)
        self._count()

    def submit(self) -> None:
        """Save what is ticked."""
        if self.save.isEnabled():
            self.chosen.emit(frozenset(self.table.ticked))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.submit()
        elif not enter:  # Enter turns a box, and closes nothing
            super().keyPressEvent(event)

    def _count(self) -> None:
        self.count.setText(
            worded("desk.ticked", ticked=len(self.table.ticked), rows=len(self.table.rows))
        )


class FurtherController(QObject):
    """Opens the list and keeps what is ticked with the journal. It is a setting, no record: what
    was ticked is taken back here, as long as nothing else was done."""

    def __init__(self, desk: Desk, study: StudyController, page: QWidget) -> None:
        super().__init__(page)
        self._desk, self._study, self._page = desk, study, page
        self._done: list[frozenset[str]] = []
        self._undone: list[frozenset[str]] = []
        self.command = Command(
            "further_variables", "Further variables…", self.ask, (), self.can_ask
        )
        self.button_words = self.command.title, ""

    def can_ask(self) -> bool:
        """There are findings to look at more for."""
        return self._page.isVisible() and bool(self._desk.journal.sessions.attributes())

    def ask(self) -> None:
        """Open the list, and read what there is to tick beside the screen."""
        dialog = FurtherDialog(self._page)
        path, score = str(self._desk.journal.path), self._study.score
        task = self._desk.work.start_file(WORK, path, look_for_further, score)
        task.progressed.connect(dialog.show_progress)
        task.finished.connect(dialog.show_variables)
        task.failed.connect(partial(_refuse, dialog))
        dialog.chosen.connect(partial(self._on_chosen, dialog))
        dialog.finished.connect(self._on_closed)
        dialog.open()

    def forget_steps(self) -> None:
        """Something else was done: that is what undo takes back now."""
        self._done, self._undone = [], []

    @property
    def undo_name(self) -> str | None:
        """What undo would take back."""
        return _NAME if self._done else None

    @property
    def redo_name(self) -> str | None:
        """What redo would do again."""
        return _NAME if self._undone else None

    def undo(self) -> str | None:
        """Tick again what was ticked before."""
        return self._step(self._done, self._undone)

    def redo(self) -> str | None:
        """Tick it anew."""
        return self._step(self._undone, self._done)

    def _step(self, out: list[frozenset[str]], back: list[frozenset[str]]) -> str | None:
        if not out:
            return None
        now = ticked_in(self._desk.journal)
        self._keep(out[-1])
        out.pop()
        back.append(now)
        return _NAME

    def _keep(self, keys: frozenset[str]) -> None:
        tick_in(self._desk.journal, keys)
        self._study.again()

    def _on_closed(self, _result: int) -> None:
        self._desk.work.stop(WORK)

    def _on_chosen(self, dialog: FurtherDialog, keys: frozenset[str]) -> None:
        before = ticked_in(self._desk.journal)
        try:
            if keys != before:
                self._keep(keys)
                self._done, self._undone = [*self._done, before], []
        except KeepingError as error:
            dialog.refuse(text_of(error))
            return
        dialog.accept()


_NAME = "the choice of further variables"


def _refuse(dialog: FurtherDialog, error: Exception) -> None:
    if not isinstance(error, FindingError | KeepingError):
        raise error
    dialog.refuse(text_of(error))


def _name(one: FurtherVariable) -> str:
    return one.name


def _why(one: FurtherVariable) -> str:
    return text_of(one.why)
