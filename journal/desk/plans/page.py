"""The left page of the plans: the list, and the sheet of the one picked, written in place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button, WordButton
from journal.desk.cells import EDGE, cell_text
from journal.desk.charts.marks import BoxMark, DotMark, Mark
from journal.desk.form.filter_line import FilterLine
from journal.desk.form.readers import AsTypedField, QuantityField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Hairline, Label, plain_tip
from journal.desk.layouts import in_column, in_row
from journal.desk.plans.compare import CompareView
from journal.desk.plans.milk_field import MilkField
from journal.desk.plans.outcome import Outcome
from journal.desk.plans.stage_table import StageTable
from journal.desk.plans.stage_words import StageWords
from journal.desk.plans.title import Title
from journal.desk.tables import ROW, Column, RowsView
from journal.desk.theme import SMALL, STEP, scaled
from journal.records.plans import Plan
from journal.wording import worded
from journal.wording.dates import clock_hint
from journal.wording.keys import key_of
from journal.wording.plan_changes import Difference
from journal.wording.plan_lines import SheetLine
from journal.wording.plan_sheet import in_full

_LIST_WIDTH = 50 * STEP
_ROOMY = 150 * STEP  # from this width on there is room for more words
_TALL = 160 * STEP


@dataclass(frozen=True)
class Listed:
    """A plan in the list, or a draft of one (`plan` None: it has no stage yet). `key` names its
    draft, `changed` says that there is one; `first_builtin` is the first of those that come
    along."""

    plan: Plan | None
    saved: bool
    first_builtin: bool = False
    key: str = ""
    changed: bool = False
    called: str = ""

    @property
    def name(self) -> str:
        """What it is called in the list."""
        return self.called or (self.plan.name if self.plan is not None else worded("desk.new-plan"))


class PlansPage(QWidget):
    """Shows the plans and one of them as a sheet. `picked` carries a Listed, `stage_picked` a
    row of the draft; `milk`, `fat`, `mould` and `day` are the fields."""

    picked = Signal(object)
    stage_picked = Signal(int)
    start_asked = Signal()
    save_asked = Signal()
    fresh_asked = Signal()
    compare_asked = Signal()

    def __init__(self, text_of: Callable[[int, str], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._plan: Plan | None = None
        self._litres = 0.0
        name = Column("plan", _name_of, stretch=True, marks=self._name_marks)
        self.filter = FilterLine("Find a plan", "Find a plan", "No plan", 8 * STEP)
        self.list = RowsView("Plans", [name], in_order=True,
                             findable=_found_by, filter_line=self.filter)  # fmt: skip
        self._widen_list(scaled(_LIST_WIDTH))
        self.about = Label("", role="quiet", wrap=True)
        self.title = Title()
        around = FieldContext(self)
        self.milk = MilkField(self)
        self.fat = QuantityField(Field("fat", "Fat", "percent", "%"), around)
        self.mould = QuantityField(Field("mould", "Mould", "length", "mm"), around)
        day = Field("day", "Start or end", name="The day", hint=clock_hint())
        self.day = AsTypedField(day, around)
        self.stages = StageTable(text_of, ROW)
        self.compare = CompareView(ROW)
        self.words = StageWords()
        self.stage_words = self.words.label
        self.outcome = Outcome()
        self.schedule = WordButton("Add a schedule…", size=SMALL)
        self.schedule.setToolTip(plain_tip(worded("desk.schedule-tip")))
        self.care = WordButton("Add care…", size=SMALL)
        self.care.setToolTip(plain_tip("A line of care, tasting or eating from a menu"))
        self.below = WordButton("", size=SMALL)
        self.below.hide()
        self.fresh = WordButton("New plan")
        self.fresh.setToolTip(plain_tip(key_of("new_here")))
        self.start = Button("Start a make", MAIN, "main")
        self.save = Button("Save", key="save")
        self.new = Button("Changes", key="compare")
        self._build()
        self._connect()

    def _connect(self) -> None:
        self.list.picked.connect(self.picked)
        self.list.opened.connect(self._on_opened)
        self.stages.picked.connect(self._on_stage)
        self.compare.table.picked.connect(self._on_difference)
        self.words.left.connect(self.stages.setFocus)
        self.stages.care_hidden.connect(self._on_care_hidden)
        self.stages.grown.connect(self._on_grown)
        self.below.clicked.connect(self._on_below)
        self.start.clicked.connect(self.start_asked)
        self.save.clicked.connect(self.save_asked)
        self.fresh.clicked.connect(self.fresh_asked)
        self.new.clicked.connect(self.compare_asked)

    def _build(self) -> None:
        lists = in_column(self.filter, (self.list, 1), _inset(self.fresh), gap=STEP)
        column = in_column(_inset(self.about, self.title), STEP, self._fields(), STEP, gap=STEP)
        self.tables = QStackedWidget()
        self.tables.addWidget(self.stages)
        self.tables.addWidget(self.compare)
        column.addWidget(self.tables, 100)
        column.addSpacing(STEP)
        row_below = in_row(
            self.below,
            self.care,
            self.schedule,
            None,
            margins=(3 * STEP, 0, 3 * STEP, 0),
            gap=4 * STEP,
        )
        column.addLayout(row_below)
        column.addLayout(_inset(Hairline(), self.words, self.outcome))
        column.addSpacing(2 * STEP)
        column.addStretch(1)
        column.addLayout(self._foot())
        in_row(
            lists,
            (column, 1),
            of=self,
            margins=(5 * STEP, 4 * STEP, 3 * STEP, 4 * STEP),
            gap=3 * STEP,
        )
        fields = (self.milk, self.fat, self.mould, self.day)
        for field in fields:
            field.no_proxy()  # in an order of its own Tab would come round to these alone
        lines = [field.line for field in fields]
        order = [self.list, *lines, self.stages, self.start, self.save, self.new]
        for before, after in pairwise(order):
            self.setTabOrder(before, after)

    def _foot(self) -> QHBoxLayout:
        return in_row(
            self.start, self.save, self.new, None, margins=(3 * STEP, 0, 3 * STEP, 0), gap=2 * STEP
        )

    def _fields(self) -> QHBoxLayout:
        top = Qt.AlignmentFlag.AlignTop
        return in_row(
            (self.milk, 0, top),
            (self.fat, 0, top),
            (self.mould, 0, top),
            (self.day, 1, top),
            margins=(3 * STEP, 0, 3 * STEP, 0),
            gap=3 * STEP,
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        roomy = event.size().width() >= scaled(_ROOMY)
        self._widen_list(scaled(_LIST_WIDTH if roomy else _LIST_WIDTH * 4 // 5))
        for field, least in ((self.milk, 18), (self.fat, 15), (self.mould, 22)):
            field.setFixedWidth(scaled((25 if roomy else least) * STEP))
        self.about.setVisible(event.size().height() >= scaled(_TALL))

    def _widen_list(self, width: int) -> None:
        self.list.setFixedWidth(width)
        self.filter.setFixedWidth(width)

    @property
    def sentences(self) -> int:
        """How many sentences there is room for below the table."""
        return 4 if self.height() >= scaled(170 * STEP) else 2

    # Go to

    def set_milk(self) -> None:
        """Go to the milk."""
        self.milk.begin()

    def set_day(self) -> None:
        """Go to the day."""
        self.day.begin()

    # Fill

    def finish(self) -> None:
        """Keep the cell or the words that are being typed."""
        self.stages.finish()
        self.words.finish()

    def show_plans(self, listed: list[Listed], key: str) -> None:
        """Show the list, standing on the plan of that key."""
        self.list.blockSignals(True)
        self.list.show_rows(listed)
        self.list.go_to(lambda one: one.key == key)
        self.list.blockSignals(False)

    def show_sheet(self, lines: list[SheetLine], plan: Plan | None, litres: float) -> None:
        """Show the lines of a draft and the words of the current stage."""
        self._plan, self._litres = plan, litres
        self.stages.show_lines(lines)
        self.care.setVisible(plan is not None)
        self.schedule.setVisible(plan is not None and not any(line.care for line in lines))
        self._on_grown()
        if not self.stages.writing:
            self._say_stage(self.stages.current())

    def show_compare(self, on: bool) -> None:
        """Show what differs between two versions, or the stages again."""
        self.tables.setCurrentIndex(int(on))
        (self.compare.table if on else self.stages).setFocus()
        if not on:
            self._say_stage(self.stages.current())

    @property
    def comparing(self) -> bool:
        """Two versions are shown beside each other."""
        return self.tables.currentIndex() == 1

    @property
    def stage(self) -> int:
        """The place of the current stage, -1 for none."""
        if self.comparing:
            one = self.compare.table.current()
            return -1 if one is None or one.new is None else one.new
        row = self.stages.current()
        return -1 if row is None else row.index

    # Handlers

    def _on_grown(self) -> None:
        """The table takes what its lines need, and leaves the rest to what stands below."""
        high = self.stages.whole_height
        self.stages.setMaximumHeight(high)
        self.tables.setMaximumHeight(max(high, scaled(7 * ROW)))

    def _on_opened(self, _listed: Listed) -> None:
        self.set_milk()

    def _on_care_hidden(self, count: int, words: str) -> None:
        """Care that is out of sight is said, with a way to it."""
        named = f": {words}" if self.width() >= scaled(_ROOMY) else ""
        self.below.setText(worded("desk.care-below", lines=count, named=named))
        self.below.setAccessibleName(self.below.text())
        self.below.updateGeometry()
        self.below.setVisible(count > 0 and not self.comparing)

    def _on_below(self) -> None:
        """Go to the last line of care, so that as much of it as there is room for is seen."""
        self.stages.show_care()

    def _on_stage(self, line: SheetLine) -> None:
        self._say_stage(line)
        self.stage_picked.emit(line.row)

    def _on_difference(self, one: Difference) -> None:
        self.say_difference(one)
        self.stage_picked.emit(-1 if one.new is None else one.new)

    def say_difference(self, one: Difference | None) -> None:
        """A line that differs, in full."""
        if one is None:
            self.words.say("")
            return
        before, now = worded("desk.before-was", was=one.was), worded("desk.now-is", now=one.now)
        parts = [before if one.was else "", now if one.now else ""]
        self.words.say(" ".join(part for part in parts if part))

    def _say_stage(self, line: SheetLine | None) -> None:
        if line is None or self.comparing:
            return
        if self._plan is not None and 0 <= line.index < len(self._plan.stages):
            self.words.say(in_full(self._plan.stages[line.index], self._litres))
        elif line.full:
            self.words.say(line.full)
        elif line.index < 0:
            self.words.say(
                worded("desk.plan-keys"),
                quiet=True,
            )

    def _name_marks(self, listed: Listed, wide: float, high: float) -> list[Mark]:
        here, edge = self.list.current() is listed, STEP + 2 * STEP * listed.changed
        out: list[Mark] = [cell_text(listed.name, wide, high, bold=here, edge=edge)]
        if listed.first_builtin:
            out.append(BoxMark((EDGE, wide - EDGE), (0, 1), "hairline"))
        if listed.changed:
            out.append(DotMark(wide - 2 * STEP + 2, high / 2, 6, "ink"))
        return out


def _inset(*labels: QWidget) -> QVBoxLayout:
    """Words in line with the words in a table's cells."""
    return in_column(*labels, margins=(3 * STEP, 0, 3 * STEP, 0), gap=STEP)


def _found_by(listed: Listed) -> str:
    """What a plan is found by: its name, its style, whose milk, its culture."""
    plan = listed.plan
    own = "mine" if listed.saved else ""
    of = () if plan is None else (plan.style, plan.animal, plan.culture_type, "culture")
    return " ".join((_name_of(listed), *of, own))


def _name_of(listed: Listed) -> str:
    return worded("desk.a-draft-of", name=listed.name) if listed.changed else listed.name
