"""A page in millimetres: its type, ink and rules, and words wrapped so that none is cut."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QLocale, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
    QPolygonF,
)

from journal.desk.charts.drawing import draw_scene
from journal.desk.charts.marks import Scene
from journal.desk.theme import colours
from journal.message import MessageError
from journal.wording.languages import phrase
from journal.wording.style import style_in_use
from journal.wording.ties import NO_BREAK, tied

DOTS = 720  # to the inch: a dot is a tenth of a point
MM = DOTS / 25.4
POINT_MM = 25.4 / 72
MARGIN = 14.0  # mm, all round
FOOT = 6.0  # mm above the lower margin, for the page's number
LEADING = 1.27  # of the type's size, from line to line
CLOSE_MARGIN, CLOSE_LEADING = 11.0, 1.2  # where a page more would be the price of more air
LEAST = 9.0  # points: no smaller type is printed (the paper is read at arm's length, beside a vat)
SOLID, DASHED, FINE, DOTTED = (), (5.0, 3.0), (2.4, 1.6), (0.6, 2.2)

_LETTERS = re.compile(rb"\[<[0-9A-F]{4}>[^\]]*\]\nendbfrange")

_EXACT = QPageSize.SizeMatchPolicy.ExactMatch
PAPERS = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}


class SheetError(MessageError):
    """A sheet that cannot be drawn, with a message that says what would do."""


def paper_here() -> str:
    """The paper that was chosen, else the one usual where this machine stands: Letter where
    lengths are in US inches."""
    if style_in_use().paper in PAPERS:
        return style_in_use().paper
    us = QLocale.system().measurementSystem() == QLocale.MeasurementSystem.ImperialUSSystem
    return "Letter" if us else "A4"


class Paper:
    """A PDF being drawn. Places and widths are in mm from the page's upper left corner, type in
    points. Measuring works before anything is drawn. `size_mm` is another size than the paper's."""

    def __init__(self, paper: str, title: str, size_mm: tuple[float, float] | None = None) -> None:
        if paper not in PAPERS:
            raise SheetError("desk.no-such-paper", paper=paper, papers=list(PAPERS))
        self.ink = colours(dark=False)
        self.least = LEAST
        self._faces: dict[tuple[float, bool], tuple[QFont, QFontMetricsF]] = {}
        self._buffer = QBuffer()
        self._buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        self._writer = QPdfWriter(self._buffer)
        self._writer.setResolution(DOTS)
        size = QPageSize(PAPERS[paper])
        if size_mm is not None:
            size = QPageSize(QSizeF(*size_mm), QPageSize.Unit.Millimeter, "", _EXACT)
        self._writer.setPageSize(size)
        self._writer.setPageMargins(QMarginsF(0, 0, 0, 0))
        self._writer.setTitle(title)
        self._writer.setCreator("Vatside")
        full = self._writer.pageLayout().fullRectPoints()
        self.width, self.height = full.width() * POINT_MM, full.height() * POINT_MM
        self.set_close(False)
        self.painter = QPainter()

    def set_close(self, close: bool) -> None:
        """Whether lines and margins are close, from here on: for measuring and drawing alike."""
        margin = CLOSE_MARGIN if close else MARGIN
        self.leading = CLOSE_LEADING if close else LEADING
        self.left, self.right = margin, self.width - margin
        self.top, self.bottom = margin, self.height - margin - FOOT

    # The document

    def begin(self) -> None:
        """Open the first page."""
        self.painter.begin(self._writer)
        self.painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def turn(self) -> None:
        """Open the next page."""
        self._writer.newPage()

    def write(self, path: str | Path) -> None:
        """Close the document and write it; OSError when that cannot be done."""
        self.painter.end()
        Path(path).write_bytes(_searchable(bytes(self._buffer.data().data())))

    @property
    def across(self) -> float:
        """The width between the margins, mm."""
        return self.right - self.left

    # Type

    def face(self, points: float, bold: bool = False) -> QFont:
        """The application's face at a size, with figures of one width."""
        return self._face(points, bold)[0]

    def _face(self, points: float, bold: bool) -> tuple[QFont, QFontMetricsF]:
        points = max(points, self.least)
        key = (points, bold)
        if key not in self._faces:
            face = QFont()
            face.setPixelSize(max(1, round(points * DOTS / 72)))
            face.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
            face.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
            face.setFeature(QFont.Tag("tnum"), 1)
            face.setFeature(QFont.Tag("liga"), 0)  # so that the text can be searched
            self._faces[key] = face, QFontMetricsF(face)
        return self._faces[key]

    def text_width(self, text: str, points: float, bold: bool = False) -> float:
        """How wide a line of text is, mm."""
        return self._face(points, bold)[1].horizontalAdvance(text) / MM

    def line_height(self, points: float) -> float:
        """From one line to the next, mm."""
        return max(points, self.least) * POINT_MM * self.leading

    def wrapped(self, text: str, width: float, points: float, bold: bool = False) -> list[str]:
        """The text in lines no wider than `width`; a word too long for one goes on in the next.
        No line ends at a no-break space."""
        lines: list[str] = []
        for part in phrase(text).splitlines():
            line = ""
            for word in self._unbroken(part, width, points, bold):
                longer = f"{line} {word}" if line else word
                if self.text_width(longer, points, bold) <= width:
                    line = longer
                    continue
                if line:
                    lines.append(line)
                line = word
                while len(line) > 1 and self.text_width(line, points, bold) > width:
                    fits = self._fitting(line, width, points, bold)
                    lines.append(line[:fits])
                    line = line[fits:]
            if line:
                lines.append(line)
        return lines

    def _unbroken(self, part: str, width: float, points: float, bold: bool) -> list[str]:
        """The words of a line, an amount with its unit being one, unless that is too wide."""
        out: list[str] = []
        for word in words_of(tied(part)):
            wide = NO_BREAK in word and self.text_width(word, points, bold) > width
            out += word.split(NO_BREAK) if wide else [word]
        return out

    def _fitting(self, word: str, width: float, points: float, bold: bool) -> int:
        """How many letters of a word fit, one at least."""
        count = 1
        while count < len(word) and self.text_width(word[: count + 1], points, bold) <= width:
            count += 1
        return count

    # Ink

    def words(
        self, x: float, y: float, text: str, points: float, *, bold: bool = False,
        colour: QColor | None = None, right: bool = False, centre: bool = False,
    ) -> None:  # fmt: skip
        """One line of text whose upper edge is y; x is its left end, its right or its middle."""
        text, points = phrase(text).replace(NO_BREAK, " "), max(points, self.least)
        self.painter.setFont(self.face(points, bold))
        self.painter.setPen(colour or self.ink.ink)
        wide = self.text_width(text, points, bold)
        x -= wide if right else wide / 2 if centre else 0
        base = (y + 0.98 * points * POINT_MM) * MM
        self.painter.drawText(QPointF(x * MM, base), text)

    def lines(
        self, x: float, y: float, lines: Sequence[str], points: float, *, bold: bool = False,
        colour: QColor | None = None,
    ) -> float:  # fmt: skip
        """Lines under each other; returns where the next one would begin."""
        for line in lines:
            self.words(x, y, line, points, bold=bold, colour=colour)
            y += self.line_height(points)
        return y

    def rule(
        self, x0: float, y0: float, x1: float, y1: float, *, colour: QColor | None = None,
        wide: float = 0.12, dash: Sequence[float] = SOLID,
    ) -> None:  # fmt: skip
        """A straight line, `wide` mm; a dash is given in quarters of a millimetre."""
        self.painter.setPen(self._pen(colour or self.ink.hairline, wide, dash))
        self.painter.drawLine(QPointF(x0 * MM, y0 * MM), QPointF(x1 * MM, y1 * MM))

    def path(
        self, points: Sequence[tuple[float, float]], *, colour: QColor, wide: float = 0.35,
        dash: Sequence[float] = SOLID,
    ) -> None:  # fmt: skip
        """A line through several points."""
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.setPen(self._pen(colour, wide, dash))
        self.painter.drawPolyline(_polygon(points))

    def area(self, points: Sequence[tuple[float, float]], fill: QColor) -> None:
        """A filled shape without an edge."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(QBrush(fill))
        self.painter.drawPolygon(_polygon(points))

    def box(
        self, x: float, y: float, wide: float, high: float, *, colour: QColor | None = None,
        line: float = 0.2, fill: QColor | None = None, dash: Sequence[float] = SOLID,
    ) -> None:  # fmt: skip
        """A rectangle."""
        self.painter.setPen(self._pen(colour or self.ink.quiet, line, dash))
        self.painter.setBrush(QBrush(fill) if fill is not None else Qt.BrushStyle.NoBrush)
        self.painter.drawRect(QRectF(x * MM, y * MM, wide * MM, high * MM))

    def dot(self, x: float, y: float, size: float, colour: QColor, *, hollow: bool) -> None:
        """A round mark, `size` mm across."""
        self.painter.setPen(self._pen(colour, 0.25, SOLID))
        self.painter.setBrush(QBrush(self.ink.field if hollow else colour))
        self.painter.drawEllipse(QPointF(x * MM, y * MM), size / 2 * MM, size / 2 * MM)

    def triangle(self, x: float, y: float, wide: float) -> None:
        """The attention mark with its upper left corner at (x, y)."""
        high = 0.86 * wide
        self.area([(x, y + high), (x + wide, y + high), (x + wide / 2, y)], self.ink.attention)

    def scene(self, scene: Scene, x: float, y: float, px_mm: float) -> None:
        """A picture made for the screen, its upper left corner at (x, y), so large for a px."""
        self.painter.save()
        self.painter.scale(px_mm * MM, px_mm * MM)
        draw_scene(self.painter, scene, self.ink, QPointF(x / px_mm, y / px_mm))
        self.painter.restore()

    def inside(self, x: float, y: float, wide: float, high: float) -> None:
        """Draw only within this rectangle until `everywhere`."""
        self.painter.save()
        self.painter.setClipRect(QRectF(x * MM, y * MM, wide * MM, high * MM))

    def everywhere(self) -> None:
        """Draw on the whole page again."""
        self.painter.restore()

    def _pen(self, colour: QColor, wide: float, dash: Sequence[float]) -> QPen:
        pen = QPen(colour, wide * MM)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if dash:
            pen.setDashPattern([part / wide * 0.25 for part in dash])
        return pen


def _polygon(points: Sequence[tuple[float, float]]) -> QPolygonF:
    return QPolygonF([QPointF(x * MM, y * MM) for x, y in points])


def _searchable(pdf: bytes) -> bytes:
    """The PDF with its spaces said to be spaces. Qt's table of letters calls them tabs, so that
    “cheddar type” would not be found; the length stays the same, and so does all else."""
    return _LETTERS.sub(_with_spaces, pdf)


def _with_spaces(table: re.Match[bytes]) -> bytes:
    return table[0].replace(b" <0009>", b" <0020>").replace(b"[<0009>", b"[<0020>")


def words_of(text: str) -> list[str]:
    """The words of a line; a no-break space parts none."""
    return [word for word in re.split(r"[^\S\u00a0]+", text) if word]
