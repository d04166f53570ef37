"""The causes as rows: what was so, beside the usual, what the books and the own makes say."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from journal.desk.charts.marks import BoxMark, Scene
from journal.desk.drawn import PaintedWidget
from journal.desk.labels import Hairline, Label
from journal.desk.theme import LEAD, SMALL, STEP, TEXT
from journal.desk.why.strip import HIGH, cause_scene
from journal.findings.why import LIKELY, SuspectedCause
from journal.wording.why import (
    cause_heading,
    here_words,
    literature_words,
    own_makes_words,
    plan_words,
    published_words,
    usual_words,
)

_BAR = STEP
_ROLES = ("ink", "done", "past_line")  # of the bar, the fainter the less likely
_WAYS: dict[int, int] = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}


class CauseRow(QWidget):
    """One cause. `chosen` says that it was selected; `gone` carries +1 or -1 for the next."""

    chosen = Signal(object)
    gone = Signal(int)

    def __init__(self, suspect: SuspectedCause, index: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.suspect = suspect
        self.is_chosen = False
        self._bar = PaintedWidget(self, partial(_bar_scene, _ROLES[min(index, 2)]))
        self.setAutoFillBackground(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        likely = suspect.likelihood == LIKELY
        self.heading = Label(cause_heading(suspect), LEAD if likely else TEXT, bold=True, wrap=True)
        self.here = Label(here_words(suspect), right=True)
        self.usual = Label(usual_words(suspect), SMALL, role="quiet", right=True)
        self.literature = Label(literature_words(suspect), SMALL, role="planned", wrap=True)
        words = own_makes_words(suspect.own) if suspect.rows[0].id else ""
        self.own = Label(words, SMALL, role="planned", wrap=True)
        beside = "; ".join(filter(None, (plan_words(suspect), published_words(suspect))))
        self.beside = Label(beside, SMALL, role="quiet", right=True)
        self._build()
        parts = (self.heading, self.here, self.usual, self.beside, self.literature, self.own)
        self.setAccessibleName(". ".join(p.text() for p in parts if p.text()))

    def _build(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(_BAR + 3 * STEP, 2 * STEP, 2 * STEP, 2 * STEP)
        grid.setHorizontalSpacing(3 * STEP)
        grid.setVerticalSpacing(STEP)
        grid.setColumnStretch(0, 1)
        grid.addWidget(self.heading, 0, 0)
        grid.addWidget(self.here, 0, 1)
        kind = self.suspect.here is not None and bool(self.suspect.here.kind)
        if kind or self.suspect.here is None:
            grid.addWidget(self.usual, 1, 1)
        else:
            self.strip = PaintedWidget(
                self, lambda wide, _high: cause_scene(self.suspect, wide), HIGH
            )
            grid.addWidget(self.strip, 1, 0)
            words = QVBoxLayout()
            words.setSpacing(0)
            for label in (self.usual, self.beside):
                if label.text():
                    words.addWidget(label)
            grid.addLayout(words, 1, 1)
        row = 2
        for label in (self.literature, self.own):
            if label.text():
                grid.addWidget(label, row, 0, 1, 2)
                row += 1

    def choose(self, chosen: bool) -> None:
        """Stand on it, or no more."""
        self.is_chosen = chosen
        role = QPalette.ColorRole.AlternateBase if chosen else QPalette.ColorRole.Window
        self.setBackgroundRole(role)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.chosen.emit(self)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        super().mousePressEvent(event)
        self.setFocus(Qt.FocusReason.MouseFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        way = _WAYS.get(event.key())
        if way is None:
            super().keyPressEvent(event)
            return
        self.gone.emit(way)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._bar.setGeometry(0, STEP, _BAR, self.height() - 2 * STEP)


def _bar_scene(role: str, wide: float, high: float) -> Scene:
    return Scene([BoxMark((0, wide), (0, high), role)])


class WordsBlock(QWidget):
    """A heading with its rule, and sentences below it."""

    def __init__(self, title: str, lines: list[str], *, marked: bool = False) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2 * STEP, 0, 0)
        column.setSpacing(STEP)
        column.addWidget(Label(title, SMALL, role="quiet", wrap=True))
        column.addWidget(Hairline())
        inner = QVBoxLayout()
        inner.setContentsMargins(_BAR + 3 * STEP, STEP, 0, 0)
        inner.setSpacing(STEP)
        for line in lines:
            inner.addWidget(Label(f"· {line}" if marked else line, wrap=True))
        column.addLayout(inner)


class StripLegend(QWidget):
    """What the marks on a strip are."""

    def __init__(self) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        self.words = Label(
            "● this make   ▬ yours, the middle 8 of 10   ┆ plan   ▁ published", SMALL,
            role="quiet", wrap=True,
        )  # fmt: skip
        row.addWidget(self.words, 1)
