"""What a chart shows, as a table: for the pointer, the arrow keys, a list to walk and to copy."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from journal.records.traces import Floats

NOWHERE = float("nan")


@dataclass(frozen=True)
class ValueRow:
    """A line of the table: its cells, where it stands along the axis and (in the panel of that
    number) up, what is read of it, and what a click on it goes to (None: nothing)."""

    cells: tuple[str, ...]
    x: float
    y: float = NOWHERE
    panel: int = 0
    words: str = ""
    key: object = None


@dataclass(frozen=True, eq=False)
class ValueCurve:
    """A column: the values of a curve over the axis, each (n,), and how one is written. A curve
    that only `follows` the others has a value in each row and makes none."""

    head: str
    at: Floats
    value: Floats
    text: Callable[[float], str]
    panel: int = 0
    follows: bool = False


@dataclass(frozen=True, eq=False)
class ValueTable:
    """Titles and lines; `x`, `y` and `panel` are those of the lines, each (n,). The keys walk them
    along the axis, or `in_lines` as they stand under each other."""

    heads: tuple[str, ...] = ()
    rows: Sequence[ValueRow] = ()
    x: Floats = field(default_factory=lambda: np.empty(0))
    y: Floats = field(default_factory=lambda: np.empty(0))
    panel: np.ndarray = field(default_factory=lambda: np.empty(0, int))
    in_lines: bool = False


def table_of_rows(
    heads: Sequence[str], rows: Sequence[ValueRow], *, in_lines: bool = False
) -> ValueTable:
    """A table of lines in the order one walks them."""
    return ValueTable(
        tuple(heads), tuple(rows), np.array([row.x for row in rows], float),
        np.array([row.y for row in rows], float), np.array([row.panel for row in rows], int),
        in_lines,
    )  # fmt: skip


def table_of_curves(
    head: str,
    written: Callable[[float], str],
    curves: Sequence[ValueCurve],
    key: Callable[[float], object] | None = None,
) -> ValueTable:
    """Curves over one axis: a line wherever one has a value, `written` under `head` first."""
    known = [np.isfinite(curve.value) for curve in curves]
    own = [
        curve.at[there]
        for curve, there in zip(curves, known, strict=True)
        if not curve.follows and there.any()
    ]
    x = np.unique(np.concatenate(own)) if own else np.empty(0)
    columns, y, panel = [], np.full(len(x), np.nan), np.zeros(len(x), int)
    for curve, there in zip(curves, known, strict=True):
        found = _values_at(x, curve, there)
        columns.append(found)
        first = np.isnan(y) & np.isfinite(found) & (not curve.follows)
        y[first], panel[first] = found[first], curve.panel
    used = [i for i, column in enumerate(columns) if np.isfinite(column).any()]
    rows = _CurveRows(
        x, y, panel, written, [columns[i] for i in used], [curves[i].text for i in used], key
    )
    return ValueTable((head, *(curves[i].head for i in used)), rows, x, y, panel)


def _values_at(x: Floats, curve: ValueCurve, known: np.ndarray) -> Floats:
    out = np.full(len(x), np.nan)
    if not known.any() or not len(x):
        return out
    at, value = curve.at[known], curve.value[known]
    if curve.follows:
        order = np.argsort(at, kind="stable")
        inside = (x >= at.min()) & (x <= at.max())
        out[inside] = np.interp(x[inside], at[order], value[order])
    else:
        out[np.searchsorted(x, at)] = value
    return out


class _CurveRows(Sequence[ValueRow]):
    """Lines that are written when they are looked at: of a logger there may be many thousands."""

    def __init__(
        self,
        x: Floats,
        y: Floats,
        panel: np.ndarray,
        written: Callable[[float], str],
        columns: list[Floats],
        texts: list[Callable[[float], str]],
        key: Callable[[float], object] | None,
    ) -> None:
        self._x, self._y, self._panel = x, y, panel
        self._written, self._columns, self._texts, self._key = written, columns, texts, key

    def __len__(self) -> int:
        return len(self._x)

    def __getitem__(self, index: int) -> ValueRow:  # type: ignore[override] # no slices here
        x = float(self._x[index])
        values = [float(column[index]) for column in self._columns]
        cells = [
            text(value) if np.isfinite(value) else ""
            for value, text in zip(values, self._texts, strict=True)
        ]
        return ValueRow(
            (self._written(x), *cells), x, float(self._y[index]), int(self._panel[index]),
            key=None if self._key is None else self._key(x),
        )  # fmt: skip


def words_of(table: ValueTable, row: ValueRow) -> str:
    """A line as it is read: its own words, else its cells with their titles."""
    if row.words:
        return row.words
    first, *rest = zip(table.heads, row.cells, strict=True)
    return "  ".join([first[1], *(f"{head} {cell}" for head, cell in rest if cell)])
