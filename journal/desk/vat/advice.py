"""What the numbers say: a head, a sentence, and the two buttons that answer it."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from journal.curves.vessel import Advice
from journal.desk.buttons import FAINT, PLAIN, Button
from journal.desk.labels import Label, Triangle
from journal.desk.theme import STEP
from journal.desk.vat.stage_words import advice_words

LEAST_LONGER_MIN = 1


@dataclass(frozen=True)
class Offer:
    """Minutes more that would bring the stage where the plan wants it, and the reason."""

    minutes: int
    reason: str


def offer_of(advice: Advice | None, corridor_c: float) -> Offer | None:
    """More minutes where the milk is behind and cannot arrive on time within the plan's limit."""
    if advice is None or advice.limit is None or not advice.behind_c > corridor_c:
        return None
    needed = advice.rate_needed
    if needed is not None and round(needed, 2) <= round(advice.limit, 2):
        return None
    longer = max(round(advice.longer_min or 0.0), LEAST_LONGER_MIN)
    return Offer(longer, advice_words(advice, corridor_c)[0].rstrip("."))


class AdviceBox(QWidget):
    """Shows an advice; `longer` and `left` come from its buttons."""

    longer = Signal()
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.head = Label("", bold=True, wrap=True)
        self.says = Label("", wrap=True)
        self.mark = Triangle()
        self.more = Button("", PLAIN, "Ctrl L")
        self.leave = Button("Leave it", FAINT, "Esc")
        self.more.clicked.connect(self._on_more)
        self.leave.clicked.connect(self._on_leave)
        buttons = QHBoxLayout()
        buttons.setContentsMargins(0, STEP, 0, STEP)
        buttons.setSpacing(3 * STEP)
        buttons.addWidget(self.more)
        buttons.addWidget(self.leave)
        buttons.addStretch(1)
        first = QHBoxLayout()
        first.setSpacing(2 * STEP)
        first.addWidget(self.mark)
        first.addWidget(self.head, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(STEP)
        column.addLayout(first)
        column.addWidget(self.says)
        column.addLayout(buttons)

    def show_words(self, head: str, rest: str, *, attention: bool, offer: Offer | None) -> None:
        """Show a sentence with its head; an offer and attention bring the buttons."""
        self.head.setText(head)
        self.says.setText(rest)
        self.says.setVisible(bool(rest))
        self.mark.setVisible(attention)
        self.more.setVisible(offer is not None)
        if offer is not None:
            self.more.set_words(f"{offer.minutes} min longer", "Ctrl L")
        self.leave.setVisible(attention)
        self.setVisible(bool(head))

    def _on_more(self) -> None:
        self.longer.emit()

    def _on_leave(self) -> None:
        self.left.emit()
