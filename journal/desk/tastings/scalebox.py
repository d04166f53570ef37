"""What the scale means for an attribute, in words of one's own."""

from __future__ import annotations

from PySide6.QtWidgets import QGridLayout, QWidget

from journal.desk.form.fields import Fields
from journal.desk.form.line_field import FieldStyle
from journal.desk.form.spec import AS_TYPED, Field, FieldContext
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.tastings.scales import save_text
from journal.desk.theme import STEP
from journal.keeping import Journal
from journal.wording import worded
from journal.wording.scale_words import scale_words

VALUES = (0.0, 2.0, 5.0, 8.0, 10.0)
_HINT = "in your own words"
_STYLE = FieldStyle(height=6 * STEP, inset=STEP, titled=False, bare=True)


class ScaleBox(QWidget):
    """Shows the meanings of one attribute's scores, and saves each as it is typed."""

    def __init__(self, journal: Journal) -> None:
        super().__init__()
        self._journal = journal
        self._attribute = ""
        self.meaning = Label("", role="quiet", wrap=True)
        asked = [
            Field(f"{value:g}", worded("desk.what-it-means", value=value), AS_TYPED, hint=_HINT)
            for value in VALUES
        ]
        fields = Fields(asked, FieldContext(self, style=_STYLE), self)
        self.words = list(fields.lines.values())
        grid = QGridLayout()
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(5 * STEP)
        grid.setVerticalSpacing(2 * STEP)
        for row, (key, made) in enumerate(fields.made.items()):
            self.words[row].editingFinished.connect(self._on_worded)
            number = Label(key, role="quiet", right=True)
            number.setFixedWidth(5 * STEP)
            grid.addWidget(number, row, 0)
            grid.addWidget(made, row, 1)
        in_column(self.meaning, grid, of=self, margins=0, gap=2 * STEP)

    def show_scale(self, attribute: str) -> None:
        """Show what the scale means for an attribute."""
        self._attribute = attribute
        words = scale_words(self._journal, attribute)
        self.meaning.setText(worded("desk.in-your-own-words", attribute=attribute.capitalize()))
        for line, value in zip(self.words, VALUES, strict=True):
            if not line.hasFocus():
                line.setText(words.get(value, ""))
                line.setCursorPosition(0)

    def refresh(self) -> None:
        """Show what the journal says now."""
        if self._attribute:
            self.show_scale(self._attribute)

    def _on_worded(self) -> None:
        for line, value in zip(self.words, VALUES, strict=True):
            if line is self.sender():
                save_text(self._journal, self._attribute, value, line.text().strip())
