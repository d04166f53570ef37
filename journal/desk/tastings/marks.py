"""A sheet to mark: a line an attribute, defects, own words and a photo of the cut, by keyboard."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, Button
from journal.desk.form.fields import Fields
from journal.desk.form.frame import arrange_page
from journal.desk.form.page import LINE_STYLE, NamedRow
from journal.desk.form.spec import AS_TYPED, PHOTO, Field, FieldContext
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.tastings.defects import DefectsField
from journal.desk.tastings.drafts import SheetDraft
from journal.desk.tastings.scorerow import SPREAD, ScoreRow
from journal.desk.theme import STEP
from journal.records.kinds import ATTRIBUTES
from journal.wording.languages import translated

_SIDE = 19 * STEP
_WORDS = (Field("note", "Notes", AS_TYPED, hint="notes"), Field("photo", "The cut", PHOTO))


class MarkSheet(QWidget):
    """What a sample is given. It only shows and asks: `typed` says that something changed,
    `stands` carries the selected attribute, `photo_asked` asks for a photo; `save_asked` and
    `other_asked` are its two acts. A sheet of its own gives `head` and `above`.
    """

    typed = Signal()
    stands = Signal(str)
    photo_asked = Signal()
    save_asked = Signal()
    other_asked = Signal()

    def __init__(self, other: Button, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._others: dict[str, float] = {}
        self.rows: list[ScoreRow] = []
        self.defects = DefectsField(self)
        self._fields = Fields(_WORDS, FieldContext(self, style=LINE_STYLE), self)
        self.note, self.photo = self._fields.lines["note"], self._fields.photos["photo"]
        self.save = Button("Save and next", MAIN, "main")
        self.other = other
        self.message = Label("", role="quiet", wrap=True)
        self._rows = QVBoxLayout()  # the tint of a row reaches past the margin, its words do not
        self._build()
        self._join()

    # What a sheet of its own gives

    def head(self) -> QVBoxLayout:
        """What stands above the lines."""
        return QVBoxLayout()

    def above(self) -> None:
        """One goes up from the first line."""

    # Build

    def _build(self) -> None:
        self._rows.setContentsMargins(8 * STEP - SPREAD, 0, 8 * STEP - SPREAD, 0)
        self._rows.setSpacing(0)
        self._put_rows(ATTRIBUTES)
        parts = (self.head(), self._rows, self._column())
        acts, margins = (self.save, self.other), (0, 3 * STEP, 0, 0)
        column = arrange_page(self, parts, self.message, acts, gap=STEP, margins=margins)
        column.setStretch(1, 100)
        [self._scroll] = self.findChildren(QScrollArea)

    def _column(self) -> QVBoxLayout:
        words = in_column(
            Hairline(),
            NamedRow(translated("Defects"), self.defects, _SIDE),
            margins=(8 * STEP, 0, 8 * STEP, 0),
            gap=2 * STEP,
        )
        for made in self._fields.made.values():
            words.addWidget(NamedRow(made.field.title, made, _SIDE))
        return words

    def _join(self) -> None:
        self.defects.changed.connect(self.typed)
        self.defects.done.connect(self.note.setFocus)
        self.note.textEdited.connect(self.typed)
        self.note.returnPressed.connect(self.save.setFocus)
        self.photo.asked.connect(self.photo_asked)
        self.photo.changed.connect(self.typed)
        self.save.clicked.connect(self.save_asked)
        self.other.clicked.connect(self.other_asked)

    # What it shows

    def set_attributes(self, names: Sequence[str]) -> None:
        """Show a line for each of these."""
        if [row.attribute for row in self.rows] == list(names):
            return
        for row in self.rows:
            self._rows.removeWidget(row)
            row.hide()
            row.deleteLater()
        self._put_rows(names)
        lines = [row.line for row in self.rows]
        after = [self.defects, self.note, self.photo.button, self.photo.away]
        for first, second in pairwise([*lines, *after, self.save, self.other]):
            QWidget.setTabOrder(first, second)

    def _put_rows(self, names: Sequence[str]) -> None:
        self.rows = [ScoreRow(name) for name in names]
        for row in self.rows:
            self._rows.addWidget(row, 1)
            row.moved.connect(self._on_moved)
            row.changed.connect(self.typed)
            row.entered.connect(self.stands)

    def show_draft(self, draft: SheetDraft) -> None:
        """Show what has been typed or kept."""
        for row in self.rows:
            row.set_text(draft.texts.get(row.attribute, ""))
        self.defects.show_marks(draft.defects)
        self.note.setText(draft.note)
        self.photo.show_name(draft.photo)
        self._others = dict(draft.others)
        self._scroll.verticalScrollBar().setValue(0)

    def draft(self) -> SheetDraft:
        """What was entered on the sheet."""
        texts = {row.attribute: row.text() for row in self.rows if row.text()}
        return SheetDraft(
            texts, self.defects.marks(), self.note.text(), dict(self._others), self.photo.name
        )

    def first_wrong(self) -> ScoreRow | None:
        """The first line that does not fit."""
        return next((row for row in self.rows if row.text() and row.value() is None), None)

    def to_first(self) -> None:
        """Go to the first attribute nothing is typed for."""
        empty = next((row for row in self.rows if not row.text()), self.rows[0])
        empty.setFocus()

    # Handlers

    def _on_moved(self, step: int) -> None:
        at = [row is self.sender() for row in self.rows].index(True) + step
        if at < 0:
            self.above()
        elif at < len(self.rows):
            self.rows[at].setFocus()
        else:
            self.defects.setFocus()
