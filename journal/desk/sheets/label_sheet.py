"""Labels of wheels: a sheet of 24 on A4 or Letter, or one of any size a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor

from journal.desk.sheets.paper import MM, Paper, SheetError
from journal.reports.label import WheelLabel
from journal.wording import worded

ACROSS, DOWN = 3, 8
LEAST_MM = (30.0, 20.0)
_PAD = 2.8
_LEADING = 1.12  # a label has few lines
_QUIET = 4  # light cells about a QR code, as ISO/IEC 18004 has it
_LEAST_CELL = 0.33  # mm: smaller ones a phone does not read (common practice, no source)
_SIZES = (11.0, 10.0, 9.0)  # points
_CODE_SHARES = (0.42, 0.36, 0.3, 0.24)  # of the width that the QR code may take at most


@dataclass(frozen=True)
class LabelPages:
    """Labels written: how many pages, and for the code of a wheel the words its label had no room
    for."""

    pages: int
    left_out: dict[str, tuple[str, ...]]


def write_labels(
    labels: Sequence[WheelLabel], path: str | Path, *, paper: str = "A4",
    size_mm: tuple[float, float] | None = None,
) -> LabelPages:  # fmt: skip
    """Write labels as a PDF. Where there is no room, words are left out: nothing gets smaller than
    on any other sheet.

    Parameters
    ----------
    size_mm : width and height of single labels, a page each; None: a sheet of three across and
        eight down

    Raises
    ------
    SheetError
        When a label is too small for its code and what speaks against eating it.
    OSError
        When the file cannot be written.
    """
    if not labels:
        raise SheetError("desk.label-of-no-wheel")
    if size_mm is not None and (size_mm[0] < LEAST_MM[0] or size_mm[1] < LEAST_MM[1]):
        raise SheetError("desk.label-at-least", wide=LEAST_MM[0], high=LEAST_MM[1])
    page = Paper(paper, "Labels", size_mm)
    page.leading = _LEADING
    a_page = 1 if size_mm is not None else ACROSS * DOWN
    wide = page.width if size_mm is not None else page.width / ACROSS
    high = page.height if size_mm is not None else page.height / DOWN
    fitted = [_FittedLabel(page, label, wide, high) for label in labels]
    page.begin()
    for number, one in enumerate(fitted):
        if number and number % a_page == 0:
            page.turn()
        row, column = divmod(number % a_page, ACROSS)
        x, y = (0.0, 0.0) if a_page == 1 else (column * wide, row * high)
        one.draw(page, x, y)
    page.write(path)
    left_out = {one.label.code: one.left_out for one in fitted if one.left_out}
    return LabelPages(-(-len(labels) // a_page), left_out)


class _FittedLabel:
    """A label laid out: the largest type with which all of it fits beside the QR code, else a
    smaller code, else fewer words: the last facts give way first, the plan after them."""

    def __init__(self, page: Paper, label: WheelLabel, wide: float, high: float) -> None:
        import segno

        self.cells = [list(row) for row in segno.make(label.code, error="m", micro=False).matrix]
        self.pad = min(_PAD, wide / 12, high / 12)
        self.high, self.label = high, label
        self.left_out: tuple[str, ...] = ()
        count = len(self.cells) + 2 * _QUIET
        inside = high - 2 * self.pad
        for shown, share, points in _ways(label):
            self.cell = min(inside, share * wide) / count
            if self.cell < _LEAST_CELL:
                continue
            self.text_left = self.pad + self.cell * count
            self.lines = _lines(page, shown, wide - self.text_left - self.pad, points)
            self.tall = sum(page.line_height(size) for _, size, _ in self.lines)
            if self.tall <= inside and shown.code in (text for text, *_ in self.lines):
                gone = label.facts[len(shown.facts) :]
                self.left_out = gone if shown.plan else (*gone, label.plan)
                return
        raise SheetError("desk.label-too-small", code=label.code)

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


def _ways(label: WheelLabel) -> Iterator[tuple[WheelLabel, float, float]]:
    """What to try: what is shown, the QR code's share of the width, points of type."""
    for points in _SIZES:
        yield label, _CODE_SHARES[0], points
    fewer = [replace(label, facts=label.facts[:n]) for n in range(len(label.facts), -1, -1)]
    for shown in (*fewer, replace(label, plan="", facts=())):
        for share in _CODE_SHARES:
            yield shown, share, _SIZES[-1]


def _lines(
    page: Paper, label: WheelLabel, room: float, points: float
) -> list[tuple[str, float, bool]]:
    """The lines of a label with their sizes, those that matter most in bold."""
    against = worded("desk.do-not-eat", why=label.not_to_eat) if label.not_to_eat else ""
    parts = [
        (label.code, points * 1.2, True), (against, points, True), (label.plan, points, False),
        *((fact, max(_SIZES[-1], points * 0.85), False) for fact in label.facts),
    ]  # fmt: skip
    return [
        (line, size, bold)
        for text, size, bold in parts
        for line in page.wrapped(text, room, size, bold)
    ]
