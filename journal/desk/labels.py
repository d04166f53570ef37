"""Words on a page: labels in the type scale, hairlines, the triangle that asks for attention."""

from __future__ import annotations

import html

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from journal.desk.charts.marks import Scene, TriangleMark
from journal.desk.drawn import PaintedWidget
from journal.desk.layouts import in_column, in_row
from journal.desk.spoken import announce
from journal.desk.theme import SMALL, STEP, TEXT, font, scaled
from journal.wording.languages import phrase
from journal.wording.ties import tied_on_screen

_ROLES = {
    "ink": QPalette.ColorRole.WindowText,
    "quiet": QPalette.ColorRole.PlaceholderText,
    "planned": QPalette.ColorRole.Link,
    "attention": QPalette.ColorRole.LinkVisited,
}


class Label(QLabel):
    """Plain text at a size of the scale; never reads typed text as markup."""

    def __init__(
        self,
        text: str = "",
        size: int = TEXT,
        *,
        bold: bool = False,
        role: str = "ink",
        wrap: bool = False,
        right: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._given = ""
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setFont(font(size, bold=bold))
        self.set_role(role)
        self.setWordWrap(wrap)
        if right:
            self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.setText(text)

    def setText(self, text: str) -> None:
        """Say it; where lines wrap no amount is torn from its unit. A single word is said as it
        stands: it may be a name that a person typed."""
        self._given = text = phrase(text)
        super().setText(tied_on_screen(text) if self.wordWrap() else text)

    def text(self) -> str:
        """What it says, as it was given."""
        return self._given

    def set_role(self, role: str) -> None:
        """Say it in another voice: "ink", "quiet", "planned" or "attention"."""
        self.role = role
        self.setForegroundRole(_ROLES[role])

    def say(self, sentence: str, *, wrong: bool = False, role: str = "quiet") -> None:
        """Say something, or what was wrong, which is marked and said aloud."""
        before, page = self.text(), self.parentWidget()
        self.set_role("attention" if wrong else role)
        self.setText(f"▲ {sentence}" if wrong else sentence)
        if wrong and self.text() != before and page is not None and page.isVisible():
            announce(self, sentence, urgent=True)

    def say_if_any(self, sentence: str, *, wrong: bool = False) -> None:
        """The same; it takes no room while there is nothing to say."""
        self.say(sentence, wrong=wrong and bool(sentence))
        self.setVisible(bool(sentence))


def plain_tip(text: str) -> str:
    """The text of a tool tip, which Qt would read as markup where it looks like it."""
    text = phrase(text)
    return f"<span>{html.escape(text)}</span>" if "<" in text else text


class Hairline(QWidget):
    """A rule across the page."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFixedHeight(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setBackgroundRole(QPalette.ColorRole.Mid)
        self.setAutoFillBackground(True)


class WarningMark(PaintedWidget):
    """The mark beside what needs attention; filled where something is wrong."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, _warning)
        self.setFixedSize(QSize(scaled(14), scaled(12)))


def _warning(_wide: float, _high: float) -> Scene:
    return Scene([TriangleMark(0, 0, scaled(14))])


class Marked(QWidget):
    """A sentence that wants attention: the triangle, and the words in ink."""

    def __init__(self, size: int = TEXT) -> None:
        super().__init__()
        self.words = Label("", size, wrap=True)
        mark = in_column(WarningMark(), None, margins=(0, 2 if size == SMALL else STEP, 0, 0))
        in_row(mark, (self.words, 1), of=self, margins=0, gap=2 * STEP)

    def say(self, sentence: str) -> None:
        """Say it; "" takes no room."""
        self.words.setText(sentence)
        self.setAccessibleName(sentence)
        self.setVisible(bool(sentence))
