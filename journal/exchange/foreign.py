"""Any table as scores and variables: read and understood as an import reads it, nothing saved."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from journal.exchange.loggers.table import RawTable
from journal.exchange.past_cells import clean, numeric, out_of, sound_rows, summing, table_mark
from journal.exchange.past_columns import ChosenColumns, PastColumn, columns_of, unit_of
from journal.exchange.spreadsheet import read_foreign
from journal.findings.columns import PLAN, SCORE, WORDS
from journal.findings.foreign import ForeignColumn, as_read, score_table_of
from journal.findings.table import ScoreTable

_TEXTS = frozenset((PLAN, WORDS))
_AGAIN = re.compile(r".+ \([2-9][0-9]?\)")


def read_scores(path: str | Path, score: str, variables: Sequence[str] | None = None) -> ScoreTable:
    """The scores of a table with its variables, ready to be studied.

    Raises
    ------
    ExchangeError
        When the file cannot be read as a table.
    FindingError
        When it has no such score, or nothing beside it.
    """
    return scores_of(read_foreign(path), score, variables)


def scores_of(raw: RawTable, score: str, variables: Sequence[str] | None = None) -> ScoreTable:
    """The same of a table that was read already."""
    columns = foreign_columns(raw)
    return score_table_of(
        columns, score, variables, notes=as_read(summing(raw), raw.uneven, _again(raw))
    )


def foreign_columns(raw: RawTable) -> list[ForeignColumn]:
    """Each column with its cells, understood; rows that sum the others up are left out."""
    sums = summing(raw)
    rows = [row for row in sound_rows(raw) if row < raw.rows - sums]
    mark = table_mark(raw)
    return [_column(raw, one, rows, mark) for one in columns_of(raw, ChosenColumns())]


def _column(raw: RawTable, one: PastColumn, rows: Sequence[int], mark: str) -> ForeignColumn:
    cells = [raw.columns[one.index][row] for row in rows]
    found = numeric((out_of(cells) or (cells, 0.0))[0], mark)
    if found is None and one.meaning is not None:
        amounts = one.meaning.amounts(cells)  # "1 tsp" beside "5 ml"
        if amounts is not None:
            words = [clean(cell) for cell in cells]
            return ForeignColumn(one.header, one.role, amounts, words, one.meaning.unit)
    is_text = one.role in _TEXTS or found is None
    return ForeignColumn(
        one.header,
        one.role,
        None if is_text or found is None else found.values,
        [clean(cell) for cell in cells],
        unit_of(one.header) or (found.unit if found is not None else ""),
        found.unread if found is not None and not is_text else 0,
        one.name if one.role == SCORE else "",
        one.who,
    )


def _again(raw: RawTable) -> list[str]:
    """The columns that have the name of one before them, as they were named apart."""
    return [name for name in raw.header if _AGAIN.fullmatch(name)
            and name.rpartition(" (")[0] in raw.header]  # fmt: skip
