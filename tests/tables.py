"""Tables typed into a test, read as any table is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from journal.exchange.foreign import scores_of
from journal.exchange.loggers.table import RawTable
from journal.findings import ScoreTable


def raw_table(columns: Mapping[str, Sequence[object]]) -> RawTable:
    """Columns of cells as a file would hold them: text, empty where there is nothing."""
    cells = tuple(["" if one is None else str(one) for one in own] for own in columns.values())
    rows = len(cells[0]) if cells else 0
    return RawTable("utf-8", ";", (), tuple(columns), cells, np.zeros(rows, np.bool_))


def from_columns(
    columns: Mapping[str, Sequence[object]], score: str, variables: Sequence[str] | None = None
) -> ScoreTable:
    """A table of scores out of columns."""
    return scores_of(raw_table(columns), score, variables)
