"""The left page of Compare: what was different, and what the make is compared with."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.buttons import WordButton
from journal.desk.charts.marks import Mark
from journal.desk.compare.facts import SCALE, FactsView, place_scene
from journal.desk.form.fields import Fields
from journal.desk.form.line_field import UNTITLED, FieldStyle
from journal.desk.form.readers import AsTypedField
from journal.desk.form.spec import CHOICE, Field, FieldContext
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.tables import Column, RowsView
from journal.desk.theme import SMALL, STEP, TITLE
from journal.findings.different import Different, standing_out
from journal.reports.compared_words import CompareHead
from journal.reports.comparison_choice import HAND, TEXT, ComparisonChoice
from journal.wording import text_of, worded
from journal.wording.compare import by_chance_text, fact_text, range_text
from journal.wording.comparison_choice import orders_offered, rules_offered, times_offered

_CHOICES = (
    Field("by", "Compared with", CHOICE), Field("moment", "Lined up at", CHOICE),
    Field("order", "In order of", CHOICE), Field("time", "Time", CHOICE),
)  # fmt: skip


class ComparePage(QWidget):
    """Shows what was different and the choice; `chosen` carries a part of it and its key."""

    chosen = Signal(str, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.about = Label("", role="quiet", wrap=True)
        self.title = Label("", TITLE, bold=True, wrap=True)
        self.failed = Label("", role="attention", wrap=True)
        self.how_many = Label("", wrap=True)
        self.facts = FactsView()
        self.left = Label("", role="quiet", wrap=True)
        self.fold = WordButton("")
        self.fold.setCheckable(True)
        self.fold.toggled.connect(self._on_fold)
        self.by_chance = Label("", SMALL, role="quiet", wrap=True)
        self.rest = RowsView(
            "Every fact and what is usual",
            [
                Column("fact", _name_of, stretch=True),
                Column("this time", _here_of, right=True),
                Column("usual", _usual_of, right=True, quiet=True, spare=True),
                Column("less · more", _z_of, width=SCALE // 2, marks=_z_marks, spare=True),
            ],
        )
        style = FieldStyle(title=SMALL)
        self._fields = Fields(_CHOICES, FieldContext(self, style=style), self)
        self.choices = self._fields.choices
        for name, made in self._fields.made.items():
            made.text_changed.connect(partial(self.chosen.emit, name))
        makes = Field("makes", "Makes to compare with")
        self._makes = AsTypedField(makes, FieldContext(self, style=UNTITLED))
        self.line = self._makes.line
        self.line.editingFinished.connect(self._on_line)
        self.which = Label("", SMALL, role="quiet", wrap=True)
        self._choice = ComparisonChoice()
        self._build()

    def _build(self) -> None:
        column = in_column(
            self.about,
            self.title,
            self.failed,
            self.how_many,
            STEP,
            self.facts,
            self.left,
            self.fold,
            self.by_chance,
            (self.rest, 1),
            of=self,
            margins=(8 * STEP, 5 * STEP, 6 * STEP, 4 * STEP),
            gap=2 * STEP,
        )
        self.rest.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.rest.hide()
        self.by_chance.hide()
        self.spring = QWidget()
        column.addWidget(self.spring, 1)
        column.addWidget(Hairline())
        grid = QGridLayout()
        grid.setHorizontalSpacing(4 * STEP)
        grid.setVerticalSpacing(STEP)
        for number, made in enumerate(self._fields.made.values()):
            grid.addWidget(made, number // 2, number % 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        column.addLayout(grid)
        column.addWidget(self._makes)
        column.addWidget(self.which)

    def show_head(self, head: CompareHead) -> None:
        """The sentence and what it is said by."""
        self.about.setText(head.about)
        self.title.setText(head.title)
        self.failed.say_if_any(head.failed, wrong=True)
        self.how_many.setText(head.how_many)
        self.left.say_if_any("\n".join(line for line in head.left if line))

    def show_rows(self, rows: Sequence[Different]) -> None:
        """What was different: three at most, the rest folded."""
        unusual = standing_out(rows)
        self.facts.show_rows(unusual)
        rest = [row for row in rows if row not in unusual and not row.fact.kind]
        self.rest.show_rows(rest)
        judged = [row for row in rest if row.z is not None]
        usual = sum(not row.unusual for row in judged)
        words = (
            worded("desk.as-usual", usual=usual)
            if unusual and judged
            else worded("desk.all-facts", facts=len(rest))
        )
        self.fold.setText(words)
        self.fold.updateGeometry()
        self.fold.setVisible(bool(rest))
        self.by_chance.setText(by_chance_text(rows) if judged else "")
        self._on_fold(self.fold.isChecked())

    def show_choice(
        self, choice: ComparisonChoice, moments: Sequence[tuple[str, str]], which: str
    ) -> None:
        """How the make is compared; `which` says which makes that are."""
        self._choice = choice
        self.choices["by"].offer(rules_offered(), choice.by)
        self.choices["moment"].offer(moments, choice.moment)
        self.choices["order"].offer(orders_offered(), choice.order)
        self.choices["time"].offer(times_offered(), choice.time)
        self.choices["moment"].setEnabled(choice.time == "as-it-was")
        self._makes.setVisible(choice.by in (TEXT, HAND))
        hint = "goat >7 2026" if choice.by == TEXT else "codes, such as HL-0019 HL-0027"
        self.line.setPlaceholderText(hint)
        if not self.line.hasFocus() or choice.by not in (TEXT, HAND):
            self.line.setText(self._line_text())
        self.which.say_if_any(which)

    def ask_line(self) -> None:
        """Go to the line in which makes are named."""
        self.line.setFocus()
        self.line.end(False)

    def _line_text(self) -> str:
        made = " ".join(self._choice.makes)
        return self._choice.text if self._choice.by == TEXT else made

    def _on_line(self) -> None:
        if self._makes.isVisible() and self.line.text() != self._line_text():
            self.chosen.emit("text" if self._choice.by == TEXT else "makes", self.line.text())

    def _on_fold(self, shown: bool) -> None:
        there = bool(self.rest.rows)
        self.rest.setVisible(shown and there)
        self.by_chance.setVisible(shown and there and bool(self.by_chance.text()))
        self.spring.setVisible(not (shown and there))
        self.fold.setAccessibleDescription("open" if shown else "folded")


def _z_marks(row: Different, wide: float, high: float) -> list[Mark]:
    return [] if row.z is None else [place_scene((0, wide), high / 2, row)]


def _name_of(row: Different) -> str:
    name = text_of(row.fact.what)
    return f"▲ {name}" if row.unusual else name


def _here_of(row: Different) -> str:
    return fact_text(row.fact)


def _usual_of(row: Different) -> str:
    return range_text(row).removeprefix("usual ")


def _z_of(row: Different) -> str:
    if row.z is None:
        return ""
    which = "desk.more-than-usual" if row.z > 0 else "desk.less-than-usual"
    return worded(which if row.unusual else "wording.why-as-usual")
