"""What comes of a plan, in words below its table: the cheese, what cannot work, the night."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from journal.desk.labels import Label, WarningMark
from journal.desk.layouts import in_column, in_row
from journal.desk.theme import SMALL, STEP
from journal.wording import worded

_MOST = 4


class Outcome(QWidget):
    """Sentences under each other, those that want attention with a triangle."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[tuple[QWidget, WarningMark, Label]] = []
        column = in_column(of=self, margins=0, gap=STEP)
        for _ in range(_MOST):
            row = QWidget()
            line = in_row(of=row, margins=0, gap=2 * STEP)
            mark, words = WarningMark(), Label("", SMALL, wrap=True)
            line.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
            line.addWidget(words, 1)
            column.addWidget(row)
            self._rows.append((row, mark, words))

    def show_sentences(self, sentences: Sequence[tuple[bool, str]], most: int = _MOST) -> None:
        """Show these, (wants attention, sentence) each; what does not fit is counted."""
        shown = _fitting(list(sentences), most)
        for i, (row, mark, words) in enumerate(self._rows):
            row.setVisible(i < len(shown))
            if i < len(shown):
                mark.setVisible(shown[i][0])
                words.setText(shown[i][1])
        self.setAccessibleName(" ".join(text for _, text in shown))

    @property
    def sentences(self) -> list[str]:
        """What stands there."""
        return [words.text() for row, _, words in self._rows if not row.isHidden()]


def _fitting(sentences: list[tuple[bool, str]], most: int) -> list[tuple[bool, str]]:
    """As many as there is room for: the first always, then what wants attention, counted where
    it is too much."""
    if len(sentences) <= most:
        return sentences
    first, rest = sentences[:1], sentences[1:]
    marked = [one for one in rest if one[0]]
    room = most - len(first)
    if len(marked) <= room:
        quiet = [one for one in rest if not one[0]][: room - len(marked)]
        return first + [one for one in rest if one[0] or one in quiet]
    left = len(marked) - room
    shown = marked[:room]
    shown[-1] = (True, _counted(shown[-1][1], left))
    return [*first, *shown]


def _counted(sentence: str, left: int) -> str:
    """A sentence, and how many more there are."""
    return worded("desk.more-faults", sentence=sentence, left=left) if left else sentence
