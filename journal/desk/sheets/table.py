"""Tables and paragraphs on paper: printed cells that wrap, and empty ones for the pencil."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from journal.desk.sheets.flow import Block
from journal.desk.sheets.paper import DOTTED, Paper, words_of
from journal.wording.languages import translated
from journal.wording.paper_stage import Cell, Words

PAD = 1.3  # mm left and right of a cell's words
PENCIL = 7.0  # mm from one line for the pencil to the next
BOX = 2.7  # mm, a box to tick
_INDENT = 5.0  # mm, of what stands under a row's cells


@dataclass(frozen=True)
class PaperColumn:
    """A column `wide` mm; `pencil` leaves it framed and empty."""

    title: str
    wide: float
    right: bool = False
    pencil: bool = False


@dataclass(frozen=True)
class _TextRun:
    """Words of one kind of type, on one line."""

    text: str
    bold: bool = False
    quiet: bool = False


@dataclass(frozen=True)
class PrintedLine:
    """One printed line of a cell: its words, and boxes to tick behind them."""

    runs: tuple[_TextRun, ...] = ()
    ticks: int = 0

    def width(self, paper: Paper, points: float) -> float:
        """How wide the words are, mm."""
        parts = [paper.text_width(run.text, points, run.bold) for run in self.runs]
        return sum(parts) + max(0, len(parts) - 1) * paper.text_width(" ", points)

    def draw(self, paper: Paper, x: float, y: float, points: float) -> None:
        """Draw it from x on."""
        wide, at = self.width(paper, points), x
        for run in self.runs:
            colour = paper.ink.quiet if run.quiet else None
            paper.words(at, y, run.text, points, bold=run.bold, colour=colour)
            at += paper.text_width(run.text, points, run.bold) + paper.text_width(" ", points)
        size = min(BOX, paper.line_height(points) - 0.6)
        first = x + (wide + 1.5 if wide else 0.0)
        for i in range(self.ticks):
            tick_box(paper, first + i * (BOX + 1.0), y + 0.15, size)


def shared(paper: Paper, columns: Sequence[PaperColumn], stretch: int) -> list[PaperColumn]:
    """The columns with the one at `stretch` widened to what the page leaves."""
    rest = paper.across - sum(c.wide for i, c in enumerate(columns) if i != stretch)
    one = columns[stretch]
    wide = PaperColumn(one.title, rest, one.right, one.pencil)
    return [*columns[:stretch], wide, *columns[stretch + 1 :]]


def head_row(paper: Paper, columns: Sequence[PaperColumn], points: float) -> Block:
    """The titles with a rule below."""
    titles = [paper.wrapped(translated(c.title), c.wide - 2 * PAD, points - 0.5) for c in columns]
    step = paper.line_height(points - 0.5)
    high = max(len(lines) for lines in titles) * step + 1.6

    def draw(y: float, height: float) -> None:
        x = paper.left
        for column, lines in zip(columns, titles, strict=True):
            at = y + height - 1.2 - len(lines) * step
            for line in lines:
                _put(paper, x, at, column, PrintedLine((_TextRun(line, quiet=True),)), points - 0.5)
                at += step
            x += column.wide
        paper.rule(paper.left, y + height, x, y + height, colour=paper.ink.ink, wide=0.25)

    return Block(high, draw, keep_with_next=True)


def row(
    paper: Paper, columns: Sequence[PaperColumn], cells: Sequence[Cell], points: float, *,
    head: Block | None = None, least: float = 0.0, under: Cell = "",
) -> Block:  # fmt: skip
    """A row as high as its longest cell, at least `least` mm, with a hairline below. What stands
    `under` its cells has the width of all printed ones."""
    printed = [
        [] if c.pencil else _lines_of(paper, cell, c.wide - 2 * PAD, points)
        for c, cell in zip(columns, cells, strict=True)
    ]
    step = paper.line_height(points)
    wide = sum(c.wide for c in columns if not c.pencil) - _INDENT - 2 * PAD
    below = _lines_of(paper, under, wide, points)
    first = max(len(lines) for lines in printed)
    high = max(least, (first + len(below)) * step + 1.8)

    def draw(y: float, height: float) -> None:
        x = paper.left
        for column, lines in zip(columns, printed, strict=True):
            if column.pencil:
                _draw_pencil(paper, x, y, column.wide, height)
            for i, line in enumerate(lines):
                _put(paper, x, y + 0.8 + i * step, column, line, points)
            x += column.wide
        for i, line in enumerate(below, first):
            line.draw(paper, paper.left + _INDENT + PAD, y + 0.8 + i * step, points)
        paper.rule(paper.left, y + height, x, y + height, colour=paper.ink.past_line, wide=0.15)

    return Block(high, draw, head=head)


def kept_together(rows: Sequence[Block]) -> list[Block]:
    """Rows of which none stands alone on a page: the first is held to the second, the last but one
    to the last."""
    held = {0, len(rows) - 2}
    return [replace(one, keep_with_next=True) if at in held and at + 1 < len(rows) else one
            for at, one in enumerate(rows)]  # fmt: skip


def heading(paper: Paper, text: str, points: float, *, before: float = 4.0) -> Block:
    """A heading with room above, held to what follows."""
    text = translated(text)

    def draw(y: float, _height: float) -> None:
        paper.words(paper.left, y + before, text, points, bold=True)

    return Block(before + paper.line_height(points) + 0.8, draw, keep_with_next=True)


def paragraph(
    paper: Paper, text: str, points: float, *, quiet: bool = False, mark: bool = False,
    keep_with_next: bool = False, after: float = 0.8,
) -> Block:  # fmt: skip
    """Words over the whole width; `mark` sets the attention mark before them."""
    indent = 5.0 if mark else 0.0
    lines = paper.wrapped(text, paper.across - indent, points)

    def draw(y: float, _height: float) -> None:
        if mark:
            paper.triangle(paper.left, y + 0.4, 3.2)
        paper.lines(paper.left + indent, y, lines, points,
                    colour=paper.ink.quiet if quiet else None)  # fmt: skip

    return Block(
        len(lines) * paper.line_height(points) + after, draw, keep_with_next=keep_with_next
    )


def gap(high: float) -> Block:
    """Nothing, `high` mm of it."""
    return Block(high, _nothing)


def ruled_space(paper: Paper, title: str, points: float, *, least: float) -> Block:
    """Lines for the pencil down to the foot of the page."""

    def draw(y: float, height: float) -> None:
        paper.words(paper.left, y + 3.0, title, points, bold=True)
        at = y + 3.0 + 2 * PENCIL - 1.0
        while at <= y + height + 0.01:
            paper.rule(paper.left, at, paper.right, at, colour=paper.ink.past_line, dash=DOTTED,
                       wide=0.2)  # fmt: skip
            at += PENCIL

    return Block(least, draw, grow=True, spare=True)


def tick_box(paper: Paper, x: float, y: float, size: float = BOX) -> None:
    """An empty box to tick."""
    paper.box(x, y, size, size, colour=paper.ink.ink, line=0.2)


def _lines_of(paper: Paper, cell: Cell, width: float, points: float) -> list[PrintedLine]:
    parts = [Words(cell)] if isinstance(cell, str) else cell
    out: list[PrintedLine] = []
    runs: list[_TextRun] = []
    for part, after in itertools.zip_longest(parts, parts[1:]):
        runs += [_TextRun(part.lead, bold=True), _TextRun(part.text, quiet=part.quiet)]
        if after is not None and after.joined and not part.ticks:
            continue
        lines = _filled(paper, runs, width, points)
        out += _with_ticks(paper, lines, part.ticks, width, points) if part.ticks else lines
        runs = []
    return out


def _filled(
    paper: Paper, runs: Sequence[_TextRun], width: float, points: float
) -> list[PrintedLine]:  # fmt: skip
    """A paragraph in lines as full as they can be."""
    space = paper.text_width(" ", points)
    lines: list[list[_TextRun]] = [[]]
    used = 0.0
    for run in runs:
        for whole in words_of(run.text):
            for word in paper.wrapped(whole, width, points, run.bold):
                wide = paper.text_width(word, points, run.bold)
                if lines[-1] and used + space + wide > width:
                    lines.append([])
                used = used + space + wide if lines[-1] else wide
                lines[-1].append(replace(run, text=word))
    return [PrintedLine(tuple(_merged(line))) for line in lines if line]


def _merged(line: Sequence[_TextRun]) -> Iterator[_TextRun]:
    """The words of a line with those of one kind of type drawn as one."""
    for (bold, quiet), some in itertools.groupby(line, lambda run: (run.bold, run.quiet)):
        yield _TextRun(" ".join(run.text for run in some), bold, quiet)


def _with_ticks(
    paper: Paper, lines: list[PrintedLine], ticks: int, width: float, points: float
) -> list[PrintedLine]:
    """The boxes behind the last line, on lines of their own where they do not fit."""
    pitch, last = BOX + 1.0, lines[-1]
    here = min(ticks, max(0, int((width - last.width(paper, points) - 1.5) / pitch)))
    out = [*lines[:-1], replace(last, ticks=here)]
    left = ticks - here
    while left > 0:
        here = min(left, max(1, int(width / pitch)))
        out.append(PrintedLine(ticks=here))
        left -= here
    return out


def _put(
    paper: Paper, x: float, y: float, column: PaperColumn, line: PrintedLine, points: float
) -> None:
    wide = line.width(paper, points)
    line.draw(paper, x + column.wide - PAD - wide if column.right else x + PAD, y, points)


def _draw_pencil(paper: Paper, x: float, y: float, wide: float, high: float) -> None:
    """A frame's sides, and dotted lines to write on."""
    for side in (x, x + wide):
        paper.rule(side, y, side, y + high, colour=paper.ink.past_line, wide=0.15)
    count = max(1, int(high / PENCIL))
    for i in range(1, count):
        at = y + i * high / count
        paper.rule(x + 0.8, at, x + wide - 0.8, at, colour=paper.ink.past_line, dash=DOTTED,
                   wide=0.2)  # fmt: skip


def _nothing(_y: float, _height: float) -> None:
    """Draw nothing."""
