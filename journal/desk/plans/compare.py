"""Two versions of a plan in one view: what was, what is, line by line."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from journal.desk.cells import cell_text
from journal.desk.charts.marks import Mark
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TEXT
from journal.wording import worded
from journal.wording.plan_changes import CHANGED, GONE, SAME, Difference, count_words
from journal.wording.sentences import word_of


class CompareView(QWidget):
    """Shows Differences; the older version on the left, the newer on the right. `stepped` asks for
    an earlier (-1) or a later version, `left` to go back."""

    stepped = Signal(int)
    left = Signal()

    def __init__(self, row_height: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.message = Label("", SMALL, role="quiet", wrap=True)
        self.table = RowsView(
            "Changes",
            [
                Column("line", _label_of, width=20 * STEP),
                Column("was", _was_of, stretch=True, marks=_was_marks),
                Column("is", _now_of, stretch=True, marks=_now_marks),
            ],
            row_height=row_height,
            in_order=True,
        )
        self.table.installEventFilter(self)
        head = in_column(self.message, margins=(3 * STEP, 0, 3 * STEP, 0))
        in_column(head, (self.table, 1), of=self, margins=0, gap=STEP)

    def show_differences(self, found: list[Difference], older: str, newer: str) -> None:
        """Show what differs between two versions, each named."""
        model = self.table.rows_model
        model.columns[1] = replace(model.columns[1], title=older)
        model.columns[2] = replace(model.columns[2], title=newer)
        news = [one for one in found if one.how != SAME]
        same = len(found) - len(news)
        parts = [count_words(found)]
        parts += [worded("desk.others-the-same", same=same)] if news and same else []
        self.message.setText(worded("desk.versions-compared", said=parts))
        if news != self.table.rows_model.rows:
            self.table.blockSignals(True)
            self.table.show_rows(news)
            self.table.blockSignals(False)
        self.table.horizontalHeader().viewport().update()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return False
        if event.key() in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self.stepped.emit(-1 if event.key() == Qt.Key.Key_PageUp else 1)
        elif event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            return False
        return True


def _was_marks(one: Difference, wide: float, high: float) -> list[Mark]:
    words = one.was or ("" if one.how in (SAME, CHANGED) else word_of("desk.line-", one.how))
    return [cell_text(words, wide, high, "quiet", size=TEXT if one.was else SMALL)]


def _now_marks(one: Difference, wide: float, high: float) -> list[Mark]:
    if one.now:
        return [cell_text(one.now, wide, high)]
    words = word_of("desk.line-", GONE) if one.how == GONE else ""
    return [cell_text(words, wide, high, "quiet", size=SMALL)]


def _label_of(one: Difference) -> str:
    return one.label


def _was_of(one: Difference) -> str:
    return one.was


def _now_of(one: Difference) -> str:
    return one.now
