"""A damaged journal: looked for quietly, said once, with the ways out of it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, QSize, Signal
from PySide6.QtWidgets import QWidget

from journal.background import State
from journal.desk import dialogs
from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.place import Desk
from journal.desk.spoken import SpokenProgress
from journal.desk.tables import Column, RowsView
from journal.desk.work import Task, Work
from journal.keeping import DamageError, Journal
from journal.keeping.rescue import Rescued, rescue
from journal.message import Message
from journal.wording import text_of, worded
from journal.wording.languages import translated

SUFFIX = ".vatside"
_SHOWN = 3  # faults that are said; `vatside check` lists all


class DamageController(QObject):
    """Looks for damage beside what goes on, and rescues.

    `found` carries the journal's path and what to say; `rescued` the path of a journal to open.
    """

    found = Signal(Path, str)
    rescued = Signal(str)

    def __init__(self, window: QWidget, desk: Callable[[], Desk | None], work: Work) -> None:
        super().__init__(window)
        self._window, self._desk, self._work = window, desk, work
        self._reported: set[Path] = set()

    def check(self) -> None:
        """Look through the journal that is open, in the background."""
        desk = self._desk()
        if desk is not None:
            task = self._work.start("quiet check", _check, desk.journal.path, long=True)
            task.finished.connect(partial(self.say, desk.journal.path))

    def say(self, path: Path, faults: list[Message]) -> None:
        """Say what is damaged, once for a journal."""
        if not faults or path in self._reported:
            return
        self._reported.add(path)
        parts: list[Message | str] = [*faults[:_SHOWN]]
        if len(faults) > _SHOWN:
            parts.append(worded("desk.other-damages", count=len(faults) - _SHOWN))
        self.found.emit(path, worded("desk.damaged", faults=parts))

    def rescue(self, path: Path | None = None) -> None:
        """Ask which journal and where to, and save all that can be read of it there."""
        if path is None:
            chosen = dialogs.ask_open(self._window, "A damaged journal", dialogs.JOURNALS)
            if not chosen:
                return
            path = Path(chosen)
        name = str(path.with_name(f"{path.stem}-rescued{SUFFIX}"))
        out = dialogs.ask_save(self._window, "Save what can be read as", dialogs.JOURNALS, name)
        if out:
            where = Path(out) if Path(out).suffix else Path(out).with_suffix(SUFFIX)
            shown = RescueDialog(path, where, self._work, self._window)
            shown.chosen.connect(self.rescued)
            shown.open()


class RescueDialog(FramedDialog):
    """What was saved of a damaged journal and what is lost; `chosen` carries the new journal's
    path, to open it."""

    help_topic = "files/A damaged file"

    chosen = Signal(str)

    def __init__(self, path: Path, out: Path, work: Work, parent: QWidget) -> None:
        super().__init__("Rescue", parent)
        self._out, self._name = out, path.name
        self._spoken = SpokenProgress()
        self.table = RowsView(
            "What was saved and lost",
            (
                Column("records", lambda one: one.table.replace("_", " "), stretch=True),
                Column("saved", lambda one: f"{one.saved:,}", right=True),
                Column("lost", _lost, right=True, bold=True),
            ),
        )
        self.says = Label(worded("desk.reading-file-begun", file=path.name), wrap=True)
        self.away = Button("Stop", FAINT, "Esc")
        self.show_it = Button("Open it", MAIN)
        self.show_it.setEnabled(False)
        self.away.clicked.connect(self.reject)
        self.show_it.clicked.connect(self._on_open)
        self.arrange(self.table, self.says, acts=(self.away, self.show_it))
        self.setMinimumSize(QSize(560, 420))
        task = work.start("rescue", _rescue, path, out, long=True)
        task.words = worded("desk.rescuing", file=path.name)
        self._task: Task | None = task  # that is under way
        task.progressed.connect(self._on_progress)
        task.finished.connect(self._on_rescued)
        task.failed.connect(self._on_failed)

    def _on_progress(self, share: float, _words: str) -> None:
        if self._task is not None and not self._task.state.stopped():
            far = worded("desk.reading-file-so-far", file=self._name, share=100 * share)
            self.says.setText(far)
            self._spoken.tell(self.says, share, worded("desk.reading-file", file=self._name))

    def reject(self) -> None:
        """Close it; while it reads, stop that instead."""
        if self._task is None:
            super().reject()
            return
        self._task.break_off()
        self.says.say(translated("Stopping."))

    def _ended(self) -> None:
        self._task = None
        self.away.setText("Close")

    def _on_rescued(self, tables: list[Rescued]) -> None:
        self._ended()
        self.table.show_rows(sorted(tables, key=_most_lost_first))
        lost, exact = sum(one.lost for one in tables), all(one.exact for one in tables)
        whole = "desk.rescued-all" if exact else "desk.rescued-perhaps"
        which = "desk.rescued-some" if lost else whole
        rows = sum(one.saved for one in tables)
        text = worded(which, file=self._out.name, rows=rows, lost=lost, exact=exact)
        self.says.say(text, role="ink")
        self.show_it.setEnabled(True)
        self.show_it.setFocus()

    def _on_open(self) -> None:
        self.accept()
        self.chosen.emit(str(self._out))

    def _on_failed(self, error: Exception) -> None:
        self._ended()
        self.says.say(text_of(error), wrong=True)


def _check(path: Path, state: State) -> list[Message]:
    try:
        with Journal.open(path, read_only=True) as journal:
            return journal.quick_check(state.stopped)
    except DamageError as error:
        return [error.message]


def _rescue(path: Path, out: Path, state: State) -> list[Rescued]:
    return rescue(path, out, state.stopped, state.progress)


def _lost(one: Rescued) -> str:
    if not one.exact:
        return worded("wording.or-more", count=one.lost)
    return f"{one.lost:,}" if one.lost else ""


def _most_lost_first(one: Rescued) -> tuple[int, str]:
    return -one.lost, one.table
