"""Variables that a study leaves out unless they are asked for: what a wheel was made of, what adds
up over its life, and a make's figures, worked out of its curves."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from journal.curves.course import course_of
from journal.curves.figures import MakeFigures, figures
from journal.findings.pairs import PAIRS
from journal.findings.readers import ESTIMATES, NONE, SUMS
from journal.findings.table import AGE_KEY, Floats, ScoreTable, Variable, snake
from journal.findings.together import TOGETHER
from journal.message import Message
from journal.records.kinds import STAGE_KINDS
from journal.records.whole import WholeMake


@dataclass(frozen=True)
class FigureVariable:
    """A figure of a make as a variable, and how it is read."""

    variable: Variable
    read: Callable[[MakeFigures], float | None]


@dataclass(frozen=True)
class Further:
    """What was asked for beside the usual variables, by keys. `alone`: these were named for one
    answer, which then looks at nothing else."""

    keys: frozenset[str] = frozenset()
    alone: bool = False

    @property
    def figures(self) -> list[FigureVariable]:
        """The figures asked for."""
        return [one for one in FIGURES if one.variable.key in self.keys]

    @property
    def estimates(self) -> list[tuple[Variable, Callable[[WholeMake, str, float], float]]]:
        """The estimates to read: of a wheel they cost next to nothing."""
        return [one for one in ESTIMATES if self.alone or one[0].key in self.keys]


@dataclass(frozen=True)
class FurtherVariable:
    """A variable that is left out unless it is ticked, and why."""

    key: str
    name: str
    why: Message
    ticked: bool


def asked_for(variables: Sequence[str] | None, ticked: Iterable[str] = ()) -> Further:
    """What names (which stand for themselves alone), or else ticked keys, ask for."""
    if variables is not None:
        return Further(frozenset(map(snake, variables)), alone=True)
    return Further(frozenset(ticked))


def read_figures(make: WholeMake, wanted: Sequence[FigureVariable]) -> list[tuple[float, float]]:
    """The figures of a make, and how far they may be off; nothing is worked out where none is
    wanted."""
    if not wanted:
        return []
    found = figures(make, course_of(make))
    values = [one.read(found) for one in wanted]
    return [(NONE if value is None else float(value), 0.0) for value in values]


def sums_left_out(
    table: ScoreTable, among: Iterable[Variable] = SUMS
) -> tuple[list[Variable], list[Variable]]:
    """Those of a table's variables that here say the age in other words, and those that differ by
    less than their typical change."""
    keys = [v.key for v in table.variables]
    columns = {v: table.x[:, keys.index(v.key)] for v in among if v.key in keys}
    age = table.x[:, keys.index(AGE_KEY)] if AGE_KEY in keys else None
    again = [v for v, column in columns.items() if age is not None and _goes_with(age, column)]
    same = [v for v, c in columns.items() if np.nanmax(c) - np.nanmin(c) < (v.step or 0.0)]
    return again, [v for v in same if v not in again]


def left_out(table: ScoreTable, ticked: frozenset[str]) -> list[FurtherVariable]:
    """What a table with everything in it has that is left out by default, and why; what hardly
    varied comes last."""
    known = {v.key for v in table.variables}
    again, same = (
        {v.key for v in found} for found in sums_left_out(table, FURTHER)
    )  # of any of them, not of the sums alone
    out = []
    for variable, usual in FURTHER.items():
        key = variable.key
        why = "findings.left-age" if key in again else usual
        why = "findings.left-hardly" if key in same else why
        if key not in known:
            why = "findings.left-unknown" if key in ticked else ""
        if why:
            out.append(FurtherVariable(key, variable.name, Message(why), key in ticked))
    return sorted(out, key=lambda one: (one.key not in known, one.key in same))


def _goes_with(age: Floats, column: Floats) -> bool:
    """Whether two columns moved together where both are known."""
    known = np.isfinite(age) & np.isfinite(column)
    one, other = age[known], column[known]
    if one.size < 2 or not (np.ptp(one) > 0 and np.ptp(other) > 0):
        return False
    return abs(float(np.corrcoef(one, other)[0, 1])) > TOGETHER


def _part(name: str, found: MakeFigures) -> float | None:
    """Minutes in a part of the culture's range."""
    return None if found.culture is None else float(getattr(found.culture, name))


def _culture_time(kind: str, found: MakeFigures) -> float | None:
    """Culture time of all stages of a kind."""
    mine = [one.culture_min for one in found.stages if one.key.partition(" ")[0] == kind]
    return sum(mine) if mine else None


def _acid_gain(kind: str, titrated: bool, found: MakeFigures) -> float | None:
    """How far all stages of a kind moved the acidity; pH and titrated acid never share a column."""
    if found.acid_kind is None or found.acid_kind.endswith("-acidity") != titrated:
        return None
    gains = [one.acid_gain for one in found.stages if one.key.partition(" ")[0] == kind]
    known = [gain for gain in gains if gain is not None]
    return sum(known) if known and len(known) == len(gains) else None


_PARTS = {
    "cold": Variable("minutes too cold for the culture", unit="min", step=15.0),
    "slow": Variable("minutes cool for the culture", unit="min", step=15.0),
    "well": Variable("minutes best for the culture", unit="min", step=15.0),
    "warm": Variable("minutes warm for the culture", unit="min", step=15.0),
    "hot": Variable("minutes too hot for the culture", unit="min", step=15.0),
}
# These names are stored, and stay whatever a stage is called elsewhere.
_DURING = {"warm": "warming", "ripen": "ripening", "set": "the set", "cut": "cutting",
           "heal": "healing", "stir": "stirring", "wash": "washing", "cook": "the cook",
           "pitch": "pitching", "drain": "draining", "cheddar": "cheddaring", "mill": "milling",
           "salt": "salting", "mould": "moulding", "press": "the press", "cool": "cooling",
           "scald": "scalding", "stretch": "stretching", "churn": "churning"}  # fmt: skip


def _figures() -> Iterable[FigureVariable]:
    yield FigureVariable(Variable("degree-minutes off the plan", unit="°C min", step=30.0),
                         lambda found: found.degree_minutes)  # fmt: skip
    yield FigureVariable(Variable("minutes in the allowed range", unit="min", step=15.0),
                         lambda found: found.minutes_inside)  # fmt: skip
    yield FigureVariable(Variable("steepest rise of the cook", unit="°C/min", step=0.05),
                         lambda found: found.steepest_c_per_min)  # fmt: skip
    for part, variable in _PARTS.items():
        yield FigureVariable(variable, partial(_part, part))
    for kind in STAGE_KINDS:
        during = _DURING.get(kind)
        if during is not None:
            yield FigureVariable(Variable(f"culture time in {during}", unit="min", step=10.0),
                                 partial(_culture_time, kind))  # fmt: skip
            yield FigureVariable(Variable(f"acid gain in {during}", unit="pH", step=0.1),
                                 partial(_acid_gain, kind, False))  # fmt: skip
            yield FigureVariable(
                Variable(f"titrated acid gain in {during}", unit="%", step=0.02),
                partial(_acid_gain, kind, True),
            )


FIGURES: tuple[FigureVariable, ...] = tuple(_figures())
FURTHER: dict[Variable, str] = {
    **dict.fromkeys(SUMS, ""),
    **{variable: "findings.left-estimate" for variable, _ in ESTIMATES},
    **{pair.variable: "findings.left-pair" for pair in PAIRS},
    **{one.variable: "findings.left-figure" for one in FIGURES},
}
"""Every variable that may be left out, and why it is, where its values do not say so."""
