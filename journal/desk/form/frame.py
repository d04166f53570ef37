"""The frame of what asks: a title, what is asked, a message, and what can be done about it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QBoxLayout, QDialog, QHBoxLayout, QLayout, QVBoxLayout, QWidget

from journal.desk.asked_help import bind_help
from journal.desk.labels import Hairline, Label
from journal.desk.layouts import Margins, in_column, in_row
from journal.desk.scrollbars import scrolled
from journal.desk.theme import STEP, TITLE
from journal.wording.languages import translated

FormPart = QWidget | QLayout


class FramedDialog(QDialog):
    """A dialog with its title above and what can be done below, beside a fault; as large as what it
    holds needs when it is shown, and no larger than its screen, or than a window that reaches
    beyond it. `help_topic` is what the help says of it: a page, or "page/part"; "" is the page of
    the place shown."""

    help_topic = ""
    _fitted = False

    def __init__(self, title: str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        title = translated(title)
        self.setWindowTitle(title)
        bind_help(self, self.help_topic)
        self.heading = Label(title, TITLE, bold=True)
        self.fault = Label("", role="attention", wrap=True)

    def arrange(
        self, *body: FormPart, acts: Sequence[QWidget], message: FormPart | None = None,
        beside: QWidget | None = None,
    ) -> QVBoxLayout:  # fmt: skip
        """Lay it out, in the column that is returned: the first part of the body takes the room
        there is; `message` stands in the fault's place, `beside` beside the title."""
        head = in_row(self.heading, gap=4 * STEP)
        if beside is not None:
            head.addWidget(beside, 1, Qt.AlignmentFlag.AlignBottom)
        foot = QHBoxLayout()
        foot.setSpacing(4 * STEP)
        _put(foot, self.fault if message is None else message, 1)
        for act in acts:
            foot.addWidget(act)
        column = in_column(of=self, margins=(8 * STEP, 6 * STEP, 8 * STEP, 6 * STEP), gap=4 * STEP)
        for index, part in enumerate((head, Hairline(), *body, Hairline(), foot)):
            _put(column, part, 1 if index == 2 else 0)
        return column

    def refuse(self, sentence: str) -> None:
        """Say what was wrong; "" takes it back."""
        self.fault.say(sentence, wrong=bool(sentence), role="attention")

    def showEvent(self, event: QShowEvent) -> None:
        if not self._fitted:
            self._fitted = True
            self.resize(self._needed().boundedTo(self._room()))
        super().showEvent(event)

    def _needed(self) -> QSize:
        size, layout = self.size(), self.layout()
        if layout is not None:
            size = size.expandedTo(layout.totalMinimumSize())
            if layout.hasHeightForWidth():
                size.setHeight(max(size.height(), layout.totalHeightForWidth(size.width())))
        return size

    def _room(self) -> QSize:
        room = self.screen().availableGeometry().size()
        parent = self.parentWidget()
        if parent is None:
            return room
        over = parent.window()
        if over.size().boundedTo(room) != over.size():
            return over.size()
        return room - (over.frameGeometry().size() - over.size())


def arrange_page(
    page: QWidget,
    parts: Sequence[FormPart],
    text: QWidget,
    acts: Sequence[QWidget],
    *,
    gap: int = 4 * STEP,
    margins: Margins = (8 * STEP, 5 * STEP, 8 * STEP, 2 * STEP),
    sideways: bool = False,
) -> QVBoxLayout:
    """Lay a page out: its parts below each other, which scroll where there is no room, then what
    is said and what can be done. Returns the column of the parts."""
    inner = QWidget()
    column = in_column(of=inner, margins=margins, gap=gap)
    for part in parts:
        _put(column, part, 0)
    column.addStretch(1)
    foot = in_column(text, acts_row(*acts), margins=(8 * STEP, 0, 8 * STEP, 4 * STEP), gap=2 * STEP)
    in_column((scrolled(inner, sideways=sideways), 1), foot, of=page, margins=0)
    return column


def arrange_list(
    page: QWidget,
    head: Sequence[FormPart],
    rows: QWidget,
    foot: Sequence[FormPart] = (),
    *,
    gap: int = 3 * STEP,
    margins: Margins = (5 * STEP, 5 * STEP, 5 * STEP, 4 * STEP),
) -> None:
    """Lay a page out that is a list: what stands above it, its rows, which have the room there is
    and whose tint reaches beyond the words around them, and what stands below it."""
    side = 3 * STEP
    column = in_column(of=page, margins=margins, gap=0)
    for parts, inset in ((head, (side, 0, side, side)), (foot, (side, side, side, 0))):
        around = in_column(margins=inset, gap=gap)
        for part in parts:
            _put(around, part, 0)
        if parts:
            column.addLayout(around)
        if parts is head:
            column.addWidget(rows, 1)


def acts_row(*acts: QWidget) -> QHBoxLayout:
    """What can be done, side by side from the left."""
    return in_row(*acts, None, gap=3 * STEP)


def _put(layout: QBoxLayout, part: FormPart, stretch: int) -> None:
    if isinstance(part, QLayout):
        layout.addLayout(part, stretch)
    else:
        layout.addWidget(part, stretch)
