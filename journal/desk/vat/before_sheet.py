"""The list before the start on paper: a line and a box each, and room for date and hand."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from journal.desk.sheets.boxes import Blank, blank_grid, tick_list, title_block
from journal.desk.sheets.flow import paginate, print_pages
from journal.desk.sheets.paper import Paper, paper_here
from journal.wording import worded
from journal.wording.shown import write

_POINTS = 11.0
_FACT = "Before you add the milk. Do first what is not ticked."


def write_list(lines: Sequence[str], path: str | Path, *, paper: str | None = None) -> int:
    """Write the list as a PDF; returns how many pages it took.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    cold = worded("desk.should-be", value=write(0.0, "temperature", digits=1))
    sheet = Paper(paper or paper_here(), "Before the start")
    blocks = [
        title_block(sheet, "List", "Before the start", [_FACT], _POINTS),
        blank_grid(sheet, [Blank("Make"), Blank("Date"), Blank("Who")], 3, _POINTS),
        tick_list(sheet, list(lines), 1, _POINTS),
        blank_grid(
            sheet,
            [
                Blank("Thermometer in ice water", "", cold),
                Blank("Meter in buffer 7.00", "", "pH"),
                Blank("Meter in buffer 4.01", "", "pH"),
            ],
            3,
            _POINTS,
        ),
    ]
    pages = paginate(blocks, sheet.top, sheet.bottom)
    return print_pages(sheet, pages, path, "Before the start · Vatside")
