"""The left page of Compare: the other makes to choose, and what was different this time."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QModelIndex, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.curves.unusual import Different
from journal.desk.labels import Label
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TITLE, colours_of
from journal.keeping.makes import MakeRow
from journal.quantities.written import write
from journal.reports.comparison import Compared
from journal.wording import text_of
from journal.wording.compare import FAR, fact_text, number_text, standing_out
from journal.wording.dates import day_of_year

_ROW = 7 * STEP
_LIST_WIDTH, _NARROW_LIST = 57 * STEP, 32 * STEP
_ROOMY = 145 * STEP  # from this width on every column is shown
_MOST_Z = 4.0  # spreads shown either side of usual
_EIGHT_IN_TEN = 1.2816  # spreads of a normal spread that hold 8 in 10


@dataclass(frozen=True)
class Head:
    """What stands at the top: the make, its plan, its day, its milk."""

    code: str
    plan: str
    day: str
    milk_l: float


class CompanyList(RowsView[MakeRow]):
    """The makes there are. Space takes the one at hand in or out: `toggled` carries it."""

    toggled = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        self.chosen: set[int] = set()
        columns = [
            Column("", self._in_text, draw=self._draw_check),
            Column("make", _code_of),
            Column("started", _day_of, quiet=True, stretch=True, sort=_began),
        ]
        super().__init__("Other makes", columns, parent, row_height=_ROW)
        self.setAccessibleDescription("Space adds or removes a make")
        self.clicked.connect(self._on_clicked)

    def show_chosen(self, chosen: set[int]) -> None:
        """Which makes are in the other makes."""
        self.chosen = set(chosen)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and self.current() is not None:
            self.toggled.emit(self.current())
            return
        super().keyPressEvent(event)

    def _on_clicked(self, index: QModelIndex) -> None:
        if index.column() == 0:
            self.toggled.emit(self.rows_model.rows[index.row()])

    def _in_text(self, row: MakeRow) -> str:
        return "✓" if row.id in self.chosen else "–"

    def _draw_check(self, painter: QPainter, box: QRect, row: MakeRow) -> None:
        c = colours_of(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        square = QRectF(box.x() + 3 * STEP + 0.5, box.center().y() - 6.5, 14, 14)
        taken = row.id in self.chosen
        painter.setPen(QPen(c.ink if taken else c.past_line, 1))
        painter.setBrush(c.ink if taken else c.paper)
        painter.drawRoundedRect(square, 2, 2)
        if taken:
            painter.setPen(QPen(c.paper, 1.8))
            x, y = square.x(), square.y()
            painter.drawPolyline(
                [QPointF(x + 3, y + 7), QPointF(x + 6, y + 10.5), QPointF(x + 11, y + 4)]
            )


class SidePage(QWidget):
    """Shows the other makes and the differences. `toggled` and `picked` carry a MakeRow."""

    toggled = Signal(object)
    picked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.comparison_set = CompanyList()
        self.comparison_set.toggled.connect(self.toggled)
        self.comparison_set.picked.connect(self.picked)
        self.count = Label("", SMALL, role="quiet", wrap=True)
        self.about = Label("", role="quiet", wrap=True)
        self.title = Label("", TITLE, bold=True, wrap=True)
        self.stands_out = Label("", wrap=True)
        self.rows = RowsView(
            "What was different this time",
            [
                Column("different", _name_of, stretch=True),
                Column("this time", _here_of, right=True),
                Column("usual", _usual_of, right=True, quiet=True),
                Column("less · more", _z_of, width=18 * STEP, draw=self._draw_z),
            ],
            row_height=_ROW,
        )
        self._build()

    def _build(self) -> None:
        beside = QVBoxLayout()
        beside.setSpacing(2 * STEP)
        beside.addWidget(self.comparison_set, 1)
        count = QVBoxLayout()
        count.setContentsMargins(3 * STEP, 0, 0, 0)
        count.addWidget(self.count)
        beside.addLayout(count)
        for table in (self.comparison_set, self.rows):
            table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        head = QVBoxLayout()
        head.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        head.setSpacing(STEP)
        head.addWidget(self.about)
        head.addWidget(self.title)
        head.addWidget(self.stands_out)
        column = QVBoxLayout()
        column.setSpacing(3 * STEP)
        column.addLayout(head)
        column.addWidget(self.rows, 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(5 * STEP, 4 * STEP, 3 * STEP, 4 * STEP)
        row.setSpacing(3 * STEP)
        row.addLayout(beside)
        row.addLayout(column, 1)
        self.setTabOrder(self.comparison_set, self.rows)
        self._make_room(_ROOMY)

    def _make_room(self, width: int) -> None:
        """In a narrow window the days and the dots give way to the words."""
        roomy = width >= _ROOMY
        self.comparison_set.setColumnHidden(2, not roomy)
        self.rows.setColumnHidden(3, not roomy)
        self.comparison_set.setFixedWidth(_LIST_WIDTH if roomy else _NARROW_LIST)
        self.count.setFixedWidth((_LIST_WIDTH if roomy else _NARROW_LIST) - 3 * STEP)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._make_room(event.size().width())

    # Fill

    def show_head(self, head: Head) -> None:
        """Which make this is about."""
        self.about.setText(f"{head.plan}, {write(head.milk_l, 'volume', digits=1)}")
        self.title.setText(f"{head.code}, {head.day}")

    def show_company(self, rows: list[MakeRow], chosen: set[int]) -> None:
        """The makes that can be taken in, and those that are; stays on the make at hand."""
        here = self.comparison_set.current()
        self.comparison_set.blockSignals(True)
        self.comparison_set.show_rows(rows)
        if here is not None:
            self.comparison_set.stand_on(lambda row: row.id == here.id)
        self.comparison_set.blockSignals(False)
        self.show_chosen(chosen)

    def show_chosen(self, chosen: set[int]) -> None:
        """Which makes are in the other makes."""
        self.comparison_set.show_chosen(chosen)
        there = len(self.comparison_set.rows)
        if not there:
            words = (
                "No other make of this plan has readings yet. When one has, it will appear here."
            )
        else:
            words = (
                f"{len(chosen)} of {there} chosen. Space adds or removes one; Ctrl ⏎ shows it "
                "instead."
            )
        self.count.setText(words)

    def show_compared(self, compared: Compared | None) -> None:
        """What was different; None while it is reckoned."""
        rows = () if compared is None else compared.rows
        self.rows.show_rows(rows)
        self.rows.scrollToTop()
        alone = not self.comparison_set.rows
        if compared is None:
            self.stands_out.setText("Reading the other makes…")
        elif alone:
            self.stands_out.setText("Nothing to compare it with yet.")
        else:
            self.stands_out.setText(standing_out(rows, compared.comparison_set))

    def _draw_z(self, painter: QPainter, box: QRect, row: Different) -> None:
        """The usual range as a wash, this time as a dot; further out than shown at the end."""
        c = colours_of(self.rows)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        inner = QRectF(box).adjusted(3 * STEP, 0, -3 * STEP, 0)
        middle, unit = inner.center(), inner.width() / 2 / _MOST_Z
        if row.z is None:
            return
        half = _EIGHT_IN_TEN * unit
        usual = QRectF(middle.x() - half, middle.y() - 5, 2 * half, 10)
        painter.fillRect(usual, c.past)
        painter.setPen(QPen(c.past_line, 1))
        painter.drawLine(QPointF(inner.left(), middle.y()), QPointF(inner.right(), middle.y()))
        x = middle.x() + max(-_MOST_Z, min(_MOST_Z, row.z)) * unit
        far = abs(row.z) >= FAR
        painter.setPen(QPen(c.ink if far else c.quiet, 1.6))
        painter.setBrush(c.ink if far else c.paper)
        painter.drawEllipse(QPointF(x, middle.y()), 4.5, 4.5)


def _code_of(row: MakeRow) -> str:
    return row.code


def _day_of(row: MakeRow) -> str:
    return "failed" if row.failed else day_of_year(row.started_ms, row.zone)


def _began(row: MakeRow) -> int:
    return row.started_ms


def _name_of(row: Different) -> str:
    return text_of(row.what)


def _here_of(row: Different) -> str:
    return fact_text(row.what, row.unit, row.value)


def _usual_of(row: Different) -> str:
    return "" if row.usual is None else number_text(row.what, row.unit, row.usual)


def _z_of(row: Different) -> str:
    if row.z is None:
        return ""
    return "more" if row.z > FAR else "less" if row.z < -FAR else "as usual"
