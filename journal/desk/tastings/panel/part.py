"""The part on the panel: who scores how, how far they agree, what so few people can do."""

from __future__ import annotations

from math import isnan

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.form.choice import ChoiceList
from journal.desk.labels import Hairline, Label
from journal.desk.messages import MessageBar
from journal.desk.place import Desk
from journal.desk.scrollbars import scrolled
from journal.desk.tables import ROW, Column, RowsView
from journal.desk.tastings.panel.doubles import Doubles
from journal.desk.tastings.panel.levels import Levels
from journal.desk.tastings.part import TastingPart
from journal.desk.theme import STEP, TITLE
from journal.keeping import Change
from journal.reports.panel import PanelRead, PersonRead, read_panel
from journal.wording.numbers import minus

_SHOWN = frozenset(("score", "sample", "tasting", "assessor", "defect_mark", "serving"))
_NONE = (
    "No session has been scored by two people yet. After one, this page shows who scores "
    "high or low, how consistent each of you is, and how well you agree."
)

_TWICE = "Two hidden cups of one cheese: the closer the scores, the more consistent"
_NO_DOUBLE = (
    "No cheese has been served twice yet. Add one twice when you set up a session, and this "
    "page shows how consistent each of you is."
)
_READ = (
    "Spread: how far apart someone's scores are, compared with the others (1 is the same). "
    "With the others: 1 is the same order of wheels, 0 nothing in common. Repeats within: "
    "the scatter of one score, in points. Agreement is the intraclass correlation (Shrout "
    "and Fleiss 1979, two-way, random)."
)


def _name(row: PersonRead) -> str:
    return row.name


def _scores(row: PersonRead) -> str:
    return str(row.member.scores)


def level_words(row: PersonRead) -> str:
    """The level as it is written, with its sign."""
    return minus(f"{round(row.member.level, 1) + 0.0:+.1f}")


def _apart(row: PersonRead) -> str:
    return "" if isnan(row.member.spread) else f"{row.member.spread:.1f} ×"


def _alike(row: PersonRead) -> str:
    return "" if isnan(row.member.with_others) else f"{row.member.with_others:.2f}"


def _repeat(row: PersonRead) -> str:
    return "" if row.member.doubles == 0 else f"{row.member.repeat_sd:.1f}"


def _doubles(row: PersonRead) -> str:
    return str(row.member.doubles) if row.member.doubles else ""


class PanelPart(TastingPart):
    """Left the words, right each assessor's level and how steady they are."""

    def __init__(self, desk: Desk, messages: MessageBar, parent: QObject) -> None:
        super().__init__(desk, messages, parent)
        self._names: list[str] = []
        self._choice: ChoiceList | None = None
        self._rules = (Hairline(), Hairline())
        self.right = self._figures()
        self.left = self._words()

    def _figures(self) -> QWidget:
        self.levels = Levels()
        self.under = Label("", role="quiet", wrap=True)
        self.cups_title = Label("", role="quiet", wrap=True)
        self.cups = Doubles()
        self.read = Label(_READ, role="quiet", wrap=True)
        self.table = RowsView(
            "The panel",
            (Column("assessor", _name, stretch=True), Column("scores", _scores, right=True),
             Column("level", level_words, right=True), Column("spread", _apart, right=True),
             Column("with the others", _alike, right=True),
             Column("repeats within", _repeat, right=True),
             Column("doubles", _doubles, right=True, quiet=True)),
        )  # fmt: skip
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP)
        column.setSpacing(4 * STEP)
        self.title = Label("", role="quiet")
        column.addWidget(self.title)
        column.addWidget(self.levels)
        column.addWidget(self.under)
        column.addWidget(self.table)
        column.addWidget(self._rules[0])
        column.addWidget(self.cups_title)
        column.addWidget(self.cups)
        column.addWidget(self.read)
        column.addStretch(1)
        area = scrolled(page)
        area.setFocusPolicy(Qt.FocusPolicy.StrongFocus)  # the doubles may stand below the fold
        area.setAccessibleName("The panel in figures")
        return area

    def _words(self) -> QWidget:
        inner = QWidget()
        self._column = QVBoxLayout(inner)
        self._column.setContentsMargins(8 * STEP, 5 * STEP, 8 * STEP, 4 * STEP)
        self._column.setSpacing(4 * STEP)
        self._column.addWidget(Label("How good is the panel?", TITLE, bold=True, wrap=True))
        self.agree = Label("", wrap=True)
        self.people = Label("", wrap=True)
        self.defects = Label("", wrap=True)
        self.fitting = Label("", role="quiet", wrap=True)
        for widget in (self.agree, self.people, self.defects, self._rules[1], self.fitting):
            self._column.addWidget(widget)
        self._column.addStretch(1)
        return scrolled(inner)

    def entered(self) -> None:
        self._refresh()
        if self._choice is not None:
            self._choice.setFocus()

    def heard(self, change: Change) -> None:
        if change.kinds & _SHOWN:
            self._refresh()

    def _refresh(self) -> None:
        names = [name for name, _ in self.journal.sessions.attributes()][:12]
        if names != self._names:
            self._names = names
            self._put_choice()
        attribute = self._choice.chosen() if self._choice is not None else "overall"
        self._show(read_panel(self.journal, attribute))

    def _put_choice(self) -> None:
        if self._choice is not None:
            self._column.removeWidget(self._choice)
            self._choice.deleteLater()
            self._choice = None
        if self._names:
            self._choice = ChoiceList("Scored", [(name, name) for name in self._names])
            self._column.insertWidget(1, self._choice)
            self._choice.changed.connect(self._on_choice)

    def _show(self, found: PanelRead | None) -> None:
        there = found is not None
        for widget in (self.levels, self.table, self.under, self.title, self.people, self.defects,
                       self.cups_title, self.read, *self._rules):  # fmt: skip
            widget.setVisible(there)
        self.cups.setVisible(found is not None and bool(found.cups))
        if found is None:
            self.agree.setText(_NONE)
            self.fitting.setText("")
            return
        self.agree.setText(found.agree)
        self.people.setText("\n\n".join(found.people))
        self.defects.setText(found.defects)
        self.fitting.setText(found.fitting)
        self.title.setText(f"{found.attribute.capitalize()}: points above or below the panel")
        self.levels.show_people(found.rows)
        self.under.setText(
            "The dot is each assessor's level for equal wheels and days; the line is how far "
            "a second cup of the same cheese differs, where one was served."
        )
        self.cups_title.setText(_TWICE if found.cups else _NO_DOUBLE)
        self.cups.show_cups([row.name for row in found.rows], found.cups)
        self.table.show_rows(found.rows)
        self.table.setFixedHeight(7 * STEP + len(found.rows) * ROW + 4)

    def _on_choice(self, _name: str) -> None:
        self._refresh()
