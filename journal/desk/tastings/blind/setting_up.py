"""Laying out a session: what is on the board, who tastes, the sheet, the codes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from journal.desk.buttons import FAINT, MAIN, Button
from journal.desk.form.frame import arrange_page
from journal.desk.form.suggest import Suggestion
from journal.desk.labels import Label
from journal.desk.tastings.chip_line import HIGH
from journal.desk.tastings.chips import ChipEntry, ChipsField
from journal.desk.tastings.choice import ChoiceList
from journal.desk.tastings.marks import boxed
from journal.desk.theme import STEP, TEXT, TITLE
from journal.records.kinds import ATTRIBUTES
from journal.records.tastings import BY_ASSESSOR, BY_SAMPLE, SHUFFLED

Look = Callable[[str], list[Suggestion]]
CODE_WORDS = {
    BY_SAMPLE: "A sample has one code, the same for everyone.",
    BY_ASSESSOR: "Each assessor has their own codes, so nobody can compare aloud.",
    SHUFFLED: (
        "For tasting alone: stick each code under its cup, let a helper shuffle the cups "
        "while you look away, taste them in order, and read the codes at the end."
    ),
}
_SIDE = 26 * STEP


class LayOut(QWidget):
    """The page. It only shows and asks: `changed` that something is different now, `edited` that
    something was typed, `asked` to lay it out, `go_on` to go to the list of sessions."""

    changed = Signal()
    edited = Signal()
    asked = Signal()
    go_on = Signal()

    def __init__(self, cheeses: Look, people: Look, attributes: Look) -> None:
        super().__init__()
        self.board = ChipsField("Samples", "a wheel, or a name", self, cheeses, twice=True)
        self.people = ChipsField("Assessors", "a name", self, people)
        self.sheet = ChipsField("Attributes", "an attribute", self, attributes)
        self.codes = ChoiceList(
            "Codes",
            (
                (BY_SAMPLE, "one per sample"),
                (BY_ASSESSOR, "one per assessor"),
                (SHUFFLED, "shuffled"),
            ),
        )
        self.day, day_box = boxed("Day of the session", TEXT)
        self.day.setPlaceholderText("today")
        self.code_words = Label(CODE_WORDS[BY_SAMPLE], role="quiet", wrap=True)
        self.message = Label("", role="quiet", wrap=True)
        self.begin = Button("Set up", MAIN, "Ctrl ⏎")
        self.on = Button("All sessions", FAINT, "Ctrl L")
        day_box.setFixedHeight(HIGH)
        self._build(day_box)
        self.board.changed.connect(self.changed)
        self.people.changed.connect(self.changed)
        self.sheet.changed.connect(self.changed)
        self.board.done.connect(self.people.setFocus)
        self.people.done.connect(self.sheet.setFocus)
        self.sheet.done.connect(self.codes.setFocus)
        self.codes.done.connect(self.day.setFocus)
        self.day.returnPressed.connect(self.begin.setFocus)
        self.codes.changed.connect(self._on_codes)
        self.begin.clicked.connect(self.asked)
        self.on.clicked.connect(self.go_on)
        self.setFocusProxy(self.board)
        self.clear()
        for line in (self.board.line, self.people.line, self.sheet.line, self.day):
            line.textEdited.connect(self.edited)
        self.changed.connect(self.edited)

    def _build(self, day_box: QWidget) -> None:
        parts = (
            Label("New session", TITLE, bold=True),
            named("Samples", self.board),
            named("Assessors", self.people),
            named("Attributes", self.sheet),
            named("Codes", self.codes),
            named("", self.code_words),
            named("Day", day_box),
        )
        arrange_page(self, parts, self.message, (self.begin, self.on))

    def clear(self) -> None:
        """An empty board; the sheet as usual."""
        self.board.show_entries([])
        self.sheet.show_entries([ChipEntry(name, name) for name in ATTRIBUTES])
        self.message.say_if_any("")

    def begun(self) -> bool:
        """Something is on the board already."""
        return bool(self.board.entries() or self.board.line.text())

    def half_typed(self) -> dict[str, Any] | None:
        """What stands on the page, None when nothing does yet."""
        if not (self.begun() or self.people.line.text()):
            return None
        return {
            "board": self.board.half_typed(), "people": self.people.half_typed(),
            "sheet": self.sheet.half_typed(), "codes": self.codes.chosen(), "day": self.day.text(),
        }  # fmt: skip

    def recall(self, half: dict[str, Any] | None) -> None:
        """What `half_typed` said before."""
        if half is None:
            return
        try:
            for field, key in (
                (self.board, "board"), (self.people, "people"), (self.sheet, "sheet"),
            ):  # fmt: skip
                field.recall(half[key])
            self.codes.choose(half["codes"])
            self.day.setText(str(half["day"]))
        except (ValueError, TypeError, KeyError):
            self.clear()  # of another program's making

    def _on_codes(self, key: str) -> None:
        self.code_words.setText(CODE_WORDS[key])
        self.changed.emit()


def named(name: str, widget: QWidget) -> QHBoxLayout:
    """A widget with its name before it."""
    label = Label(name, role="quiet")
    label.setFixedWidth(_SIDE)
    label.setFixedHeight(HIGH)
    row = QHBoxLayout()
    row.setSpacing(0)
    row.addWidget(label, 0, Qt.AlignmentFlag.AlignTop)
    row.addWidget(widget, 1)
    return row
