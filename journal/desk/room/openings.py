"""Which wheel to open on a day for so many guests: asked, then listed, the first one first."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.tables import Column, RowsView
from journal.records import id_of
from journal.reports.readiness import Opening
from journal.wording import worded
from journal.wording.ages import age_words
from journal.wording.shown import shown_figure, unit_label


class OpeningsDialog(FramedDialog):
    """Lists wheels. `chosen` carries the id of the one that Enter takes."""

    help_topic = "room/Which wheel to open"

    chosen = Signal(int)

    def __init__(self, title: str, found: Sequence[Opening], parent: QWidget | None) -> None:
        super().__init__(title, parent)
        self.table: RowsView[Opening] = RowsView(
            title,
            (
                Column("wheel", lambda one: one.life.wheel.code, bold=True),
                Column("plan", lambda one: one.life.plan, quiet=True),
                Column("age then", lambda one: age_words(one.age_days), right=True,
                       sort=lambda one: one.age_days),
                Column(unit_label("mass"), right=True, text=lambda one: (
                    "" if one.kg is None else shown_figure(one.kg, "mass", 2))),
                Column("expected", right=True, text=lambda one: (
                    "" if one.score is None else f"{one.score:.1f}")),
                Column("", stretch=True, text=lambda one: (
                    one.against or (worded("desk.at-its-best") if one.in_window else ""))),
            ),
            in_order=True,
        )  # fmt: skip
        self.table.show_rows(found)
        self.table.opened.connect(self._on_opened)
        self.go = Button("Show the wheel", MAIN, "Enter")
        self.shut = Button("Close", key="Esc")
        self.go.setEnabled(bool(found))
        self.go.clicked.connect(self._on_go)
        self.shut.clicked.connect(self.reject)
        note = (
            "Expected: the score given here at that age, on average. By plan, law and weight too."
        )
        message = Label(note if found else "No wheel is there.", role="quiet", wrap=True)
        self.arrange(self.table, acts=(self.go, self.shut), message=message)
        self.resize(760, 520)
        self.table.setFocus()

    def _on_go(self) -> None:
        row = self.table.current()
        if row is not None:
            self._on_opened(row)

    def _on_opened(self, row: Opening) -> None:
        self.chosen.emit(id_of(row.life.wheel))
        self.accept()
