"""When to make for wanted days: asked, then listed, each with the day to make on and its age."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtWidgets import QWidget

from journal.desk.buttons import Button
from journal.desk.form.frame import FramedDialog
from journal.desk.labels import Label
from journal.desk.tables import Column, RowsView
from journal.reports.readiness import MakeDay
from journal.wording.ages import age_words
from journal.wording.dates import format_day

_NOTE = (
    "At the age liked best here, never younger than the plan or the law says, on a free vat day."
)


class MakingDialog(FramedDialog):
    """Lists days to make on."""

    help_topic = "room/Which wheel to open"

    def __init__(self, title: str, found: Sequence[MakeDay], parent: QWidget | None) -> None:
        super().__init__(title, parent)
        self.table: RowsView[MakeDay] = RowsView(
            title,
            (
                Column("for", lambda one: format_day(one.wanted), bold=True,
                       sort=lambda one: one.wanted),
                Column("make on", lambda one: "–" if one.on is None else format_day(one.on),
                       sort=lambda one: one.on or date.max),
                Column("age then", right=True, text=lambda one: (
                    "" if one.on is None else age_words(one.age_days)),
                    sort=lambda one: None if one.on is None else one.age_days),
                Column("", lambda one: one.why, stretch=True),
            ),
            in_order=True,
        )  # fmt: skip
        self.table.show_rows(found)
        self.shut = Button("Close", key="Esc")
        self.shut.clicked.connect(self.reject)
        note = Label(_NOTE, role="quiet", wrap=True)
        self.arrange(self.table, acts=(self.shut,), message=note)
        self.resize(760, 480)
        self.table.setFocus()
