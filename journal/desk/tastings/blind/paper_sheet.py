"""The sheets of a session on paper: a page or two an assessor, a scale to tick a code; and the
helper's key on a page of its own, in a file of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from journal.desk.sheets.boxes import title_block
from journal.desk.sheets.flow import Block, Placed, paginate, print_pages
from journal.desk.sheets.paper import Paper
from journal.desk.sheets.table import paragraph
from journal.keeping.session_rows import KeyRow, ServingRow
from journal.wording import worded

_POINTS = 9.0
_SMALL = 9.0
_FIGURES = 11.0  # points, of what is marked with a pencil
_NAMES = 33.0  # mm for the attributes' names
_LOW, _HIGH = 31.0, 40.0  # mm for what the ends of a scale mean
_HOW = (
    "Taste in this order, from the top. Mark each line once, between two marks for a half "
    "point: 0 is none or the worst, 10 is the most or the best you have known. Take water "
    "and plain bread between samples. Do not talk until all have finished."
)


@dataclass(frozen=True)
class _Room:
    """How much room a sample takes: its code in points, an attribute and a line for the pencil in
    millimetres."""

    code: float
    line: float
    pencil: float


_WIDE, _CLOSE = _Room(26.0, 9.4, 7.5), _Room(20.0, 8.6, 6.5)


def tasting_sheets(
    path: str | Path,
    title: str,
    servings: Sequence[ServingRow],
    attributes: Sequence[str],
    words: Mapping[str, Mapping[float, str]],
    *,
    paper: str = "A4",
    cups: bool = False,
) -> int:
    """Write the sheets of every assessor as one PDF; nothing in it says what a code is.

    Parameters
    ----------
    path
        The file to write; one that is there is written over.
    title
        Which session.
    servings
        Everyone's, each assessor's together and in order.
    attributes
        What is scored, in order.
    words
        For an attribute what its lowest and highest score mean.
    paper
        "A4" or "Letter".
    cups
        Whether a code is that of a cup, "cup 3".

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
    pages: list[list[Placed]] = []
    for who in dict.fromkeys(s.assessor for s in servings):
        mine = [s for s in servings if s.assessor == who]
        head = [
            title_block(drawn, title, who, (), _POINTS),
            paragraph(drawn, _HOW, _POINTS - 0.5, after=2.0),
        ]
        tries = []
        for room in (_WIDE, _CLOSE):
            samples = [
                _sample(drawn, worded("desk.cup", number=s.code) if cups else s.code,
                        worded("desk.sample-place", who=who, number=k, samples=len(mine)),
                        attributes, words, room)
                for k, s in enumerate(mine, 1)
            ]  # fmt: skip
            tries.append(paginate([*head, *samples], drawn.top, drawn.bottom))
        shortest = min(tries, key=len)  # the roomy one where that costs no page
        pages += shortest
    return print_pages(drawn, pages, path, worded("desk.sheets-pdf-title", title=title))


def _sample(
    paper: Paper, code: str, place: str, attributes: Sequence[str],
    words: Mapping[str, Mapping[float, str]], room: _Room,
) -> Block:  # fmt: skip
    """One code: its number large, a scale an attribute, room for defects and words; the name
    too, for a page may part from the others."""
    head = paper.line_height(room.code) + 1
    high = head + len(attributes) * room.line + 2 * room.pencil + 4

    def draw(y: float, _height: float) -> None:
        paper.rule(paper.left, y, paper.right, y)
        paper.words(paper.left, y + 1.5, code, room.code)
        paper.words(paper.right, y + 3, place, _POINTS, right=True, colour=paper.ink.quiet)
        at = y + head + 1
        for name in attributes:
            _scale(paper, at, name, words.get(name, {}))
            at += room.line
        for k, what in enumerate(("defects, how strong", "notes")):
            low = at + (k + 1) * room.pencil - 1
            paper.words(paper.left, low - 4, what, _POINTS - 1, colour=paper.ink.quiet)
            left = paper.left + _NAMES
            paper.rule(left, low, paper.right, low, colour=paper.ink.past_line)

    return Block(high, draw)


def _scale(paper: Paper, y: float, name: str, words: Mapping[float, str]) -> None:
    """A line from 0 to 10 with a mark each point and a short one each half."""
    size = _POINTS - 1.5
    paper.words(paper.left, y + 0.4, name, _POINTS)
    left, right = paper.left + _NAMES + _LOW, paper.right - _HIGH
    middle = y + 2.2
    for value, x, room, before in ((0.0, left - 2, _LOW, True), (10.0, right + 4, _HIGH, False)):
        message, kind = paper.wrapped(words.get(value, ""), room - 3, size), size
        if len(message) > 1:
            message, kind = paper.wrapped(words.get(value, ""), room - 3, _SMALL), _SMALL
        step = paper.line_height(kind)
        at = middle - step * min(len(message), 2) / 2
        for line in message[:2]:
            paper.words(x, at, line, kind, right=before, colour=paper.ink.quiet)
            at += step
    paper.rule(left, middle, right, middle, colour=paper.ink.ink, wide=0.18)
    for half in range(21):
        x = left + half / 20 * (right - left)
        tall = 1.3 if half % 2 == 0 else 0.6
        paper.rule(x, middle - tall, x, middle + tall, colour=paper.ink.ink, wide=0.18)
        if half % 2 == 0:
            paper.words(x, middle + 1.3, str(half // 2), _FIGURES, centre=True,
                        colour=paper.ink.quiet)  # fmt: skip


def key_sheet(path: str | Path, title: str, rows: Sequence[KeyRow], *, paper: str = "A4") -> int:
    """Write the helper's key: what each code is. Raises as `tasting_sheets` does."""
    drawn = Paper(paper, worded("desk.key-title", title=title))
    step = drawn.line_height(11.0) + 2
    blocks = [
        title_block(
            drawn, title, "The helper's key",
            ("For the helper who cuts and serves and does not taste. Keep it away from the "
             "assessors.",),
            _POINTS,
        )
    ]  # fmt: skip
    blocks += [Block(step, _key_line(drawn, row)) for row in rows]
    pages = paginate(blocks, drawn.top, drawn.bottom)
    return print_pages(drawn, pages, path, worded("desk.key-pdf-title", title=title))


def _key_line(paper: Paper, row: KeyRow) -> Callable[[float, float], None]:
    def draw(y: float, _height: float) -> None:
        paper.words(paper.left, y, row.code, 11.0, bold=True)
        who = row.assessor or worded("wording.everyone")
        paper.words(paper.left + 20, y, who, 11.0, colour=paper.ink.quiet)
        paper.words(paper.left + 62, y, row.cheese, 11.0)

    return draw
