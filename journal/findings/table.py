"""Wheel scores and make variables side by side, ready to be studied."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

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
    of_words : bool
        Whether it compares a word of a table with the usual one.
    """

    name: str
    key: str = ""
    unit: str = ""
    step: float | None = None
    step_label: Message | None = None
    scale: str = PLAIN
    of_words: bool = False

    def __post_init__(self) -> None:
        if not self.key:
            object.__setattr__(self, "key", snake(self.name))
        if self.step is not None and (not np.isfinite(self.step) or self.step == 0):
            raise FindingError("findings.step-of-zero", variable=self.name)


@dataclass(frozen=True)
class NotLookedAt:
    """A column that is no variable, and why."""

    column: str
    why: Message


def looked_past(past: Sequence[NotLookedAt]) -> list[Message]:
    """One note on all columns that are not looked at; none where there are none."""
    each = [Message("findings.column-why", column=one.column, why=one.why) for one in past]
    return [Message("findings.not-looked-at", columns=each)] if each else []


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
    named, samples : ndarray (rows,) or None
        For a defect: how many samples name it, of how many; `y` is then the share in 100.
    off : ndarray (rows, variables) or None
        How far measured values may be off (a spoon's are), sd as a share of the value.
    not_looked_at : tuple of NotLookedAt
        Columns that are no variables; a note of them is among `notes`.
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
    samples: Floats | None = None
    off: Floats | None = None
    not_looked_at: tuple[NotLookedAt, ...] = ()

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

    def name_of(self, variable: Variable) -> str:
        """What a make variable is called here: a dose known in one unit only goes by its name
        without the unit."""
        return next((one.name for one in self.variables if one.key == variable.key), variable.name)

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
