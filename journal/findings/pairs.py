"""Two that act together, looked at only where that is declared beforehand (ticked or named): acid
with cook, salt with age. Never all pairs: among so many some would always seem to matter."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from journal.findings.table import AGE_KEY, Floats, ScoreTable, Variable


@dataclass(frozen=True)
class DeclaredPair:
    """A variable that is high where both of two are beyond their middle on the same side, in
    typical changes of each; `first` and `second` name the keys it may be made of, best first."""

    variable: Variable
    first: tuple[str, ...]
    second: tuple[str, ...]

    def columns(self, variables: Sequence[Variable]) -> tuple[int, int] | None:
        """The two columns of a table, None where it lacks one."""
        keys = [v.key for v in variables]
        found = [
            next((keys.index(key) for key in side if key in keys), None)
            for side in (self.first, self.second)
        ]
        return None if found[0] is None or found[1] is None else (found[0], found[1])


PAIRS = (
    DeclaredPair(
        Variable("acid with cook", step=1.0),
        ("ph_at_milling", "ph_at_drain"),
        ("cook_temperature",),
    ),
    DeclaredPair(Variable("salt with age", step=1.0), ("salt_in_curd",), (AGE_KEY,)),
)


def with_pairs(
    variables: list[Variable], x: Floats, wanted: Collection[str]
) -> tuple[list[Variable], Floats]:
    """The variables with the declared pairs beside them, and their columns (rows, variables)."""
    for pair in PAIRS:
        at = pair.columns(variables) if pair.variable.key in wanted else None
        if at is None:
            continue
        together = _together(variables, x, at, x)
        if np.isfinite(together).any():
            variables, x = [*variables, pair.variable], np.column_stack([x, together])
    return variables, x


def follow_pairs(table: ScoreTable, values: Floats) -> None:
    """Let the pairs among a make's values (variables,) follow the two they are made of."""
    keys = [v.key for v in table.variables]
    for pair in PAIRS:
        at = pair.columns(table.variables)
        if pair.variable.key in keys and at is not None:
            j = keys.index(pair.variable.key)
            values[j] = _together(table.variables, table.x, at, values[None])[0]


def _together(
    variables: Sequence[Variable], x: Floats, at: tuple[int, int], values: Floats
) -> Floats:
    out = np.ones(len(values))
    for j in at:
        out = out * (values[:, j] - np.nanmean(x[:, j])) / (variables[j].step or 1.0)
    return np.asarray(out, dtype=float)
