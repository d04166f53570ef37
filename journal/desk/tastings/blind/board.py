"""The page beside the setup form: how the session will go, and what this many people can show."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from journal.desk.labels import Hairline, Label
from journal.desk.layouts import in_column
from journal.desk.scrollbars import scrolled
from journal.desk.tastings.progress import ProgressTable
from journal.desk.theme import STEP
from journal.wording import worded
from journal.wording.panel import fitting_words
from journal.wording.session_progress import TO_COME, ProgressBox, ProgressRow

_SECONDS = 20  # to type what one sample is given
# Hold at 14.5 to 15.5 °C overnight: the Canadian cheddar card as taught at a university.
_PRACTICE = (
    "Bring all samples to one temperature first (graders of cheddar hold them at 14.5 to "
    "15.5 °C overnight). Cut alike, serve in like cups, give water and plain bread between. "
    "Serve one cheese twice, and the journal learns how consistent each of you is."
)
_CAUTION = (
    "Serve only what you would eat. Cheese of raw milk, soft or mould-ripened cheese, in which "
    "Listeria grows even in the cold (FSANZ, 2016), is not for everyone: pregnant, very young, old "
    "or ill people are at risk. Ask about allergies, and keep to your local codes."
)


class ServingBoard(QWidget):
    """Shows what is to come; knows nothing of which code will be what."""

    def __init__(self) -> None:
        super().__init__()
        self.servings = ProgressTable("How the session will go")
        self.counted = Label("", role="quiet", wrap=True)
        self.fitting = Label("", role="quiet", wrap=True)
        inner = QWidget()
        in_column(
            Label("How the session will go", role="quiet"),
            self.servings,
            self.counted,
            Hairline(),
            self.fitting,
            Label(_PRACTICE, role="quiet", wrap=True),
            Label(_CAUTION, role="quiet", wrap=True),
            None,
            of=inner,
            margins=(8 * STEP, 9 * STEP, 8 * STEP, 4 * STEP),
            gap=4 * STEP,
        )
        in_column(scrolled(inner), of=self, margins=0)

    def show_plan(self, samples: int, people: list[str]) -> None:
        """Show so many samples for these people."""
        there = bool(samples and people)
        self.servings.setVisible(there)
        box = ProgressBox("", TO_COME)
        self.servings.show_rows(
            [ProgressRow(name, (box,) * samples) for name in people] if there else []
        )
        self.counted.setText(_counted(samples, len(people)))
        self.fitting.setText(fitting_words(len(people)) if people else "")
        self.fitting.setVisible(bool(people))
        self.counted.setAlignment(Qt.AlignmentFlag.AlignTop)


def _counted(samples: int, people: int) -> str:
    if not samples or not people:
        return (
            "Enter the samples and the assessors. Codes and orders are drawn when you set up "
            "the session."
        )
    typing = max(1, round(samples * _SECONDS / 60))
    return worded("desk.session-size", samples=samples, people=people, minutes=typing)
