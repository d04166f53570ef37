"""Wheel scores and make variables side by side, ready to be studied."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from journal.findings.columns import (
    is_blank,
    is_date,
    numbers,
    only_numbers_rows,
    summing_rows,
)
from journal.findings.error import FindingError
from journal.findings.scales import PLAIN
from journal.message import Message

Floats = NDArray[np.float64]
AGE_KEY = "age_at_tasting"
"""Key of the variable that always stays in the model when it varies."""


@dataclass(frozen=True)
class Variable:
    """One make variable: what it is called, its unit, and its practical step.

    Parameters
    ----------
    name : str
        The words as shown ("salt in moisture").
    key : str
        The same in snake case; made from the name when left empty.
    unit : str
        Unit of the values and of the step.
    step : float or None
        A practical change, in `unit`; None stands for one standard deviation of the column.
    step_label : Message or None
        The step where a number and a unit do not say it ("for cow").
    scale : str
        How the variable enters the models, declared beforehand and never searched for: "plain",
        "log" (doses, which work by their ratio) or "inverse_kelvin" (temperatures at which
        something ripens, as in the Arrhenius law).
    """

    name: str
    key: str = ""
    unit: str = ""
    step: float | None = None
    step_label: Message | None = None
    scale: str = PLAIN

    def __post_init__(self) -> None:
        if not self.key:
            object.__setattr__(self, "key", snake(self.name))
        if self.step is not None and (not np.isfinite(self.step) or self.step == 0):
            raise FindingError("findings.step-of-nought", variable=self.name)


@dataclass(frozen=True)
class ScoreTable:
    """Scores of wheels with the variables of their makes.

    A row is a wheel at one age: two tastings of one wheel are two rows, not two makes.

    Parameters
    ----------
    score_name : str
        What was scored ("overall").
    make, wheel : list of str
        Codes, one per row.
    y, y_se : ndarray (rows,)
        Score and its standard error in points (0 or NaN where unknown).
    variables : list of Variable
    x : ndarray (rows, variables)
        Values in the variables' units, NaN where missing.
    assessors : int or None
        How many people scored; None when the table does not say.
    notes : list of Message
        What was left out or filled in.
    shared : columns (rows, m) or None
        What the scores have in common (a session's mood, the panel's fitted levels): each column
        times a normal of sd 1 (an array, or sparse: `many_columns.py`). Its part is within `y_se`.
    named, cards : ndarray (rows,) or None
        For a defect: how many cards name it, of how many; `y` is then the share in 100.
    off : ndarray (rows, variables) or None
        How far measured values may be off (a spoon's are), sd as a share of the value.
    """

    score_name: str
    make: list[str]
    wheel: list[str]
    y: Floats
    y_se: Floats
    variables: list[Variable]
    x: Floats
    assessors: int | None = None
    notes: list[Message] = field(default_factory=list)
    shared: Any = None
    named: Floats | None = None
    cards: Floats | None = None
    off: Floats | None = None

    def __post_init__(self) -> None:
        for name in ("y", "y_se", "x"):
            object.__setattr__(self, name, np.asarray(getattr(self, name), dtype=float))
        rows = len(self.make)
        sizes = {len(self.wheel), self.y.size, self.y_se.size, rows}
        if sizes != {rows} or self.x.shape != (rows, len(self.variables)):
            raise FindingError("findings.table-uneven")
        if not np.isfinite(self.y).all():
            raise FindingError("findings.row-without-score")
        if np.isinf(self.x).any():
            raise FindingError("findings.endless-value")

    @property
    def makes(self) -> int:
        """Number of different makes."""
        return len(set(self.make))

    @property
    def wheels(self) -> int:
        """Number of different wheels."""
        return len(set(zip(self.make, self.wheel, strict=True)))

    def known_makes(self, column: int) -> int:
        """In how many makes the value of a column is known."""
        known = np.isfinite(self.x[:, column])
        return len({make for make, is_known in zip(self.make, known, strict=True) if is_known})

    def position(self, variable: str) -> int:
        """Return the column of a variable given by its name or key.

        Raises
        ------
        FindingError
            When no variable is called so.
        """
        wanted = snake(variable)
        for i, v in enumerate(self.variables):
            if variable == v.name or wanted in (v.key, snake(v.name)):
                return i
        names = [v.name for v in self.variables]
        raise FindingError("findings.no-such-variable", variable=variable, names=names)

    def choosing(self, names: Sequence[str]) -> ScoreTable:
        """Return the table with the named variables only.

        The age at tasting always stays, and a note says so where it was not named.
        """
        wanted = {self.position(n) for n in names}
        age = {i for i, v in enumerate(self.variables) if v.key == AGE_KEY}
        chosen = sorted(wanted | age)
        return replace(
            self,
            variables=[self.variables[i] for i in chosen],
            x=self.x[:, chosen],
            off=None if self.off is None else self.off[:, chosen],
            notes=[*self.notes, *([Message("findings.age-stays")] if age - wanted else [])],
        )


def snake(name: str) -> str:
    """Turn the words of a name into a snake-case key."""
    return re.sub(r"\W+", "_", name.strip().lower()).strip("_")


def from_columns(
    columns: Mapping[str, Sequence[object]],
    score: str,
    variables: Sequence[str] | None = None,
    *,
    assessors: int | None = None,
) -> ScoreTable:
    """Make a table of scores from the columns of a foreign table, one row a make.

    A date column, a column that only numbers the rows and a column of words are labels, not
    variables. Rows at the end that sum the others up ("Mean") and rows without a score are left
    out, and a note says how many. When a column is
    called "make", rows with the same entry count as one make.

    Parameters
    ----------
    columns : mapping of str to sequence
        Cells as numbers, text or dates, None or empty where missing; all of one length.
    score : str
        Column with the scores.
    variables : sequence of str, optional
        Columns to look at; by default all that are no labels.
    assessors : int, optional
        How many people scored.

    Raises
    ------
    FindingError
        When a column is missing, holds no numbers, or no row has a score.
    """
    if len({len(c) for c in columns.values()}) > 1:
        raise FindingError("findings.columns-uneven")
    score_column = _find(columns, score)
    summing = summing_rows(list(columns.values()))
    notes = [_summing_note(summing)] if summing else []
    if summing:
        columns = {name: cells[:-summing] for name, cells in columns.items()}
    scores = _read(columns, score_column)[0]
    names = _chosen(columns, score_column, variables)
    read = {name: _read(columns, name) for name in names}
    notes += [_unread_note(name, unread) for name, (_, unread) in read.items() if unread]
    kept = np.isfinite(scores)
    if not kept.any():
        raise FindingError("findings.no-number-under", column=score_column)
    if not kept.all():
        notes.append(_left_out(int((~kept).sum())))
    makes = _make_codes(columns, len(scores))
    rows = [str(i + 1) for i in range(len(scores))]
    x = np.column_stack([v for v, _ in read.values()]) if read else np.empty((len(scores), 0))
    return ScoreTable(
        score_name=score_column,
        make=[m for m, k in zip(makes, kept, strict=True) if k],
        wheel=[r for r, k in zip(rows, kept, strict=True) if k],
        y=scores[kept],
        y_se=np.full(int(kept.sum()), np.nan),
        variables=[Variable(name=n, unit=_unit(n)) for n in names],
        x=x[kept],
        assessors=assessors,
        notes=notes,
    )


def _find(columns: Mapping[str, Sequence[object]], name: str) -> str:
    if name in columns:
        return name
    alike = [c for c in columns if snake(c) == snake(name)]
    if len(alike) == 1:
        return alike[0]
    raise FindingError("findings.no-such-column", column=name, columns=list(columns))


def _read(columns: Mapping[str, Sequence[object]], name: str) -> tuple[Floats, int]:
    found = numbers(columns[name])
    if found is None:
        raise FindingError("findings.column-without-numbers", column=name)
    return np.asarray(found[0], dtype=float), found[1]


def _chosen(
    columns: Mapping[str, Sequence[object]], score: str, variables: Sequence[str] | None
) -> list[str]:
    if variables is not None:
        return list(dict.fromkeys(_find(columns, v) for v in variables))
    names = [n for i, n in enumerate(columns) if n != score and not _is_label(columns, n, i == 0)]
    if not names:
        raise FindingError("findings.no-column-of-numbers")
    return names


def _is_label(columns: Mapping[str, Sequence[object]], name: str, first: bool) -> bool:
    cells = columns[name]
    if is_date(name, cells):
        return True
    found = numbers(cells)
    if found is None:
        return True
    return only_numbers_rows(name, found[0], first=first)


def _make_codes(columns: Mapping[str, Sequence[object]], rows: int) -> list[str]:
    for name, cells in columns.items():
        if snake(name) == "make":
            codes = zip(cells, range(rows), strict=True)
            return [f"row {i + 1}" if is_blank(c) else str(c).strip() for c, i in codes]
    return [str(i + 1) for i in range(rows)]


def _unit(name: str) -> str:
    found = re.search(r"[(\[]([^)\]]{1,20})[)\]]\s*$", name)
    return found.group(1).strip() if found else ""


def _left_out(count: int) -> Message:
    if count == 1:
        return Message("findings.row-left-out")
    return Message("findings.rows-left-out", rows=count)


def _summing_note(count: int) -> Message:
    if count == 1:
        return Message("findings.summing-row")
    return Message("findings.summing-rows", rows=count)


def _unread_note(name: str, unread: int) -> Message:
    if unread == 1:
        return Message("findings.cell-unread", column=name)
    return Message("findings.cells-unread", column=name, cells=unread)
