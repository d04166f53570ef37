"""The left page of the plans: the list, and the sheet of the one picked."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QPainter, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.fields import TypedField
from journal.desk.labels import Hairline, Label
from journal.desk.plans.sheet import StageRow, facts_of, in_full, rows_of
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TEXT, TITLE, colours_of, font
from journal.quantities.written import write
from journal.records.plans import Plan

_LIST_WIDTH = 42 * STEP
_ROOMY = 150 * STEP  # from this width on, words stand beside fields and button
_ROW = 7 * STEP


@dataclass(frozen=True)
class Listed:
    """A plan in the list; `first_builtin` is the first of those that come along."""

    plan: Plan
    kept: bool
    first_builtin: bool = False


class PlansPage(QWidget):
    """Shows the plans and one of them as a sheet. `picked` carries a Listed, `stage_picked` a
    place in the plan; `milk` and `fat` are the fields, `start_asked` begins a make."""

    picked = Signal(object)
    stage_picked = Signal(int)
    start_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        name = Column("plan", _name_of, stretch=True, draw=self._draw_name)
        self.list = RowsView("Plans", [name], row_height=_ROW)
        self.list.setFixedWidth(_LIST_WIDTH)
        self.list.picked.connect(self.picked)
        self.list.opened.connect(self._on_opened)
        self.about = Label("", role="quiet", wrap=True)
        self.title = Label("", TITLE, bold=True, wrap=True)
        self.milk = TypedField("Milk", "volume", "L")
        self.fat = TypedField("Fat on the label", "percent", "%")
        self.fat.line.setPlaceholderText("if known")
        self.facts = Label("", SMALL, role="quiet", wrap=True)
        self.stages = RowsView(
            "Stages",
            [
                Column("stage", _label_of, width=16 * STEP),
                Column("°C", _temp_of, right=True),
                Column("min", _minutes_of, right=True),
                Column("goes in, must be true", _words_of, quiet=True, stretch=True),
            ],
            row_height=_ROW,
        )
        self.stages.picked.connect(self._on_stage)
        self.stage_words = Label("", SMALL, wrap=True)
        self.start = Button("Start a make from this", MAIN, "Ctrl ⏎")
        self.start.clicked.connect(self.start_asked)
        self.beside = Label("", SMALL, role="quiet", wrap=True)
        self._plan: Plan | None = None
        self._build()

    def _build(self) -> None:
        row = QHBoxLayout(self)
        row.setContentsMargins(5 * STEP, 4 * STEP, 3 * STEP, 4 * STEP)
        row.setSpacing(3 * STEP)
        row.addWidget(self.list)
        column = QVBoxLayout()
        column.setSpacing(STEP)
        column.addLayout(_inset(self.about, self.title))
        column.addSpacing(2 * STEP)
        column.addLayout(self._fields())
        column.addSpacing(2 * STEP)
        column.addWidget(self.stages, 100)
        column.addSpacing(2 * STEP)
        column.addLayout(_inset(Hairline(), self.stage_words))
        column.addSpacing(2 * STEP)
        column.addStretch(1)
        foot = QHBoxLayout()
        foot.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        foot.setSpacing(4 * STEP)
        foot.addWidget(self.start)
        foot.addWidget(self.beside, 1)
        column.addLayout(foot)
        row.addLayout(column, 1)
        self.stage_words.setMinimumHeight(12 * STEP)
        self.stage_words.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.setTabOrder(self.list, self.milk.line)
        self.setTabOrder(self.milk.line, self.fat.line)
        self.setTabOrder(self.fat.line, self.stages)
        self.setTabOrder(self.stages, self.start)

    def _fields(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
        row.setSpacing(4 * STEP)
        top = Qt.AlignmentFlag.AlignTop
        self.milk.setFixedWidth(30 * STEP)
        self.fat.setFixedWidth(30 * STEP)
        row.addWidget(self.milk, 0, top)
        row.addWidget(self.fat, 0, top)
        row.addWidget(self.facts, 1, Qt.AlignmentFlag.AlignVCenter)
        return row

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        roomy = event.size().width() >= _ROOMY
        self.facts.setVisible(roomy)
        self.beside.setVisible(roomy)
        self.list.setFixedWidth(_LIST_WIDTH if roomy else _LIST_WIDTH * 3 // 4)

    # Fill

    def show_plans(self, listed: list[Listed], name: str) -> None:
        """Show the list, standing on the plan of that name."""
        names = [one.plan.name for one in listed]
        self.list.blockSignals(True)
        self.list.show_rows(listed)
        self.list.stand_on(names.index(name) if name in names else 0)
        self.list.blockSignals(False)

    def show_plan(self, listed: Listed, litres: float) -> None:
        """Show the sheet of a plan for so much milk."""
        plan = listed.plan
        fresh = self._plan is None or self._plan.name != plan.name
        self._plan = plan
        self._litres = litres
        where = f"version {plan.version}, in this journal" if listed.kept else "comes with Vatside"
        self.about.setText(f"Plan · {where}" + (f" · {plan.style}" if plan.style else ""))
        self.title.setText(f"{plan.name[:1].upper()}{plan.name[1:]}, {write(litres, 'volume')}")
        self.facts.setText(facts_of(plan, litres))
        self.stages.show_rows(rows_of(plan, litres))
        self.stages.setMaximumHeight(_ROW * (len(plan.stages) + 1) + STEP)
        if fresh:
            self.stages.stand_on(0)
            self.stages.scrollToTop()
        self._say_stage(self.stages.current())

    def say_beside(self, words: str) -> None:
        """What else runs, beside the button; "" for nothing."""
        self.beside.setText(words)

    @property
    def stage(self) -> int:
        """The place of the stage at hand."""
        row = self.stages.current()
        return -1 if row is None else row.place

    # Handlers

    def _on_opened(self, _listed: Listed) -> None:
        self.milk.line.setFocus()
        self.milk.line.selectAll()

    def _on_stage(self, row: StageRow) -> None:
        self._say_stage(row)
        self.stage_picked.emit(row.place)

    def _say_stage(self, row: StageRow | None) -> None:
        if row is not None and self._plan is not None and row.place < len(self._plan.stages):
            self.stage_words.setText(in_full(self._plan.stages[row.place], self._litres))

    def _draw_name(self, painter: QPainter, box: QRect, listed: Listed) -> None:
        c = colours_of(self.list)
        if listed.first_builtin:
            painter.fillRect(box.x() + 3 * STEP, box.y(), box.width() - 6 * STEP, 1, c.hairline)
        here = self.list.current() is listed
        painter.setFont(font(TEXT, bold=here))
        painter.setPen(c.ink)
        inner = box.adjusted(3 * STEP, 0, -STEP, 0)
        name = painter.fontMetrics().elidedText(
            listed.plan.name, Qt.TextElideMode.ElideRight, inner.width()
        )
        painter.drawText(inner, Qt.AlignmentFlag.AlignVCenter, name)


def _inset(*labels: QWidget) -> QVBoxLayout:
    """Words in line with the words in a table's cells."""
    column = QVBoxLayout()
    column.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
    column.setSpacing(STEP)
    for label in labels:
        column.addWidget(label)
    return column


def _name_of(listed: Listed) -> str:
    return listed.plan.name


def _label_of(row: StageRow) -> str:
    return row.label


def _temp_of(row: StageRow) -> str:
    return row.temp


def _minutes_of(row: StageRow) -> str:
    return row.minutes


def _words_of(row: StageRow) -> str:
    return row.words
