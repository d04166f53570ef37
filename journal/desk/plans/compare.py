"""Two versions of a plan in one view: what was, what is, line by line."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, QObject, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QWidget

from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TEXT, colours_of, font
from journal.wording import worded
from journal.wording.plan_changes import ADDED, GONE, MOVED, SAME, Difference, count_words

_WORDS = {ADDED: "new", GONE: "gone", MOVED: "moved", SAME: ""}


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
                Column("was", _was_of, stretch=True, draw=self._draw_was),
                Column("is", _now_of, stretch=True, draw=self._draw_now),
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
        said = [count_words(found)]
        said += [worded("desk.others-the-same", same=same)] if news and same else []
        self.message.setText(worded("desk.versions-compared", said=said))
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

    def _draw_was(self, painter: QPainter, box: QRect, one: Difference) -> None:
        self._draw(painter, box, one.was or _WORDS.get(one.how, ""), not one.was, "quiet")

    def _draw_now(self, painter: QPainter, box: QRect, one: Difference) -> None:
        words = one.now or (_WORDS[GONE] if one.how == GONE else "")
        self._draw(painter, box, words, not one.now, "ink")

    def _draw(self, painter: QPainter, box: QRect, words: str, aside: bool, role: str) -> None:
        painter.setFont(font(SMALL if aside else TEXT))
        painter.setPen(getattr(colours_of(self.table), "quiet" if aside else role))
        inner = box.adjusted(3 * STEP, 0, -3 * STEP, 0)
        text = painter.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, inner.width())
        painter.drawText(inner, Qt.AlignmentFlag.AlignVCenter, text)


def _label_of(one: Difference) -> str:
    return one.label


def _was_of(one: Difference) -> str:
    return one.was


def _now_of(one: Difference) -> str:
    return one.now
