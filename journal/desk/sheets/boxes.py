"""The head of a sheet and what is ticked or filled in: titles, empty boxes, lists to tick."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.table import BOX, tick_box
from journal.wording.languages import translated

TITLE_POINTS = 19.0
_ROOM = 7.0  # mm to write in
_GAP = 2.0
_PAD = 1.4


@dataclass(frozen=True)
class Blank:
    """A box to fill: its name, an amount printed bold, and what to write, in the lower corner."""

    name: str
    amount: str = ""
    hint: str = ""


def title_block(
    paper: Paper, kind: str, title: str, facts: Sequence[str], points: float, *,
    failed: bool = False,
) -> Block:  # fmt: skip
    """The name of the document, its title, and lines of facts; what failed is marked so."""
    kind, titles = translated(kind), paper.wrapped(title, paper.across, TITLE_POINTS, True)
    lines = [line for fact in facts for line in paper.wrapped(fact, paper.across, points)]
    step = paper.line_height(points)
    high = step + len(titles) * paper.line_height(TITLE_POINTS) + len(lines) * step + 2.5

    def draw(y: float, _height: float) -> None:
        paper.words(paper.left, y, kind, points, colour=paper.ink.quiet)
        if failed:
            left = paper.right - paper.text_width("failed", points, True)
            paper.triangle(left - 5, y + 0.2, 3.4)
            paper.words(left, y, "failed", points, bold=True)
        y = paper.lines(paper.left, y + step, titles, TITLE_POINTS, bold=True)
        paper.lines(paper.left, y, lines, points)

    return Block(high, draw)


def blank_grid(paper: Paper, blanks: Sequence[Blank], across: int, points: float) -> Block:
    """Boxes in rows of so many, each as high as the longest name of its row needs."""
    wide = (paper.across - _GAP * (across - 1)) / across
    rows = [blanks[i : i + across] for i in range(0, len(blanks), across)]
    printed = [[_lines(paper, blank, wide - 2 * _PAD, points) for blank in some] for some in rows]
    step = paper.line_height(points - 0.5)
    heights = [max(len(n) + len(a) for n, a in some) * step + _ROOM for some in printed]

    def draw(y: float, _height: float) -> None:
        for some, words, high in zip(rows, printed, heights, strict=True):
            x = paper.left
            for blank, (names, amounts) in zip(some, words, strict=True):
                paper.box(x, y, wide, high, colour=paper.ink.past_line, line=0.2)
                at = paper.lines(x + _PAD, y + 0.8, names, points - 0.5, colour=paper.ink.quiet)
                paper.lines(x + _PAD, at, amounts, points - 0.5, bold=True)
                low = y + high - paper.line_height(6.5) - 0.2
                paper.words(x + wide - _PAD, low, blank.hint, 6.5, right=True,
                            colour=paper.ink.quiet)  # fmt: skip
                x += wide + _GAP
            y += high + _GAP

    return Block(sum(heights) + _GAP * len(rows), draw)


def tick_list(paper: Paper, items: Sequence[str], across: int, points: float) -> Block:
    """Things to tick, in columns, read downwards."""
    wide = (paper.across - 4 * (across - 1)) / across
    wrapped = [paper.wrapped(item, wide - BOX - 2, points) for item in items]
    deep = -(-len(items) // across)
    columns = [wrapped[i * deep : (i + 1) * deep] for i in range(across)]
    step, between = paper.line_height(points), 1.1
    high = max(sum(len(lines) * step + between for lines in some) for some in columns)

    def draw(y: float, _height: float) -> None:
        for i, some in enumerate(columns):
            x, at = paper.left + i * (wide + 4), y
            for lines in some:
                tick_box(paper, x, at + 0.3)
                at = paper.lines(x + BOX + 1.6, at, lines, points) + between

    return Block(high + 1.5, draw)


def _lines(paper: Paper, blank: Blank, width: float, points: float) -> tuple[list[str], list[str]]:
    names = paper.wrapped(translated(blank.name), width, points - 0.5)
    return names, paper.wrapped(blank.amount, width, points - 0.5, True)
