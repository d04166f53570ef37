"""What a make would be: its score for chosen values, with the range that holds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from journal.findings.error import FindingError
from journal.findings.missing import fill
from journal.findings.scatter import on_scale
from journal.findings.study import Study
from journal.findings.table import AGE_KEY, Floats, ScoreTable

BEYOND = 0.05  # of a variable's own span, before a value counts as outside of it


@dataclass(frozen=True)
class Foretold:
    """A score foretold, in points.

    `low80` to `high95` hold the next make's score, its luck included; `sure_low80` and
    `sure_high80` what is expected of it. `against` is the change against the make it starts
    from, with its own range `against_low80` to `against_high80`. `outside` names variables whose
    value lies beyond what was ever made.
    """

    score: float
    low80: float
    high80: float
    low95: float
    high95: float
    sure_low80: float
    sure_high80: float
    against: float
    against_low80: float
    against_high80: float
    outside: tuple[str, ...]


@dataclass(frozen=True)
class Ground:
    """The values foretelling starts from: those of one make, at the age most tastings had.

    Parameters
    ----------
    make : str
    values : ndarray (variables,)
        On the scales they enter the models by, without gaps.
    """

    make: str
    values: Floats

    @classmethod
    def of(cls, table: ScoreTable, make: str) -> Ground:
        """The ground of a make of the table.

        Raises
        ------
        FindingError
            When the table has no such make.
        """
        own = np.array([m == make for m in table.make])
        if not own.any():
            raise FindingError(f"{make} has no score, so nothing can start from it.")
        x = fill(table).x
        values = x[own].mean(axis=0)
        keys = [v.key for v in table.variables]
        if AGE_KEY in keys:
            j = keys.index(AGE_KEY)
            values[j] = float(np.median(x[:, j]))
        return cls(make, values)


def row_of(table: ScoreTable, study: Study, values: Floats) -> Floats:
    """The combination of level, effects and bends (1 + variables + bends,) at values."""
    assert study.joint is not None
    assert study.entries is not None
    entries = study.entries
    of = np.zeros(study.joint.means.shape[1])
    of[0] = 1.0
    for i, entry in enumerate(entries.entries):
        z = [
            sign * (values[m] - entries.middle[m]) / entries.sd[m]
            for m, sign in zip(entry.members, entry.signs, strict=True)
        ]
        of[1 + i] = float(np.sum(z)) / entries.size[i]
    if study.curve is not None:
        of[-1] = float(study.curve.at(values[[study.curve.variable]])[0])
    return of


def foretell(
    table: ScoreTable, study: Study, ground: Ground, changes: Mapping[str, float]
) -> Foretold:
    """Foretell the score of a make like the ground's with other values.

    Parameters
    ----------
    changes : mapping of variable (name or key) to value, in the variable's unit

    Raises
    ------
    FindingError
        When there are too few makes for a range, or no variable is called so.
    """
    if study.joint is None or study.entries is None:
        raise FindingError("There are too few makes to foretell anything yet.")
    values, outside = ground.values.copy(), []
    for name, value in changes.items():
        j = table.position(name)
        if study.entries.of(j) is None:
            raise FindingError(f"{table.variables[j].name} never varied, so nothing can be told.")
        values[j] = float(on_scale(table, j, np.array([value]))[0])
        if _beyond(table.x[:, j], value):
            outside.append(table.variables[j].name)
    here, there = row_of(table, study, ground.values), row_of(table, study, values)
    of, level = np.vstack([there, there - here]), float(table.y.mean())
    low95, low80, high80, high95 = study.joint.quantiles(
        of[:1], [0.025, 0.1, 0.9, 0.975], of_a_make=True
    )[:, 0]
    sure = study.joint.quantiles(of, [0.1, 0.9])
    score, against = (of @ study.joint.mean).tolist()
    return Foretold(
        score + level, low80 + level, high80 + level, low95 + level, high95 + level,
        float(sure[0, 0]) + level, float(sure[1, 0]) + level,
        against, float(sure[0, 1]), float(sure[1, 1]), tuple(outside),
    )  # fmt: skip


def _beyond(column: Floats, value: float) -> bool:
    known = column[np.isfinite(column)]
    room = BEYOND * float(np.ptp(known))
    return bool(value < known.min() - room or value > known.max() + room)
