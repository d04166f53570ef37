"""The columns of a foreign file: a form of two choices a column, beside its first values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QScrollArea, QWidget

from journal.desk.form.choice import ChoiceOption, ComboBox
from journal.desk.form.fields import Fields
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.spec import CHOICE, Field, FieldContext
from journal.desk.labels import Label, plain_tip
from journal.desk.theme import SMALL, STEP
from journal.wording import worded
from journal.wording.languages import translated

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
        self.setAccessibleName(translated("Columns of the file"))
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._columns: list[ShownColumn] = []
        self._build(0)

    def show_columns(self, columns: Sequence[ShownColumn]) -> None:
        """Show these columns; the same ones again only change their choices."""
        before = [(c.name, c.values) for c in self._columns]
        self._columns = list(columns)[:SHOWN_MOST]
        if before != [(c.name, c.values) for c in self._columns]:
            self._build(len(columns) - len(self._columns))
        for number, column in enumerate(self._columns):
            self._fields.choices[f"kind {number}"].offer(column.kinds, column.kind)
            self._fields.choices[f"unit {number}"].offer(column.units, column.unit)
            self._fields.made[f"unit {number}"].setVisible(len(column.units) > 1)

    def kinds(self) -> dict[str, str]:
        """What each column shown is to be taken as, by name."""
        return {c.name: self.choice(c.name).key() for c in self._columns}

    def units(self) -> dict[str, str]:
        """The unit of each column that has a choice of them and kept its kind."""
        kinds = self.kinds()
        return {c.name: self.choice(c.name, "unit").key()
                for c in self._columns if c.units and kinds[c.name] == c.kind}  # fmt: skip

    def choice(self, name: str, what: str = "kind") -> ComboBox:
        """The choice of what a column is, or of its unit."""
        number = next(n for n, column in enumerate(self._columns) if column.name == name)
        return self._fields.choices[f"{what} {number}"]

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
        names = [[worded(one, column=c.name) for one in ("desk.column-is", "desk.unit-of-column")]
                 for c in self._columns]  # fmt: skip
        asked = [
            Field(f"{what} {number}", "", CHOICE, name=name)
            for number, both in enumerate(names)
            for what, name in zip(("kind", "unit"), both, strict=True)
        ]
        self._fields = Fields(asked, FieldContext(self, style=UNTITLED), inner)
        self._fields.edited.connect(self.chosen)
        for row, column in enumerate(self._columns, start=1):
            name = Label(cut(column.name, _NAME_MOST))
            name.setToolTip(plain_tip(cut(column.name, 400)))
            grid.addWidget(name, row, 0)
            grid.addWidget(self._fields.made[f"kind {row - 1}"], row, 1)
            grid.addWidget(self._fields.made[f"unit {row - 1}"], row, 2)
            for index, value in enumerate(column.values[:abreast], start=3):
                grid.addWidget(Label(cut(value, _CELL_MOST), SMALL, role="quiet"), row, index)
        if left_over > 0:
            words = Label(worded("desk.more-columns", count=left_over), role="quiet")
            grid.addWidget(words, len(self._columns) + 1, 0, 1, 3)
        grid.setRowStretch(len(self._columns) + 2, 1)
        grid.setColumnStretch(3 + VALUES, 1)
        self.setWidget(inner)


def cut(text: str, most: int) -> str:
    """A text on one line, at most so long."""
    plain = " ".join(text.split())
    return plain if len(plain) <= most else plain[: most - 1] + "…"
