"""The sheet: who tastes which wheel on which day, and what they give it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.fields import Box, Line
from journal.desk.labels import Hairline, Label
from journal.desk.scrollbars import quieten
from journal.desk.tastings.defects import HIGH, DefectsField
from journal.desk.tastings.drafts import Draft
from journal.desk.tastings.scorerow import SPREAD, ScoreRow
from journal.desk.tastings.suggest import Suggestion, Suggestions
from journal.desk.theme import LEAD, STEP, TEXT, TITLE
from journal.records.kinds import ATTRIBUTES

_SIDE = 19 * STEP


class Sheet(QWidget):
    """Everything one assessor gives one wheel. It only shows and asks: `named` carries an
    assessor's name, `dated` a day as typed, `typed` that something changed; `keep_asked` and
    `other_asked` are its two acts.
    """

    named = Signal(str)
    dated = Signal(str)
    typed = Signal()
    keep_asked = Signal()
    other_asked = Signal()

    def __init__(
        self, people: Callable[[str], list[Suggestion]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._others: dict[str, float] = {}
        self.title = Label("", TITLE, bold=True)
        self.under = Label("", role="quiet")
        self.under.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.who, self._who_box = _boxed("Who is tasting", LEAD)
        self.day, self._day_box = _boxed("Day of the sitting", TEXT)
        self.who.setPlaceholderText("who is tasting")
        self.rows = [ScoreRow(name) for name in ATTRIBUTES]
        self.note, self._note_box = _boxed("In your own words", TEXT)
        self.note.setPlaceholderText("in your own words")
        self.defects = DefectsField(self)
        self.people = Suggestions(self.who, self, people, 80 * STEP)
        self.keep = Button("Keep and hand on", MAIN, "Ctrl ⏎")
        self.other = Button("Another wheel", FAINT, "Ctrl L")
        self.said = Label("", role="quiet", wrap=True)
        self._build()
        self._connect()

    def _build(self) -> None:
        inner = QWidget()
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 5 * STEP, 0, 0)
        column.setSpacing(STEP)
        column.addLayout(self._head())
        rows = QVBoxLayout()  # the tint of a row reaches past the margin, its words do not
        rows.setContentsMargins(8 * STEP - SPREAD, 0, 8 * STEP - SPREAD, 0)
        rows.setSpacing(0)
        for row in self.rows:
            rows.addWidget(row, 1)
        column.addLayout(rows, 100)
        column.addLayout(self._words())
        column.addStretch(1)
        scroll = QScrollArea()
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        quieten(scroll)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inner)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 4 * STEP)
        whole.setSpacing(2 * STEP)
        whole.addWidget(scroll, 1)
        whole.addLayout(self._foot())

    def _head(self) -> QVBoxLayout:
        head = QVBoxLayout()
        head.setContentsMargins(8 * STEP, 0, 8 * STEP, 0)
        head.setSpacing(0)
        head.addWidget(self.title)
        head.addWidget(self.under)
        head.addSpacing(3 * STEP)
        head.addLayout(_beside(self._who_box, self._day_box))
        head.addSpacing(3 * STEP)
        head.addWidget(Hairline())
        return head

    def _words(self) -> QVBoxLayout:
        words = QVBoxLayout()
        words.setContentsMargins(8 * STEP, 0, 8 * STEP, 0)
        words.setSpacing(2 * STEP)
        words.addWidget(Hairline())
        words.addLayout(_named_row("Defects", self.defects))
        self._note_box.setFixedHeight(HIGH)
        words.addLayout(_named_row("Words", self._note_box))
        return words

    def _foot(self) -> QVBoxLayout:
        acts = QHBoxLayout()
        acts.setContentsMargins(8 * STEP, 0, 8 * STEP, 0)
        acts.setSpacing(3 * STEP)
        acts.addWidget(self.keep)
        acts.addWidget(self.other)
        acts.addStretch(1)
        foot = QVBoxLayout()
        foot.setSpacing(2 * STEP)
        said = QHBoxLayout()
        said.setContentsMargins(8 * STEP, 0, 8 * STEP, 0)
        said.addWidget(self.said)
        foot.addLayout(said)
        foot.addLayout(acts)
        return foot

    def _connect(self) -> None:
        self.who.editingFinished.connect(self._on_who)
        self.who.returnPressed.connect(self.to_first)
        self.people.picked.connect(self._on_person)
        self.day.editingFinished.connect(self._on_day)
        self.day.returnPressed.connect(self.to_first)
        for row in self.rows:
            row.moved.connect(self._on_moved)
            row.changed.connect(self.typed)
        self.defects.changed.connect(self.typed)
        self.defects.done.connect(self.note.setFocus)
        self.note.textEdited.connect(self._on_note)
        self.note.returnPressed.connect(self.keep.setFocus)
        self.keep.clicked.connect(self._on_keep)
        self.other.clicked.connect(self._on_other)

    # What it shows

    def show_wheel(self, code: str, under: str) -> None:
        """Name the wheel, and what is known of it."""
        self.title.setText(code)
        self.under.setText(under)

    def show_draft(self, draft: Draft) -> None:
        """Show what has been typed or kept."""
        for row in self.rows:
            row.set_text(draft.texts.get(row.attribute, ""))
        self.defects.show_marks(draft.defects)
        self.note.setText(draft.note)
        self._others = dict(draft.others)

    def draft(self) -> Draft:
        """What stands on the sheet."""
        texts = {row.attribute: row.text() for row in self.rows if row.text()}
        return Draft(texts, self.defects.marks(), self.note.text(), dict(self._others))

    def say(self, sentence: str, *, wrong: bool = False) -> None:
        """Say something above the button."""
        self.said.set_role("attention" if wrong else "quiet")
        self.said.setText(f"▲ {sentence}" if wrong else sentence)
        self.said.setVisible(bool(sentence))

    def first_wrong(self) -> ScoreRow | None:
        """The first line that does not fit."""
        return next((row for row in self.rows if row.text() and row.value() is None), None)

    def to_who(self) -> None:
        """Ask who is tasting."""
        self.who.setFocus()
        self.who.selectAll()

    def to_first(self) -> None:
        """Go to the first attribute nothing is typed for."""
        if not self.who.text().strip():
            self.who.setFocus()
            return
        empty = next((row for row in self.rows if not row.text()), self.rows[0])
        empty.setFocus()

    # Handlers

    def _on_who(self) -> None:
        self.named.emit(" ".join(self.who.text().split()))

    def _on_person(self, name: str) -> None:
        self.who.setText(name)
        self.named.emit(name)
        self.to_first()

    def _on_day(self) -> None:
        self.dated.emit(self.day.text())

    def _on_note(self, _text: str) -> None:
        self.typed.emit()

    def _on_keep(self) -> None:
        self.keep_asked.emit()

    def _on_other(self) -> None:
        self.other_asked.emit()

    def _on_moved(self, step: int) -> None:
        at = self.rows.index(self.sender()) + step
        if at < 0:
            self.to_who()
        elif at < len(self.rows):
            self.rows[at].setFocus()
        else:
            self.defects.setFocus()


def _boxed(name: str, size: int) -> tuple[Line, Box]:
    line = Line(size)
    line.setAccessibleName(name)
    box = Box(line, 9 * STEP)
    row = QHBoxLayout(box)
    row.setContentsMargins(3 * STEP, 0, 3 * STEP, 0)
    row.addWidget(line)
    return line, box


def _beside(who: Box, day: Box) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(3 * STEP)
    row.addWidget(who, 3)
    row.addWidget(Label("on", role="quiet"))
    row.addWidget(day, 2)
    return row


def _named_row(name: str, widget: QWidget) -> QHBoxLayout:
    label = Label(name, role="quiet")
    label.setFixedWidth(_SIDE)
    row = QHBoxLayout()
    row.setSpacing(0)
    row.addWidget(label, 0, Qt.AlignmentFlag.AlignTop)
    row.addWidget(widget, 1)
    label.setFixedHeight(HIGH)
    return row
