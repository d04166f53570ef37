"""Beside the causes: the photo of the cut, and the strips of the last session."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPen
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.labels import Label
from journal.desk.layouts import in_column
from journal.desk.theme import SMALL, STEP, Colours, scaled
from journal.desk.thumbnails import Thumbnails, draw_covering
from journal.reports.cut_and_scores import CutAndScores, SessionStrip
from journal.wording import worded

SIDE = 36 * STEP
_ROW = 19
_NAME = 24 * STEP
_SCALE = 10.0


class CutPhoto(DrawnWidget):
    """The photo of the cut."""

    def __init__(self, path_of: Callable[[str], Path | None]) -> None:
        super().__init__()
        self._path_of, self._photo = path_of, ""
        self._thumbnails = Thumbnails(self)
        self._thumbnails.came.connect(self.update)
        self.setFixedSize(SIDE, SIDE)

    def show_photo(self, photo: str, words: str) -> None:
        """Show a photo of the journal's folder."""
        self._photo = photo
        self.setAccessibleName(words)
        self.update()

    def draw(self, painter: QPainter, c: Colours) -> None:
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        picture = self._thumbnails.of(self._path_of(self._photo), SIDE) if self._photo else None
        if picture is None:
            painter.fillRect(box, c.field)
        else:
            draw_covering(painter, picture, box)
        painter.setPen(QPen(c.hairline, 1))
        painter.drawRect(box)
        painter.end()


class SessionStrips(DrawnWidget):
    """Each attribute on its scale: filled the last session, hollow the one before, a bar the best
    wheel; the attribute asked about stands out."""

    def __init__(self) -> None:
        super().__init__()
        self.strips: tuple[SessionStrip, ...] = ()
        self._asked = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_strips(self, strips: tuple[SessionStrip, ...], asked: str) -> None:
        """Show these attributes."""
        self.strips, self._asked = strips, asked
        self.setFixedHeight(scaled(_ROW) * (len(strips) + 1))
        scores = (f"{one.attribute} {one.here:.1f}" for one in strips)
        self.setAccessibleName(worded("desk.scores-of-last-session", scores=scores))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(_NAME + 40 * STEP, scaled(_ROW) * (len(self.strips) + 1))

    def x_of(self, score: float) -> float:
        """Where a score lies, px from the left."""
        return _NAME + 4 + score / _SCALE * (self.width() - _NAME - 12)

    def draw(self, painter: QPainter, c: Colours) -> None:
        high = scaled(_ROW)
        for i, one in enumerate(self.strips):
            y = i * high + high / 2
            asked = one.attribute == self._asked
            painter.setPen(c.attention if asked else c.ink)
            name = QRectF(0, i * high, _NAME, high)
            painter.drawText(name, Qt.AlignmentFlag.AlignVCenter, one.attribute)
            painter.fillRect(
                QRectF(self.x_of(0), y, self.x_of(_SCALE) - self.x_of(0), 1), c.hairline
            )
            self._marks(painter, c, one, y, asked=asked)
        painter.setPen(c.quiet)
        for score in (0, 5, 10):
            at = QRectF(self.x_of(score) - 12, len(self.strips) * high, 24, high)
            painter.drawText(at, Qt.AlignmentFlag.AlignCenter, f"{score}")
        painter.end()

    def _marks(
        self, painter: QPainter, c: Colours, one: SessionStrip, y: float, *, asked: bool
    ) -> None:
        if one.best is not None:
            painter.fillRect(QRectF(self.x_of(one.best) - 1, y - 6, 3, 12), c.planned)
        if one.before is not None:
            painter.setPen(QPen(c.ink, 1.4))
            painter.setBrush(c.paper)
            painter.drawEllipse(QPointF(self.x_of(one.before), y), 4.5, 4.5)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(c.attention if asked else c.ink)
        painter.drawEllipse(QPointF(self.x_of(one.here), y), 4.5, 4.5)


class CutAndStrips(QWidget):
    """Both side by side, each with a word above it; hidden where there is neither."""

    def __init__(self, path_of: Callable[[str], Path | None]) -> None:
        super().__init__()
        self.cut, self.strips = CutPhoto(path_of), SessionStrips()
        self.age = Label("", SMALL, role="quiet")
        self.key = Label("", SMALL, role="quiet", wrap=True)
        self._left = QWidget()
        left = in_column(
            Label("The cut", SMALL, role="quiet"), self.cut, self.age, None, of=self._left
        )
        right = in_column(self.key, self.strips, None)
        row = QHBoxLayout(self)
        row.setSpacing(6 * STEP)
        for layout in (left, right, row):
            layout.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self._left)
        row.addLayout(right, 1)

    def show_beside(self, beside: CutAndScores, asked: str) -> None:
        """Show what there is."""
        cut = beside.cut
        self._left.setVisible(cut is not None)
        if cut is not None:
            self.cut.show_photo(cut.photo, worded("desk.the-cut", title=cut.title))
            self.age.setText(cut.title)
        self.strips.setVisible(bool(beside.strips))
        self.key.setVisible(bool(beside.strips))
        key = "desk.strips-and-best" if beside.best else "desk.strips"
        self.key.setText(worded(key, best=beside.best))
        self.strips.show_strips(beside.strips, asked)
        self.setVisible(cut is not None or bool(beside.strips))
