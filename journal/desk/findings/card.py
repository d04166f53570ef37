"""The card of the next make: the change that would teach the most, and the one that promises."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from journal.desk.buttons import MAIN, PLAIN, Button
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import Label, plain_tip
from journal.desk.theme import LEAD, RADIUS, STEP, Colours
from journal.findings.next_make import NextMake, Proposal
from journal.wording import text_of


class NextCard(DrawnWidget):
    """Says what to try next and why. `planned` carries the Proposal to open as a plan."""

    planned = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Next make")
        self._proposals: NextMake | None = None
        self._improving = False
        self.heading = Label("", LEAD, bold=True, wrap=True)
        self.reason = Label("", wrap=True)
        self.learn = Button("Plan it to learn", MAIN, "Ctrl L")
        self.improve = Button("Or to improve", PLAIN)
        self.improve.setMinimumWidth(1)  # its words give way before the page does
        self.learn.clicked.connect(self.plan_it)
        self.improve.clicked.connect(self.turn)
        acts = QVBoxLayout()  # under each other: their words are long, and no fold is to move
        acts.setSpacing(2 * STEP)
        for button in (self.learn, self.improve):
            acts.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        column = QVBoxLayout(self)
        column.setContentsMargins(6 * STEP, 4 * STEP, 6 * STEP, 4 * STEP)
        column.setSpacing(2 * STEP)
        column.addWidget(self.heading)
        column.addWidget(self.reason)
        column.addSpacing(STEP)
        column.addLayout(acts)
        column.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)

    def show_next(self, proposals: NextMake | None) -> None:
        """Show what is proposed."""
        self._proposals, self._improving = proposals, False
        self._show()

    @property
    def proposal(self) -> Proposal | None:
        """The change the card stands on; None where there is none."""
        if self._proposals is None:
            return None
        return self._proposals.improve if self._improving else self._proposals.learn

    def plan_it(self) -> None:
        """Open the plan with the change marked."""
        if self.proposal is not None:
            self.planned.emit(self.proposal)

    def turn(self) -> None:
        """Show the other change: to improve, or to learn."""
        self._improving = not self._improving
        self._show()

    def _show(self) -> None:
        own, other, why = self.proposal, None, ""
        if self._proposals is not None:
            other = self._proposals.learn if self._improving else self._proposals.improve
            why = "" if self._proposals.why is None else text_of(self._proposals.why)
        self.learn.setVisible(own is not None)
        self.improve.setVisible(other is not None)
        if own is None:
            self.heading.setText("No suggestion yet.")
            self.reason.setText(why)
        else:
            self.heading.setText(text_of(own.title))
            more = "" if self._improving else why
            self.reason.setText(f"{text_of(own.reason)} {more}".strip())
            self.learn.set_words(f"Plan it to {own.kind}", "Ctrl L")
        self._name_other(other)
        self.setAccessibleDescription(f"{self.heading.text()} {self.reason.text()}")

    def _name_other(self, other: Proposal | None) -> None:
        """What the other change is, where there is room for it on its button."""
        if other is None:
            return
        words = f"Or to {other.kind}: {text_of(other.short)}"
        self.improve.set_words(words, "Ctrl ⇧ L")
        self.improve.setToolTip(plain_tip(words))
        if self.isVisible() and self.improve.sizeHint().width() > self.width() - 12 * STEP:
            self.improve.set_words(f"Or to {other.kind}", "Ctrl ⇧ L")

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._show()

    def draw(self, painter: QPainter, c: Colours) -> None:
        painter.setPen(QPen(c.hairline, 1))
        painter.setBrush(c.field)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), RADIUS, RADIUS)
        painter.end()
