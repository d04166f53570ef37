"""The card of the next make: what to change, why, and what it costs if it is wrong."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QSizePolicy, QWidget

from journal.desk.buttons import MAIN, Button, WordButton
from journal.desk.charts.marks import BoxMark, Scene
from journal.desk.drawn import DrawnWidget
from journal.desk.labels import Label, plain_tip
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import LEAD, RADIUS, SMALL, STEP
from journal.findings.next_make import NextMake, Proposal
from journal.wording import text_of, worded
from journal.wording.keys import key_of
from journal.wording.languages import translated
from journal.wording.next_make import (
    change_lines,
    expected_score,
    proposal_kind,
    proposal_notes,
    year_question,
    year_words,
)

KINDS = ("careful", "bold", "one", "best")
MOST_LINES = 4
"""Changes that are shown; of more the rest is counted, and told on hover."""


class NextCard(DrawnWidget):
    """Says what to make next and why: carefully, boldly, one change, or the best known plan.
    `planned` carries the Proposal to open as a plan; `asked` that the makes a year are to be set,
    and `kind_chosen` which of the four was picked."""

    planned = Signal(object)
    asked = Signal()
    kind_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(translated("Next make"))
        self._proposals = NextMake()
        self._kind, self._year_known = KINDS[0], True
        self._low = False
        self.heading = Label("", LEAD, bold=True, wrap=True)
        self.reason = Label("", SMALL, wrap=True)
        self.score = Label("", SMALL, role="quiet", wrap=True)
        self.plan = Button("Plan it", MAIN)
        self.plan.setToolTip(plain_tip(key_of("larger_act")))
        self.plan.clicked.connect(self.plan_it)
        self.year = WordButton("", size=SMALL)
        self.year.clicked.connect(self.asked)
        acts = in_row(self.plan, None, self.year)
        self._column = in_column(
            self._kinds(),
            self.heading,
            self.reason,
            self.score,
            STEP,
            acts,
            of=self,
            margins=(6 * STEP, 3 * STEP, 6 * STEP, 4 * STEP),
            gap=2 * STEP,
        )
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)

    def _kinds(self) -> QHBoxLayout:
        self.kinds = QButtonGroup(self)
        row = QHBoxLayout()
        row.setSpacing(5 * STEP)
        for index, kind in enumerate(KINDS):
            button = WordButton(proposal_kind(kind), size=SMALL)
            button.setCheckable(True)
            button.setAutoExclusive(True)
            self.kinds.addButton(button, index)
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(Label(key_of("turn_card"), SMALL, role="quiet"))
        self.kinds.idClicked.connect(self._on_kind)
        return row

    def show_next(self, proposals: NextMake | None, *, year_known: bool = True) -> None:
        """Show what is proposed; how many makes a year is asked until it was said."""
        self._proposals = NextMake() if proposals is None else proposals
        self._year_known = year_known
        self._show()

    @property
    def kind(self) -> str:
        """Which of the four is shown."""
        return self._kind

    @property
    def proposal(self) -> Proposal | None:
        """The proposal shown; None where there is none."""
        return self._proposals.of(self._kind)

    def plan_it(self) -> None:
        """Open the plan with its changes."""
        if self.proposal is not None:
            self.planned.emit(self.proposal)

    def turn(self) -> None:
        """Show the next of the four."""
        self._on_kind((KINDS.index(self._kind) + 1) % len(KINDS))

    def turn_to(self, kind: str) -> None:
        """Show one of the four."""
        self._kind = kind if kind in KINDS else KINDS[0]
        self._show()

    def be_low(self, low: bool) -> None:
        """Stand in little height, where the picture above needs it: closer, and of what is to be
        known beside the changes only what they may bring and cost, the rest on hover."""
        if low != self._low:
            self._low = low
            self._column.setSpacing(STEP if low else 2 * STEP)
            self._show()

    def _on_kind(self, index: int) -> None:
        self.turn_to(KINDS[index])
        self.kind_chosen.emit(self._kind)

    def _show(self) -> None:
        self.kinds.button(KINDS.index(self._kind)).setChecked(True)
        own, there = self.proposal, self._proposals.best is not None
        for button in self.kinds.buttons():
            button.setVisible(there)
        self.year.setVisible(there)
        words = year_words if self._year_known else year_question
        self.year.setText(words(self._proposals.a_year))
        self.year.setAccessibleName(self.year.text())
        self.year.updateGeometry()
        self.plan.setVisible(own is not None)
        self.score.setVisible(own is not None)
        self.reason.setToolTip("")
        if own is None:
            why = self._proposals.why
            self.heading.setText("No suggestion yet.")
            self.reason.setText("" if why is None else text_of(why))
        else:
            lines = change_lines(own)
            self.heading.setText(text_of(own.title))
            self.reason.setText("\n".join(_first(lines)))
            self.reason.setToolTip(plain_tip("\n".join(lines)))
            beside = proposal_notes(own)
            self.score.setText(" ".join([expected_score(own), *beside[-1 if self._low else 0 :]]))
            self.score.setToolTip(plain_tip(" ".join(beside)) if self._low else "")
        self.reason.setVisible(bool(self.reason.text()))
        self.setAccessibleDescription(f"{self.heading.text()} {self.reason.text()}")

    def scene(self) -> Scene:
        box = (0.5, self.width() - 0.5), (0.5, self.height() - 0.5)
        return Scene([BoxMark(*box, "field", "hairline", rounded=RADIUS)])


def _first(lines: list[str]) -> list[str]:
    """The lines that are shown, with what is left of them."""
    if len(lines) <= MOST_LINES:
        return lines
    return [
        *lines[: MOST_LINES - 1],
        worded("desk.and-more-lines", more=len(lines) - MOST_LINES + 1),
    ]
