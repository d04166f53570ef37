"""How a session is going: who has scored which wheel, and how much of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from journal.desk.drawn import DrawnWidget
from journal.desk.theme import RADIUS, SMALL, STEP, TEXT, Colours, font
from journal.keeping.sessions import GivenRow
from journal.records.kinds import ATTRIBUTES

_NAME, _CELL, _ROW, _HEAD = 92, 104, 9 * STEP, 7 * STEP
KEPT, NOW, TYPED, NONE = "kept", "now", "typed", "none"


@dataclass(frozen=True)
class Cell:
    """What an assessor has done with a wheel: words for the box and how it looks."""

    words: str
    look: str


@dataclass(frozen=True)
class SessionTable:
    """The table: assessors down, wheels across; cells[row][column]."""

    people: tuple[str, ...]
    wheels: tuple[tuple[int, str], ...]
    cells: tuple[tuple[Cell, ...], ...]


def going(
    given: Sequence[GivenRow],
    people: Sequence[str],
    at: tuple[int, str] | None,
    who: str,
    typed: set[tuple[int, str]],
) -> SessionTable:
    """How far everybody is.

    Parameters
    ----------
    given : sequence of GivenRow
        All scores of the session.
    people : sequence of str
        Who is known to taste here.
    at, who : tuple or None, str
        The wheel (id, code) and the assessor of the sheet that is open.
    typed : set
        (wheel id, name in small letters) with something typed and not kept.
    """
    wheels = list(dict.fromkeys((g.wheel_id, g.wheel_code) for g in given))
    if at is not None and at not in wheels:
        wheels.append(at)
    names = list(dict.fromkeys([*people, *(g.assessor for g in given)]))
    if who and who.casefold() not in {name.casefold() for name in names}:
        names.append(who)
    count: dict[tuple[int, str], int] = {}
    for one in given:
        place = (one.wheel_id, one.assessor)
        count[place] = count.get(place, 0) + 1
    here = (at[0] if at else None, who.casefold())
    cells = tuple(
        tuple(_cell(count.get((key, name), 0), (key, name.casefold()), here, typed)
              for key, _ in wheels)
        for name in names
    )  # fmt: skip
    return SessionTable(tuple(names), tuple(wheels), cells)


def _cell(
    scores: int, place: tuple[int, str], here: tuple[int | None, str], typed: set[tuple[int, str]]
) -> Cell:
    words = f"{scores} of {max(len(ATTRIBUTES), scores)}" if scores else ""
    if place == here:
        return Cell(words or "tasting", NOW)
    if place in typed:
        return Cell("not saved", TYPED)
    return Cell(words, KEPT if scores else NONE)


class SittingTable(DrawnWidget):
    """Draws Going; `picked` carries (wheel id, assessor) of a cell that was clicked."""

    picked = Signal(int, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._going = SessionTable((), (), ())
        self.setAccessibleName("Progress of this session")
        self.setSizePolicy(QSizePolicy.Policy.MinimumExpanding, QSizePolicy.Policy.Fixed)

    def show_going(self, table: SessionTable) -> None:
        """Draw this."""
        self._going = table
        described = [
            f"{name} on {code}: {cell.words or 'not yet'}"
            for name, row in zip(table.people, table.cells, strict=True)
            for (_, code), cell in zip(table.wheels, row, strict=True)
        ]
        self.setAccessibleDescription("; ".join(described))
        self.setMinimumWidth(_NAME + len(table.wheels) * _CELL)
        self.setFixedHeight(_HEAD + len(table.people) * _ROW)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self.minimumWidth(), self.minimumHeight())

    def draw(self, painter: QPainter, c: Colours) -> None:
        painter.setPen(c.quiet)
        middle = Qt.AlignmentFlag.AlignCenter
        for column, (_, code) in enumerate(self._going.wheels):
            painter.drawText(QRectF(_NAME + column * _CELL, 0, _CELL, _HEAD), middle, code)
        for row, name in enumerate(self._going.people):
            cells = self._going.cells[row]
            painter.setPen(c.ink)
            painter.setFont(font(TEXT, bold=any(cell.look == NOW for cell in cells)))
            top = _HEAD + row * _ROW
            words = painter.fontMetrics().elidedText(
                name, Qt.TextElideMode.ElideRight, _NAME - 2 * STEP
            )
            painter.drawText(QRectF(0, top, _NAME, _ROW), Qt.AlignmentFlag.AlignVCenter, words)
            for column, cell in enumerate(cells):
                _draw_cell(painter, c, self._box(row, column), cell)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        for row, name in enumerate(self._going.people):
            for column, (wheel, _) in enumerate(self._going.wheels):
                if self._box(row, column).contains(QPointF(at)):
                    self.picked.emit(wheel, name)
                    return

    def _box(self, row: int, column: int) -> QRectF:
        return QRectF(
            _NAME + column * _CELL + STEP, _HEAD + row * _ROW + 2, _CELL - 2 * STEP, _ROW - 5
        )


def _draw_cell(painter: QPainter, c: Colours, box: QRectF, cell: Cell) -> None:
    edge = {KEPT: c.ink, NOW: c.ink, TYPED: c.quiet}.get(cell.look, c.hairline)
    pen = QPen(edge, 1)
    if cell.look == TYPED:
        pen.setStyle(Qt.PenStyle.DashLine)
    painter.setPen(pen)
    painter.setBrush(c.ink if cell.look == NOW else c.paper)
    painter.drawRoundedRect(box.adjusted(0.5, 0.5, -0.5, -0.5), RADIUS, RADIUS)
    painter.setFont(font(SMALL))
    painter.setPen(c.paper if cell.look == NOW else (c.ink if cell.look == KEPT else c.quiet))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, cell.words)
