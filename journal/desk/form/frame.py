"""The frame of what asks: a title, what is asked, a message, and what can be done about it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QBoxLayout, QDialog, QHBoxLayout, QLayout, QVBoxLayout, QWidget

from journal.desk.labels import Hairline, Label
from journal.desk.scrollbars import scrolled
from journal.desk.theme import STEP, TITLE

Part = QWidget | QLayout


class FramedDialog(QDialog):
    """A dialog with its title above and what can be done below, beside a fault."""

    def __init__(self, title: str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        self.heading = Label(title, TITLE, bold=True)
        self.fault = Label("", role="attention", wrap=True)

    def arrange(
        self, *body: Part, acts: Sequence[QWidget], message: Part | None = None,
        beside: QWidget | None = None,
    ) -> QVBoxLayout:  # fmt: skip
        """Lay it out, in the column that is returned: the first part of the body takes the room
        there is; `message` stands in the fault's place, `beside` beside the title."""
        head = QHBoxLayout()
        head.setSpacing(4 * STEP)
        head.addWidget(self.heading)
        if beside is not None:
            head.addWidget(beside, 1, Qt.AlignmentFlag.AlignBottom)
        foot = QHBoxLayout()
        foot.setSpacing(4 * STEP)
        _put(foot, self.fault if message is None else message, 1)
        for act in acts:
            foot.addWidget(act)
        column = QVBoxLayout(self)
        column.setContentsMargins(8 * STEP, 6 * STEP, 8 * STEP, 6 * STEP)
        column.setSpacing(4 * STEP)
        for index, part in enumerate((head, Hairline(), *body, Hairline(), foot)):
            _put(column, part, 1 if index == 2 else 0)
        return column

    def refuse(self, sentence: str) -> None:
        """Say what was wrong; "" takes it back."""
        self.fault.say(sentence, wrong=bool(sentence), role="attention")


def arrange_page(
    page: QWidget,
    parts: Sequence[Part],
    text: QWidget,
    acts: Sequence[QWidget],
    *,
    gap: int = 4 * STEP,
    sideways: bool = False,
) -> QVBoxLayout:
    """Lay a page out: its parts below each other, which scroll where there is no room, then what
    is said and what can be done. Returns the column of the parts."""
    inner = QWidget()
    column = QVBoxLayout(inner)
    column.setContentsMargins(8 * STEP, 5 * STEP, 8 * STEP, 2 * STEP)
    column.setSpacing(gap)
    for part in parts:
        _put(column, part, 0)
    column.addStretch(1)
    foot = QVBoxLayout()
    foot.setContentsMargins(8 * STEP, 0, 8 * STEP, 4 * STEP)
    foot.setSpacing(2 * STEP)
    foot.addWidget(text)
    foot.addLayout(acts_row(*acts))
    whole = QVBoxLayout(page)
    whole.setContentsMargins(0, 0, 0, 0)
    whole.addWidget(scrolled(inner, sideways=sideways), 1)
    whole.addLayout(foot)
    return column


def acts_row(*acts: QWidget) -> QHBoxLayout:
    """What can be done, side by side from the left."""
    row = QHBoxLayout()
    row.setSpacing(3 * STEP)
    for act in acts:
        row.addWidget(act)
    row.addStretch(1)
    return row


def _put(layout: QBoxLayout, part: Part, stretch: int) -> None:
    if isinstance(part, QLayout):
        layout.addLayout(part, stretch)
    else:
        layout.addWidget(part, stretch)
