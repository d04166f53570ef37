"""The sets of a panel test on paper: for each the codes with a box, and what is asked."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from journal.desk.sheets.boxes import title_block
from journal.desk.sheets.flow import Block, paginate, print_pages
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.table import paragraph
from journal.keeping.panel_sets import HiddenSet
from journal.records.panel_tests import RANKING
from journal.wording import worded

_POINTS, _CODE = 9.0, 20.0
_CELL, _BOX = 30.0, 8.0  # mm
_HIGH = 46.0
_HOW = (
    "Taste from left to right, again if you wish. Take water and plain bread between sets. "
    "Do not talk until all have finished. If you find no difference, guess."
)


def set_sheets(
    path: str | Path, title: str, question: str, kind: str, sets: Sequence[HiddenSet], *,
    paper: str = "A4",
) -> int:  # fmt: skip
    """Write every assessor's sets as one PDF; nothing in it says what is in a cup.

    Parameters
    ----------
    path
        The file to write; one that is there is written over.
    title, question, kind
        Which test, and what is asked.
    sets
        In order; each assessor's stand together on pages of their own.
    paper
        "A4" or "Letter".

    Returns
    -------
    int
        How many pages.

    Raises
    ------
    SheetError
        When there is no such paper.
    OSError
        When the file cannot be written.
    """
    drawn = Paper(paper, title)
    pages = []
    for who in dict.fromkeys(one.assessor for one in sets):
        blocks = [
            title_block(drawn, title, who, (), _POINTS),
            paragraph(drawn, question, _POINTS + 2, after=1.5),
            paragraph(drawn, _HOW, _POINTS - 0.5, after=2.0),
        ]
        blocks += [_set(drawn, one, kind) for one in sets if one.assessor == who]
        pages += paginate(blocks, drawn.top, drawn.bottom)
    return print_pages(drawn, pages, path, worded("desk.sheets-pdf-title", title=title))


def _set(paper: Paper, one: HiddenSet, kind: str) -> Block:
    """One set: its cups from left to right, six in a row at most."""
    room = max(1, min(6, int((paper.right - paper.left) / _CELL)))
    rows = -(-len(one.codes) // room)

    def draw(y: float, _height: float) -> None:
        paper.rule(paper.left, y, paper.right, y)
        says = worded("desk.sheet-of-set", who=one.assessor, number=one.number + 1)
        paper.words(paper.right, y + 2, says, _POINTS, right=True, colour=paper.ink.quiet)
        for k, code in enumerate(one.codes):
            x = paper.left + (k % room) * _CELL
            top = y + 8 + (k // room) * (_HIGH - 16)
            if code:
                paper.words(x, top, code, _CODE)
                _box(paper, x + 2, top + 11)
            else:
                paper.words(x, top + 2, worded("wording.test-reference"), _POINTS + 2)
        low = y + 8 + rows * (_HIGH - 16) - 2
        note = "1 for the most, and so on" if kind == RANKING else "tick the box"
        paper.words(paper.left, low - 4, note, _POINTS - 1, colour=paper.ink.quiet)

    return Block(8 + rows * (_HIGH - 16) + 2, draw)


def _box(paper: Paper, x: float, y: float) -> None:
    for x0, y0, x1, y1 in (
        (x, y, x + _BOX, y), (x, y + _BOX, x + _BOX, y + _BOX),
        (x, y, x, y + _BOX), (x + _BOX, y, x + _BOX, y + _BOX),
    ):  # fmt: skip
        paper.rule(x0, y0, x1, y1, colour=paper.ink.ink, wide=0.25)
