"""Another copy of the journal: what comes from it, what both changed, and which of it stands."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QWidget

from journal.background import State
from journal.desk.buttons import FAINT, MAIN, PLAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.place import Desk
from journal.desk.tables import ROW, Column, RowsView
from journal.desk.theme import STEP
from journal.desk.watch import BUSY_S, WHILE_WRITTEN_S
from journal.desk.work import Task
from journal.keeping import Change, Journal, KeepingError
from journal.keeping.merged import TwoValues
from journal.keeping.merging import Choices, Merge
from journal.wording import text_of, worded
from journal.wording.history import label
from journal.wording.letters import capital
from journal.wording.merging import (
    about_words,
    both_words,
    came_words,
    renamed_words,
    stay_words,
    values_words,
)

_ABOUT = (
    "A backup of this journal is made first, and one undo takes the merge back. The other copy is "
    "not changed: merge there as well, and both are the same."
)
STOPPED = "keeping.merge-stopped"
_LINES = 4  # of what is only to be read


class MergeDialog(FramedDialog):
    """Shows what another copy brings; `merged` says what came, `leaving` comes before, so that what
    is typed is written down."""

    help_topic = "files/Two computers"

    leaving = Signal()
    merged = Signal(str)

    def __init__(self, desk: Desk, path: str, parent: QWidget) -> None:
        super().__init__("Merge another copy", parent)
        self._desk, self._path = desk, path
        self._found: Merge | None = None
        self._chosen: set[TwoValues] = set()
        self._merging: Task | None = None  # that is under way
        self.file = Label(Path(path).name, role="quiet")
        self.comes = Label("Reading the other copy…", wrap=True)
        self.both = Label("", role="ink", wrap=True)
        self.table: RowsView[TwoValues] = RowsView(
            "What both changed",
            (
                Column("", about_words, bold=True),
                Column("", _field, quiet=True),
                Column("this journal", self._ours, stretch=True),
                Column("the other copy", self._theirs, stretch=True),
                Column("stands", self._stands),
            ),
        )
        self.one = Label("", role="quiet", wrap=True)
        self.more = Label("", role="quiet", wrap=True)
        self.swap = Button("Use the other value", PLAIN)
        self.away = Button("Cancel", FAINT, "Esc")
        self.merge = Button("Merge", MAIN)
        self.merge.setEnabled(False)
        for part in (self.both, self.table, self.one, self.more, self.swap):
            part.hide()
        self.table.picked.connect(self._on_picked)
        self.table.opened.connect(self._on_swap)
        self.swap.clicked.connect(self._on_swap)
        self.merge.clicked.connect(self._on_merge)
        self.away.clicked.connect(self.reject)
        about = Label(_ABOUT, role="quiet", wrap=True)
        self.table.setMinimumHeight(4 * ROW)
        body = in_column(self.comes, self.both, self.table, self.one, self.more, gap=4 * STEP)
        body.setStretchFactor(self.table, 1)
        body.addStretch()
        self.arrange(body, about,
                     acts=(self.away, self.swap, self.merge), beside=self.file)  # fmt: skip
        self.setMinimumSize(QSize(800, 600))
        task = desk.work.start_file("merge", str(desk.journal.path), _look, path)
        task.finished.connect(self._on_found)
        task.failed.connect(self._on_failed)

    def _ours(self, one: TwoValues) -> str:
        return self._value(one, 0 if one.from_here else 1)

    def _theirs(self, one: TwoValues) -> str:
        return self._value(one, 1 if one.from_here else 0)

    def _value(self, one: TwoValues, which: int) -> str:
        if one.hidden:
            return worded("wording.hidden")
        return values_words(one, self._desk.journal.zone)[which]

    def _stands(self, one: TwoValues) -> str:
        here = (one in self._chosen) != one.from_here
        return worded("desk.this-journal" if here else "desk.other-copy")

    # Handlers

    def _on_found(self, found: Merge) -> None:
        self._found = found
        new = came_words(found)
        self.comes.setText("\n".join(new) if new else "There is nothing new in this copy.")
        self.merge.setEnabled(not found.empty)
        lines = [*map(renamed_words, found.renamed), *map(stay_words, found.stay)]
        if len(lines) > _LINES + 1:
            lines = [*lines[:_LINES], worded("desk.more-like-these", count=len(lines) - _LINES)]
        self.more.setText("\n".join(map(capital, lines)))
        self.more.setVisible(bool(lines))
        self._show_differences()
        (self.table if found.differences else self.merge if new else self.away).setFocus()

    def _show_differences(self) -> None:
        found = self._found.differences if self._found is not None else ()
        for part in (self.both, self.table, self.one, self.swap):
            part.setVisible(bool(found))
        self.both.setText("Both copies changed these. The later value stands unless you choose.")
        self.table.show_rows(found)

    def _on_picked(self, one: TwoValues) -> None:
        self.one.setText(both_words(one, self._desk.journal.zone))

    def _on_swap(self, _row: object = None) -> None:
        one = self.table.current()
        if one is not None:
            self._chosen ^= {one}
            self._show_differences()

    def _on_merge(self) -> None:
        """In the background, so that sensors and timers go on; they wait for no lock meanwhile."""
        self.leaving.emit()
        journal = self._desk.journal
        choices = {(one.noun, one.uuid, one.column) for one in self._chosen}
        self._say_merging(True)
        task = self._merging = self._desk.work.start(
            "merge", _merged, journal.path, journal.token, self._path, self._desk.clock(), choices,
            long=True,
        )  # fmt: skip
        task.words = "Merging another copy"
        task.finished.connect(self._on_merged)
        task.failed.connect(self._on_failed)

    def _say_merging(self, merging: bool) -> None:
        self._desk.journal.wait_at_most(WHILE_WRITTEN_S if merging else BUSY_S)
        self.swap.setEnabled(not merging)
        self.merge.setEnabled(not merging)
        self.table.setEnabled(not merging)
        self.away.setText("Stop" if merging else "Cancel")
        if merging:
            self.comes.setText("Merging. A backup is made first.")

    def _on_merged(self, found: tuple[Merge, list[Change]]) -> None:
        done, changes = found
        self._merging = None
        self._say_merging(False)
        for change in changes:
            self._desk.journal.tell(change)
        which = "desk.merged" if done.backup is None else "desk.merged-after-backup"
        backup = None if done.backup is None else done.backup.path
        file, came = Path(self._path).name, came_words(done)
        self.merged.emit(worded(which, file=file, came=came, backup=backup))
        self.accept()

    def reject(self) -> None:
        """Close it; while it merges, stop that instead, and it closes once that has ended."""
        if self._merging is None:
            super().reject()
            return
        self._merging.break_off()
        self.comes.setText("Stopping.")

    def _on_failed(self, error: Exception) -> None:
        if self._merging is not None:
            self._merging = None
            self._say_merging(False)
        self.comes.say(text_of(error), wrong=True)
        self.merge.setEnabled(isinstance(error, KeepingError) and error.id == STOPPED)


def _field(one: TwoValues) -> str:
    return label(one.column)


def _look(journal: Journal, path: str, _state: object) -> Merge:
    with Journal.open(path, read_only=True) as other:
        return journal.merging(other)


def _merged(
    path: Path, token: str, other_path: str, at_ms: int, choices: Choices, state: State
) -> tuple[Merge, list[Change]]:  # fmt: skip
    """Merge on a connection of this thread's own, as the window's act; and what changed."""
    changes: list[Change] = []
    with (
        Journal.open(path, token=token) as journal,
        Journal.open(other_path, read_only=True) as other,
    ):
        journal.listen(changes.append)
        return journal.merge(other, at_ms, choices, state.stopped), changes
