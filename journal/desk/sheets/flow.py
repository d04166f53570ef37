"""Blocks laid onto pages from top to bottom: what stays together, what begins again overleaf."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from journal.desk.sheets.paper import Paper
from journal.wording import worded

Style = TypeVar("Style")

WANTED_PAGES = 2
FOOT_POINTS = 9.0


@dataclass(frozen=True)
class Block:
    """Something of a height in mm that draws itself: `draw(y, height)`, y being its upper edge.

    `head` is drawn again where the block begins a page; `keep_with_next` holds it to the next
    block; `grow` gives it what is left of its page, when that is more than its height; `spare`
    leaves it out where it would need a page of its own.
    """

    height: float
    draw: Callable[[float, float], None]
    head: Block | None = None
    keep_with_next: bool = False
    grow: bool = False
    spare: bool = False


@dataclass(frozen=True)
class Placed:
    """A block on its page: upper edge and height, mm."""

    block: Block
    y: float
    height: float


def paginate(blocks: Sequence[Block], top: float, bottom: float) -> list[list[Placed]]:
    """The blocks on pages. One higher than a page has a page of its own."""
    pages: list[list[Placed]] = [[]]
    y = top
    for i, block in enumerate(blocks):
        full = y + _together(blocks, i) > bottom + 1e-6
        if full and block.spare:
            continue
        if pages[-1] and full:
            pages.append([])
            y = top
            if block.head is not None:
                pages[-1].append(Placed(block.head, y, block.head.height))
                y += block.head.height
        high = max(block.height, bottom - y) if block.grow else block.height
        pages[-1].append(Placed(block, y, high))
        y += high
    return pages


def best_pages(
    paper: Paper, build: Callable[[Style], Sequence[Block]], looks: Sequence[Style]
) -> list[list[Placed]]:
    """Pages in the first look that keeps to two, the largest type first; where none does, in the
    first that needs no more than any other."""

    def pages(look: Style) -> list[list[Placed]]:
        return paginate(build(look), paper.top, paper.bottom)

    needed: list[int] = []
    for look in looks:
        tried = pages(look)
        needed.append(len(tried))
        if len(tried) <= WANTED_PAGES:
            return tried
    return pages(looks[needed.index(min(needed))])


def print_pages(
    paper: Paper, pages: Sequence[Sequence[Placed]], path: str | Path, foot: str
) -> int:
    """Draw the pages, each with its number, write the file; returns how many there are."""
    paper.begin()
    for number, page in enumerate(pages, 1):
        if number > 1:
            paper.turn()
        for placed in page:
            placed.block.draw(placed.y, placed.height)
        _draw_foot(paper, foot, worded("desk.page-of", number=number, pages=len(pages)))
    paper.write(path)
    return len(pages)


def _together(blocks: Sequence[Block], i: int) -> float:
    """The height of a block with those it is held to."""
    high = blocks[i].height
    while blocks[i].keep_with_next and i + 1 < len(blocks):
        i += 1
        high += blocks[i].height
    return high


def _draw_foot(paper: Paper, foot: str, number: str) -> None:
    y = paper.bottom + 2.5
    room = paper.across - paper.text_width(number, FOOT_POINTS) - 6
    first = paper.wrapped(foot, room, FOOT_POINTS)[:1]
    paper.lines(paper.left, y, first, FOOT_POINTS, colour=paper.ink.quiet)
    paper.words(paper.right, y, number, FOOT_POINTS, right=True, colour=paper.ink.quiet)
