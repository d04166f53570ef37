"""The balanced set as a table: each make with its season and its values; and what it would tell."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QVBoxLayout, QWidget

from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.tables import Column, RowsView
from journal.desk.theme import LEAD, STEP
from journal.findings.series import Factor
from journal.reports.series_plan import PlannedSeries
from journal.wording.series_answer import SeriesMakeRow, wanted_words
from journal.wording.variable_values import label_shown

ROW = 7 * STEP
SIDE_BY_SIDE = 3  # so many variables have room for their whole name


def heads(factors: tuple[Factor, ...]) -> tuple[str, ...]:
    """The columns' titles: the name with its unit."""
    return tuple(", ".join(filter(None, (f.name, _unit(f)))) for f in factors)


def _unit(factor: Factor) -> str:
    return "" if factor.unit == "pH" else label_shown(factor.unit)


def narrow_heads(factors: tuple[Factor, ...]) -> tuple[str, ...]:
    """The same on lines under each other: a long name on two, the unit on its own."""
    return tuple("\n".join(filter(None, (_broken(f.name), _unit(f)))) for f in factors)


def _broken(name: str) -> str:
    """A name on two lines, broken where it is nearest to its middle."""
    spaces = [i for i, letter in enumerate(name) if letter == " "]
    at = min(spaces, key=partial(_off_middle, name), default=-1)
    return name if at < 0 else f"{name[:at]}\n{name[at + 1 :]}"


def _off_middle(title: str, at: int) -> float:
    return abs(at - len(title) / 2)


def value_columns(factors: tuple[Factor, ...]) -> tuple[Column[SeriesMakeRow], ...]:
    """A column a variable."""
    titles = heads(factors) if len(factors) <= SIDE_BY_SIDE else narrow_heads(factors)
    return tuple(
        Column(title, partial(_value, index), right=True) for index, title in enumerate(titles)
    )


class SetTable(RowsView[SeriesMakeRow]):
    """The makes of a series in the order they are to be made."""

    def __init__(self, name: str, *, saved: bool, parent: QWidget | None = None) -> None:
        self.saved = saved
        self._heads: tuple[str, ...] = ()
        super().__init__(name, self._columns((), False), parent, row_height=ROW, in_order=True)

    def show_set(
        self, factors: tuple[Factor, ...], rows: list[SeriesMakeRow], *, seasons: bool
    ) -> None:
        """Show the rows under the factors' names."""
        model = self.rows_model
        model.beginResetModel()
        model.columns = list(self._columns(factors, seasons))
        model.endResetModel()
        header = self.horizontalHeader()
        for i, column in enumerate(model.columns):
            mode = header.ResizeMode.Stretch if column.stretch else header.ResizeMode.Interactive
            header.setSectionResizeMode(i, mode)
        self.show_rows(rows)
        self.fit()
        self.setMaximumHeight(header.height() + ROW * max(len(rows), 1) + 2)

    def sizeHint(self) -> QSize:
        rows = len(self.rows_model.rows)
        return QSize(super().sizeHint().width(), self.horizontalHeader().height() + ROW * rows + 2)

    def _columns(
        self, factors: tuple[Factor, ...], seasons: bool
    ) -> tuple[Column[SeriesMakeRow], ...]:
        season = (Column("season", _season, right=True, quiet=True),) if seasons else ()
        became = (
            (Column("make", _became, stretch=True), Column("score", _score, right=True))
            if self.saved
            else (Column("", _nothing, stretch=True),)
        )
        number = Column("make" if not self.saved else "", _number, right=True, quiet=True)
        return (number, *season, *value_columns(factors), *became)


class SeriesPreview(QWidget):
    """What the series asked for would be."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = Label("", LEAD, bold=True, wrap=True)
        self.words = Label("", wrap=True)
        self.table = SetTable("Makes of the series", saved=False)
        self.more = Label("", role="quiet", wrap=True)
        column = in_column(of=self, margins=(5 * STEP, 5 * STEP, 5 * STEP, 4 * STEP), gap=3 * STEP)
        for widget in (self.heading, self.words):
            column.addLayout(inset(widget))
        column.addWidget(self.table, 1000)
        column.addLayout(inset(self.more))
        column.addStretch(1)

    def show_worked(self, worked: PlannedSeries) -> None:
        """Show the set with what it can tell."""
        factors, blocks = worked.design.factors, worked.design.block.tolist()
        rows = [
            SeriesMakeRow(f"{i + 1}", f"{block + 1}", wanted_words(factors, values), position=i)
            for i, (values, block) in enumerate(zip(worked.wanted, blocks, strict=True))
        ]
        self.heading.setText(worked.heading)
        self.words.setText(" ".join(worked.words[:2]))
        self.more.setText(" ".join(worked.words[2:]))
        self.table.show_set(factors, rows, seasons=len(worked.design.parts) > 1)
        self.table.setAccessibleDescription(f"{worked.heading}. {' '.join(worked.words)}")
        for widget in (self.table, self.more):
            widget.setVisible(True)

    def show_nothing(self, heading: str) -> None:
        """Show that there is no set yet."""
        self.heading.setText(heading)
        self.words.setText("")
        for widget in (self.table, self.more):
            widget.setVisible(False)


def inset(widget: QWidget) -> QVBoxLayout:
    """Words in line with the words in a table's cells."""
    return in_column(widget, margins=(3 * STEP, 0, 3 * STEP, 0))


def _number(row: SeriesMakeRow) -> str:
    return row.number


def _season(row: SeriesMakeRow) -> str:
    return row.season


def _value(index: int, row: SeriesMakeRow) -> str:
    return row.values[index]


def _became(row: SeriesMakeRow) -> str:
    return row.became


def _score(row: SeriesMakeRow) -> str:
    return row.score


def _nothing(_row: SeriesMakeRow) -> str:
    return ""
