"""The part on the panel: who scores how, how far they agree, what so few people can do."""

from __future__ import annotations

from math import isnan

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import WordButton
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.readers import RowField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.scrollbars import SIDEWAYS, scrolled
from journal.desk.tables import ROW, Column, RowsView
from journal.desk.tastings.panel.doubles import Doubles
from journal.desk.tastings.panel.levels import Levels
from journal.desk.tastings.panel.together import Together
from journal.desk.tastings.part import TastingPart
from journal.desk.theme import LEAD, STEP, TITLE
from journal.keeping import Change
from journal.reports.panel import PanelRead, PersonRead, read_panel
from journal.wording import worded
from journal.wording.languages import translated
from journal.wording.numbers import minus, signed

_NONE = (
    "No session has been scored by two people yet. After one, this page shows who can tell cheeses "
    "apart, how far you agree, and what so many people can show."
)

_TWICE = "Two hidden cups of one cheese: the closer the scores, the more consistent"
_NO_DOUBLE = (
    "No cheese has been served twice yet. Add one twice when you set up a session, and this "
    "page shows how consistent each of you is."
)
_UNDER = (
    "The further right, the more alike the order of the cheeses. The line is where it may truly be "
    "(95 %); a hollow dot may be chance."
)
_LEVELS = (
    "Points above or below the panel, for equal wheels and days; the line is how far a second cup "
    "of the same cheese differs, where one was served."
)
_READ = (
    "Spread: how far apart someone's scores are, compared with the others (1 is the same). "
    "With others: 1 is the same order of wheels, 0 nothing in common. Repeats: "
    "the scatter of one score, in points. The dots of the picture are these correlations with the "
    "mean of the others, and Krippendorff's alpha, which a level of one's own lowers. Agreement is "
    "the intraclass correlation (Shrout and Fleiss 1979, two-way, random)."
)


def _name(row: PersonRead) -> str:
    return row.name


def _scores(row: PersonRead) -> str:
    return str(row.member.scores)


def level_text(row: PersonRead) -> str:
    """The level as it is written, with its sign."""
    return signed(row.member.level, 1)


def _apart(row: PersonRead) -> str:
    return "" if isnan(row.member.spread) else f"{row.member.spread:.1f} ×"


def _alike(row: PersonRead) -> str:
    return "" if isnan(row.member.with_others) else f"{row.member.with_others:.2f}"


def _in_tests(row: PersonRead) -> str:
    return (
        worded("wording.test-right", right=row.right, answered=row.answers) if row.answers else ""
    )


def _alpha(found: PanelRead) -> str:
    one = found.agreement
    if one is None:
        return ""
    low, high = minus(f"{one.low:.2f}"), minus(f"{one.high:.2f}")
    return worded(
        "desk.krippendorff", alpha=minus(f"{one.alpha:.2f}"), low=low, high=high,
        samples=one.samples, people=one.people,
    )  # fmt: skip


def _repeat(row: PersonRead) -> str:
    return "" if row.member.doubles == 0 else f"{row.member.repeat_sd:.1f}"


def _doubles(row: PersonRead) -> str:
    return str(row.member.doubles) if row.member.doubles else ""


