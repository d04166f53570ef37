"""The columns of a foreign file: each with its first values and what it was taken as."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QScrollArea, QWidget

from journal.desk.form.choice import ChoiceOption, ComboBox
from journal.desk.labels import Label, plain_tip
from journal.desk.theme import SMALL, STEP
from journal.wording import worded

SHOWN_MOST = 60  # columns with choices; a file may have hundreds
VALUES = 3
_CELL_MOST = 20
_NAME_MOST = 22
_SHORT = 10  # longer values stand two abreast


@dataclass(frozen=True)
class ShownColumn:
    """A column as shown: what it was taken as, among which choices, and its unit, if any."""

    name: str
    values: tuple[str, ...]
    kind: str
    kinds: tuple[ChoiceOption, ...]
    unit: str = ""
    units: tuple[ChoiceOption, ...] = ()


class ColumnsView(QScrollArea):
    """A line a column: name, what it was taken as, unit, first values. `chosen` says that a
    choice was made; `kinds` and `units` hold what stands there."""

    chosen = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Columns of the file")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._columns: list[ShownColumn] = []
        self._kinds: list[ComboBox] = []
        self._units: list[ComboBox] = []

    def show_columns(self, columns: Sequence[ShownColumn]) -> None:
        """Show these columns; the same ones again only change their choices."""
        before = [(c.name, c.values) for c in self._columns]
        self._columns = list(columns)[:SHOWN_MOST]
        if before != [(c.name, c.values) for c in self._columns]:
            self._build(len(columns) - len(self._columns))
        for column, kind, unit in zip(self._columns, self._kinds, self._units, strict=True):
            kind.offer(column.kinds, column.kind)
            unit.offer(column.units, column.unit)
            unit.setVisible(len(column.units) > 1)

    def kinds(self) -> dict[str, str]:
        """What each column shown is to be taken as, by name."""
        return {c.name: box.key() for c, box in zip(self._columns, self._kinds, strict=True)}

    def units(self) -> dict[str, str]:
        """The unit of each column that has a choice of them and kept its kind."""
        return {
            c.name: unit.key()
            for c, kind, unit in zip(self._columns, self._kinds, self._units, strict=True)
            if c.units and kind.key() == c.kind
        }

    def choice(self, name: str) -> ComboBox:
        """The choice of what a column is."""
        return next(b for c, b in zip(self._columns, self._kinds, strict=True) if c.name == name)

    def unit_choice(self, name: str) -> ComboBox:
        """The choice of a column's unit."""
        return next(b for c, b in zip(self._columns, self._units, strict=True) if c.name == name)

    def _build(self, left_over: int) -> None:
        longest = max((len(v) for c in self._columns for v in c.values), default=0)
        abreast = VALUES if longest <= _SHORT else VALUES - 1
        any_unit = any(len(c.units) > 1 for c in self._columns)
        inner = QWidget()
        grid = QGridLayout(inner)
        grid.setContentsMargins(0, 0, 2 * STEP, 0)
        grid.setHorizontalSpacing(4 * STEP)
        grid.setVerticalSpacing(STEP)
        for index, title in enumerate(
            ("column", "read as", "unit" if any_unit else "", "first rows")
        ):
            grid.addWidget(Label(title, SMALL, role="quiet"), 0, index)
        self._kinds, self._units = [], []
        for row, column in enumerate(self._columns, start=1):
            name = Label(cut(column.name, _NAME_MOST))
            name.setToolTip(plain_tip(cut(column.name, 400)))
            kind, unit = (
                ComboBox(f"{column.name} is"),
                ComboBox(worded("desk.unit-of-column", column=column.name)),
            )
            for box in (kind, unit):
                box.activated.connect(self._on_activated)
            grid.addWidget(name, row, 0)
            grid.addWidget(kind, row, 1)
            grid.addWidget(unit, row, 2)
            for index, value in enumerate(column.values[:abreast], start=3):
                grid.addWidget(Label(cut(value, _CELL_MOST), SMALL, role="quiet"), row, index)
            self._kinds.append(kind)
            self._units.append(unit)
        if left_over > 0:
            words = Label(worded("desk.more-columns", count=left_over), role="quiet")
            grid.addWidget(words, len(self._columns) + 1, 0, 1, 3)
        grid.setRowStretch(len(self._columns) + 2, 1)
        grid.setColumnStretch(3 + VALUES, 1)
        self.setWidget(inner)

    def _on_activated(self, _index: int) -> None:
        self.chosen.emit()


def cut(text: str, most: int) -> str:
    """A text on one line, at most so long."""
    plain = " ".join(text.split())
    return plain if len(plain) <= most else plain[: most - 1] + "…"
