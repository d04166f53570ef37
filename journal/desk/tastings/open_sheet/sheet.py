"""The open sheet: who tastes which wheel on which day, and what they give it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, Button
from journal.desk.form.line_field import UNTITLED
from journal.desk.form.readers import TextField
from journal.desk.form.spec import Field, FieldContext
from journal.desk.form.suggest import Suggestion
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column, in_row
from journal.desk.tastings.marks import MarkSheet
from journal.desk.theme import LEAD, STEP, TITLE

_WHO_STYLE = replace(UNTITLED, size=LEAD)


class Sheet(MarkSheet):
    """Everything one assessor gives one wheel whose name is known. `named` carries an assessor's
    name, `dated` a day as typed."""

    named = Signal(str)
    dated = Signal(str)

    def __init__(
        self, people: Callable[[str], list[Suggestion]], parent: QWidget | None = None
    ) -> None:
        self.title = Label("", TITLE, bold=True)
        self.under = Label("", role="quiet")
        self.under.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._people = people
        super().__init__(Button("Another wheel", FAINT, "choose"), parent)

    def head(self) -> QVBoxLayout:
        asked = Field("who", "Who is tasting", hint="who is tasting", look=self._people)
        who = TextField(asked, FieldContext(self, style=_WHO_STYLE))
        day = TextField(Field("day", "Day of the session"), FieldContext(self, style=UNTITLED))
        who.picked.connect(self._on_person)
        self.who, self.day = who.line, day.line
        for line, on_change in ((self.who, self._on_who), (self.day, self._on_day)):
            line.editingFinished.connect(on_change)
            line.returnPressed.connect(self.to_first)
        return in_column(
            self.title,
            self.under,
            3 * STEP,
            in_row((who, 3), Label("on", role="quiet"), (day, 2), gap=3 * STEP),
            3 * STEP,
            Hairline(),
            margins=(8 * STEP, 0, 8 * STEP, 0),
            gap=0,
        )

    def above(self) -> None:
        self.to_who()

    def show_wheel(self, code: str, under: str) -> None:
        """Name the wheel, and what is known of it."""
        self.title.setText(code)
        self.under.setText(under)

    def to_who(self) -> None:
        """Ask who is tasting."""
        self.who.setFocus()
        self.who.selectAll()

    def to_first(self) -> None:
        if not self.who.text().strip():
            self.who.setFocus()
            return
        super().to_first()

    # Handlers

    def _on_who(self) -> None:
        self.named.emit(" ".join(self.who.text().split()))

    def _on_person(self, name: str) -> None:
        self.named.emit(name)
        self.to_first()

    def _on_day(self) -> None:
        self.dated.emit(self.day.text())