class PanelPart(TastingPart):
    """Left three sentences, right their picture; the numbers are folded below it."""

    kinds = frozenset(("panel_test", "panel_set", "score", "sample", "tasting", "assessor",
                       "defect_mark", "serving"))  # fmt: skip

    def __init__(self, desk: Desk, messages: MessageBar, parent: QObject) -> None:
        super().__init__(desk, messages, parent)
        self._names: list[str] = []
        self._choice: RowField | None = None
        self.right_pages.addWidget(self._picture())
        self.pages.addWidget(self._sentences())

    def _picture(self) -> QWidget:
        """The picture, and folded below it the numbers."""
        self.title = Label("", role="quiet")
        self.together = Together()
        self.under = Label(_UNDER, role="quiet", wrap=True)
        self.fold = WordButton("In numbers")
        self.fold.setCheckable(True)
        self.fold.toggled.connect(self._on_fold)
        self.numbers = self._numbers()
        page = QWidget()
        in_column(
            self.title,
            self.together,
            self.under,
            self.fold,
            self.numbers,
            None,
            of=page,
            margins=(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP),
            gap=4 * STEP,
        )
        area = scrolled(page)
        area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)  # the numbers may stand below the fold
        area.setAccessibleName(translated("The panel in a picture"))
        return area

    def _numbers(self) -> QWidget:
        self.table = RowsView(
            "The panel",
            (Column("assessor", _name, stretch=True), Column("scores", _scores, right=True),
             Column("level", level_text, right=True), Column("spread", _apart, right=True),
             Column("with others", _alike, right=True),
             Column("in tests", _in_tests, right=True, quiet=True),
             Column("repeats", _repeat, right=True),
             Column("doubles", _doubles, right=True, quiet=True)),
        )  # fmt: skip
        self.levels, self.cups = Levels(), Doubles()
        self.people, self.mean, self.defects = (Label("", wrap=True) for _ in range(3))
        self.cups_title = Label("", role="quiet", wrap=True)
        page = QWidget()
        column = in_column(of=page, margins=0, gap=4 * STEP)
        for widget in (
            self.table, self.mean, self.people, self.defects, Hairline(),
            Label(_LEVELS, role="quiet", wrap=True), self.levels, self.cups_title, self.cups,
            Hairline(), Label(_READ, role="quiet", wrap=True),
        ):  # fmt: skip
            column.addWidget(widget)
        page.hide()
        return page

    def _sentences(self) -> QWidget:
        inner = QWidget()
        self._column = in_column(
            Label("How good is the panel?", TITLE, bold=True, wrap=True),
            of=inner,
            margins=(8 * STEP, 5 * STEP, 8 * STEP, 4 * STEP),
            gap=5 * STEP,
        )
        self.who, self.agree, self.size = (Label("", LEAD, wrap=True) for _ in range(3))
        for widget in (self.who, self.agree, self.size):
            self._column.addWidget(widget)
        self._column.addStretch(1)
        return scrolled(inner)

    def entered(self) -> None:
        self._refresh()
        if self._choice is not None:
            self._choice.setFocus()

    def on_change(self, change: Change) -> None:
        self._refresh()

    def _refresh(self) -> None:
        names = [name for name, _ in self.journal.sessions.attributes()][:12]
        if names != self._names:
            self._names = names
            self._put_choice()
        attribute = self._choice.text() if self._choice is not None else "overall"
        self._show(read_panel(self.journal, attribute))

    def _put_choice(self) -> None:
        if self._choice is not None:
            self._column.removeWidget(self._choice)
            self._choice.deleteLater()
            self._choice = None
        if self._names:
            asked = Field("scored", "Scored", options=[(name, name) for name in self._names])
            self._choice = RowField(asked, FieldContext(self.pages, style=UNTITLED))
            self._column.insertWidget(1, self._choice)
            self._choice.text_changed.connect(self._on_choice)

    def _show(self, found: PanelRead | None) -> None:
        there = found is not None
        for widget in (self.together, self.under, self.title, self.fold, self.agree, self.size):
            widget.setVisible(there)
        self.numbers.setVisible(there and self.fold.isChecked())
        if found is None:
            self.who.setText(_NONE)
            return
        self.who.setText(found.who)
        self.agree.setText(found.agree)
        self.size.setText(found.size)
        self.title.setText(worded("desk.how-far-each", attribute=found.attribute.capitalize()))
        self.together.show_panel(found)
        self._show_numbers(found)

    def _show_numbers(self, found: PanelRead) -> None:
        self.people.setText("\n\n".join(found.people))
        self.mean.setText(" ".join(filter(None, (_alpha(found), found.mean))))
        self.defects.setText(found.defects)
        self.levels.show_people(found.rows)
        self.cups_title.setText(_TWICE if found.cups else _NO_DOUBLE)
        self.cups.setVisible(bool(found.cups))
        self.cups.show_cups([row.name for row in found.rows], found.cups)
        self.table.show_rows(found.rows)
        self.table.setFixedHeight(7 * STEP + len(found.rows) * ROW + SIDEWAYS)

    def _on_fold(self, open_: bool) -> None:
        self.numbers.setVisible(open_)

    def _on_choice(self, _name: str) -> None:
        self._refresh()
