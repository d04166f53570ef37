"""The keys on paper: group by group, the key and what it does."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from journal.desk.sheets.boxes import title_block
from journal.desk.sheets.flow import Block, paginate, print_pages
from journal.desk.sheets.paper import Paper, paper_here
from journal.desk.sheets.table import PaperColumn, heading, row, shared
from journal.wording.paper_stage import Words

_POINTS = 10.0
_KEY_MM = 45.0


def write_keys(
    groups: Sequence[tuple[str, Sequence[tuple[str, str]]]],
    path: str | Path,
    *,
    paper: str | None = None,
) -> int:
    """Write groups of (key, what it does) as a PDF; returns how many pages it took.

    Raises
    ------
    OSError
        When the file cannot be written.
    """
    sheet = Paper(paper or paper_here(), "Keys")
    columns = shared(sheet, [PaperColumn("Key", _KEY_MM), PaperColumn("What it does", 0.0)], 1)
    blocks: list[Block] = [title_block(sheet, "List", "Keys", [], _POINTS)]
    for title, keys in groups:
        blocks.append(heading(sheet, title, _POINTS))
        blocks += [row(sheet, columns, [[Words(lead=key)], words], _POINTS) for key, words in keys]
    return print_pages(sheet, paginate(blocks, sheet.top, sheet.bottom), path, "Keys · Vatside")
