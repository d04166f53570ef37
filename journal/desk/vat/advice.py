"""What the numbers say: a head, a sentence, what answers it, and quiet lines below."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from journal.curves.slow_acid import CAUTION
from journal.desk.buttons import FAINT, PLAIN, Button, WordButton
from journal.desk.labels import Label, WarningMark
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import SMALL, STEP
from journal.wording import text_of, worded
from journal.wording.at_the_vat import LINES_MOST, READ, PageText
from journal.wording.keys import key_of
from journal.wording.vat_day import noted_words
from journal.wording.vat_stage import bound


class AdviceBox(QWidget):
    """Shows the advice; `longer`, `left` and `asked` (for all that happened) come from its
    buttons."""

    longer = Signal()
    left = Signal()
    asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._message = PageText()
        self.head = Label("", bold=True, wrap=True)
        self.says = Label("", wrap=True)
        self.caution = Label("", SMALL, wrap=True)
        self.mark = WarningMark()
        self.more = Button("", PLAIN, "longer")
        self.leave = Button("Dismiss", FAINT, "Esc")
        self.lines = tuple(Label("", wrap=True) for _ in range(LINES_MOST))
        self.noted = WordButton("", size=SMALL)
        self.more.clicked.connect(self._on_more)
        self.leave.clicked.connect(self._on_leave)
        self.noted.clicked.connect(self._on_noted)
        self._build()

    def _build(self) -> None:
        self._buttons = QWidget()
        in_row(
            self.more, self.leave, None, of=self._buttons, margins=(0, STEP, 0, STEP), gap=3 * STEP
        )
        first = in_row(self.mark, (self.head, 1), gap=2 * STEP)
        self._column = in_column(
            first,
            self.says,
            self.caution,
            self._buttons,
            *self.lines,
            self.noted,
            of=self,
            margins=0,
            gap=STEP,
        )

    def show_text(self, message: PageText) -> None:
        """Show the advice; an offer and attention bring the buttons."""
        self._message = message
        self.head.setText(_share_bound(message.head))
        self.head.setVisible(bool(message.head))
        self.says.setText(_share_bound(bound(message.rest)))
        self.says.setVisible(bool(message.rest))
        self.mark.setVisible(message.attention)
        self.caution.setVisible(message.caution)
        self.more.setVisible(message.offer is not None)
        if message.offer is not None:
            self.more.set_label(
                worded("desk.minutes-longer", minutes=message.offer.minutes), "longer"
            )
        self.leave.setVisible(message.attention and message.order != READ)  # but by reading it
        self.leave.set_label("I have read it" if message.caution else "Dismiss", "Esc")
        self._buttons.setVisible(message.attention and message.order != READ)
        self._show_lines(message)
        self.setVisible(bool(message.head or message.lines or message.noted or message.warns))

    def give_way(self, *, whole: bool, lines: int, noted: bool) -> None:
        """Where the window is low: the caution in short, no count of what happened, fewer lines
        (those with the mark go last; a doubt about the culture stays)."""
        self.caution.setText(text_of(CAUTION) if whole else worded("desk.slow-acid-in-short"))
        message = self._message.lines
        urgent = sorted(range(len(message)), key=lambda index: not message[index].attention)
        held = [index for index in urgent if message[index].stays]
        urgent = [*held, *(index for index in urgent if index not in held)][: max(lines, len(held))]
        for index, label in enumerate(self.lines):
            label.setVisible(index in urgent)
        self.noted.setVisible(noted and (self._message.warns or bool(self._message.noted)))
        self._column.invalidate()
        self.updateGeometry()

    def _show_lines(self, message: PageText) -> None:
        for label, line in zip(self.lines, message.lines, strict=False):
            text = _share_bound(bound(line.text))
            label.setText(f"▲ {text}" if line.attention else text)
            label.set_role("attention" if line.attention else "quiet")
        self.noted.setText(f"{noted_words(message)}  {key_of('happened')}")
        self.noted.updateGeometry()
        self.give_way(whole=True, lines=LINES_MOST, noted=True)

    def _on_more(self) -> None:
        self.longer.emit()

    def _on_leave(self) -> None:
        self.left.emit()

    def _on_noted(self) -> None:
        self.asked.emit()


def _share_bound(text: str) -> str:
    """The text with a share such as "(38 in 100)" unbroken."""
    return text.replace(" in 100)", "\u00a0in\u00a0100)")
