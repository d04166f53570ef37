"""The right page of Compare: the moments to align at, the chart, what it leaves out."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.curves.align import MOMENTS
from journal.desk.buttons import WordButton
from journal.desk.labels import Label
from journal.desk.side.chart import SideChart
from journal.desk.theme import SMALL, STEP
from journal.reports.comparison import Compared
from journal.wording.compare import left_out_words, too_few_words

_ROOMY = 125 * STEP  # from this width on the moments stand wide


class SidePicture(QWidget):
    """Shows a Compared. `moment_asked` carries the name of a moment."""

    moment_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.chart = SideChart()
        self.moments: dict[str, WordButton] = {}
        self.reads = Label("", SMALL, role="quiet", wrap=True)
        row = self._moments_row = QHBoxLayout()
        row.setContentsMargins(4 * STEP, 0, 0, 0)
        self._title = Label("aligned at", SMALL, role="quiet")
        row.addWidget(self._title)
        for index, name in enumerate(MOMENTS):
            button = WordButton(f"{index + 1} {name}", size=SMALL)
            button.setAccessibleName(f"Align at {name}")
            button.setObjectName(name)
            button.setCheckable(True)
            button.clicked.connect(self._on_moment)
            self.moments[name] = button
            row.addWidget(button)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(4 * STEP, 4 * STEP, 8 * STEP, 3 * STEP)
        column.setSpacing(STEP)
        column.addLayout(row)
        column.addWidget(self.chart, 1)
        words = QHBoxLayout()
        words.setContentsMargins(4 * STEP, 0, 0, 0)
        words.addWidget(self.reads)
        column.addLayout(words)

    def show_moment(self, moment: str, there: list[str]) -> None:
        """Which moment all are aligned at, and which this make has come to."""
        self._title.setVisible(bool(there))
        for name, button in self.moments.items():
            button.setChecked(name == moment)
            button.setVisible(name in there)

    def show_compared(self, compared: Compared | None) -> None:
        """Draw this; None empties the page."""
        self.chart.show_compared(compared)
        words = ""
        if compared is not None:
            parts = [compared.problem, too_few_words(compared.comparison_set)]
            parts.append(left_out_words(compared.left_out, compared.asked.moment))
            words = " ".join(part for part in parts if part)
        self.reads.setText(words)
        self.reads.setVisible(bool(words))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        roomy = event.size().width() >= _ROOMY
        self._moments_row.setSpacing((4 if roomy else 2) * STEP)
        self._title.setMaximumWidth(_ROOMY if roomy else 0)

    def _on_moment(self) -> None:
        self.moment_asked.emit(self.sender().objectName())
