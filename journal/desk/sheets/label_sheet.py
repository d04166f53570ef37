"""Labels of wheels: a sheet of 24 on A4 or Letter, or one of any size a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor

from journal.desk.sheets.paper import MM, Paper, SheetError
from journal.reports.label import WheelLabel

ACROSS, DOWN = 3, 8
LEAST_MM = (30.0, 20.0)
_PAD = 4.0
_QUIET = 4  # light cells about a QR code, as ISO/IEC 18004 has it
_LEAST_CELL = 0.33  # mm: smaller ones a phone does not read (common practice, no source)
_SIZES = (11.0, 10.0, 9.0)
_STICKERS = (*_SIZES, 8.0, 7.0, 6.0, 5.0)  # points, of a label whose size somebody chose


def write_labels(
    labels: Sequence[WheelLabel], path: str | Path, *, paper: str = "A4",
    size_mm: tuple[float, float] | None = None,
) -> int:  # fmt: skip
    """Write labels as a PDF; returns its pages.

    Parameters
    ----------
    size_mm : width and height of single labels, a page each; None: a sheet of three across and
        eight down

    Raises
    ------
    SheetError
        When a label is too small for what stands on it.
    OSError
        When the file cannot be written.
    """
    if not labels:
        raise SheetError("Name at least one wheel.")
    if size_mm is not None and (size_mm[0] < LEAST_MM[0] or size_mm[1] < LEAST_MM[1]):
        raise SheetError(f"A label is at least {LEAST_MM[0]:g} × {LEAST_MM[1]:g} mm.")
    page = Paper(paper, "Labels", size_mm)
    if size_mm is not None:
        page.least = _STICKERS[-1]
    a_page = 1 if size_mm is not None else ACROSS * DOWN
    wide = page.width if size_mm is not None else page.width / ACROSS
    high = page.height if size_mm is not None else page.height / DOWN
    laid = [_LaidLabel(page, label, wide, high) for label in labels]
    page.begin()
    for number, one in enumerate(laid):
        if number and number % a_page == 0:
            page.turn()
        row, column = divmod(number % a_page, ACROSS)
        x, y = (0.0, 0.0) if a_page == 1 else (column * wide, row * high)
        one.draw(page, x, y)
    page.write(path)
    return -(-len(labels) // a_page)


class _LaidLabel:
    """A label laid out: the largest type with which all of it fits beside the QR code."""

    def __init__(self, page: Paper, label: WheelLabel, wide: float, high: float) -> None:
        import segno

        self.cells = [list(row) for row in segno.make(label.code, error="m", micro=False).matrix]
        self.pad = min(_PAD, wide / 12, high / 12)
        count = len(self.cells) + 2 * _QUIET
        inside = high - 2 * self.pad
        self.cell = min(inside, 0.42 * wide) / count
        if self.cell < _LEAST_CELL:
            raise SheetError(
                f"The label is too small for the code of {label.code}: make it larger."
            )
        self.high, self.label = high, label
        self.text_left = self.pad + self.cell * count
        room = wide - self.text_left - self.pad
        chosen = page.least < _SIZES[-1]
        wanted = [(points, len(label.facts)) for points in (_STICKERS if chosen else _SIZES)]
        if not chosen:  # on a sheet the last facts give way before the type grows too small
            wanted += [(_SIZES[-1], count) for count in range(len(label.facts) - 1, -1, -1)]
        for points, facts in wanted:
            shown = replace(label, facts=label.facts[:facts])
            self.lines = _lines(page, shown, room, points)
            self.tall = sum(page.line_height(size) for _, size, _ in self.lines)
            if self.tall <= inside:
                return
        raise SheetError(f"The label is too small for {label.code}: make it larger.")

    def draw(self, page: Paper, x: float, y: float) -> None:
        """Draw it with its upper left corner at (x, y), mm."""
        side = self.cell * len(self.cells)
        top = y + (self.high - side) / 2
        left = x + self.pad + _QUIET * self.cell
        for row, cells in enumerate(self.cells):
            for column, dark in enumerate(cells):
                if dark:
                    place = (left + column * self.cell, top + row * self.cell)
                    page.painter.fillRect(
                        QRectF(
                            place[0] * MM, place[1] * MM, self.cell * MM + 1, self.cell * MM + 1
                        ),
                        QColor("black"),
                    )
        down = y + (self.high - self.tall) / 2
        for text, points, bold in self.lines:
            page.words(x + self.text_left, down, text, points, bold=bold)
            down += page.line_height(points)


def _lines(
    page: Paper, label: WheelLabel, room: float, points: float
) -> list[tuple[str, float, bool]]:
    """The lines of a label with their sizes, those that matter most in bold."""
    against = f"Do not eat. {label.not_to_eat}" if label.not_to_eat else ""
    parts = [
        (label.code, points * 1.35, True), (against, points, True), (label.plan, points, False),
        *((fact, points * 0.85, False) for fact in label.facts),
    ]  # fmt: skip
    return [
        (line, size, bold)
        for text, size, bold in parts
        for line in page.wrapped(text, room, size, bold)
    ]
