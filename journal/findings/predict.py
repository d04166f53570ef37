"""What a make would be: its score for chosen values, with the range that holds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from journal.findings.defects import over_makes, samples_in_100
from journal.findings.error import FindingError
from journal.findings.joint import Joint
from journal.findings.missing import fill
from journal.findings.pairs import follow_pairs
from journal.findings.scatter import on_scale
from journal.findings.study import Study
from journal.findings.table import AGE_KEY, Floats, ScoreTable

FIELDS = ("score", "low80", "high80", "low95", "high95", "sure_low80", "sure_high80", "against",
        "against_low80", "against_high80")  # fmt: skip
BEYOND = 0.05  # of a variable's own span, before a value counts as outside of it


@dataclass(frozen=True)
class Prediction:
    """A score predicted, in points; of a defect, how many samples in 100 name it.

    `low80` to `high95` hold the next make's score, its random effect included; `sure_low80` and
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
class PredictionBase:
    """The values a prediction starts from: those of one make, at the age most tastings had.

    Parameters
    ----------
    make : str
    values : ndarray (variables,)
        On the scales they enter the models by, without gaps.
    unsure : ndarray (variables, variables), optional
        Covariance of those of the values that were filled in.
    """

    make: str
    values: Floats
    unsure: Floats | None = None

    @classmethod
    def of(cls, table: ScoreTable, make: str) -> PredictionBase:
        """The ground of a make of the table.

        Raises
        ------
        FindingError
            When the table has no such make.
        """
        own = np.array([m == make for m in table.make])
        if not own.any():
            raise FindingError("findings.make-without-score", make=make)
        filled = fill(table)
        x = filled.x
        values = x[own].mean(axis=0)
        keys = [v.key for v in table.variables]
        if AGE_KEY in keys:
            j = keys.index(AGE_KEY)
            values[j] = float(np.median(x[:, j]))
        return cls(make, values, filled.covariance_at(own) if filled.unsure else None)


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
    for at, curve in enumerate(study.curves):
        of[at - len(study.curves)] = float(curve.at(values[[curve.variable]])[0])
    return of


def predict(
    table: ScoreTable, study: Study, ground: PredictionBase, changes: Mapping[str, float]
) -> Prediction:
    """Predict the score of a make like `ground` with other values.

    Parameters
    ----------
    changes : mapping of variable (name or key) to value, in the variable's unit

    Raises
    ------
    FindingError
        When there are too few makes for a range, or no variable is called so.
    """
    if study.joint is None or study.ahead is None or study.entries is None:
        raise FindingError("findings.too-few-to-predict")
    values, outside = ground.values.copy(), []
    for name, value in changes.items():
        j = table.position(name)
        if study.entries.of(j) is None:
            name, known = table.variables[j].name, table.known_makes(j)
            if known < min(2, table.makes):
                raise FindingError(
                    "findings.known-of-too-few", variable=name, known=known, makes=table.makes
                )
            raise FindingError("findings.never-varied", variable=name)
        values[j] = float(on_scale(table, j, np.array([value]))[0])
        if beyond(table.x[:, j], value):
            outside.append(table.variables[j].name)
    follow_pairs(table, values)
    here, there = row_of(table, study, ground.values), row_of(table, study, values)
    open_sd = _open_sd(study, ground, [table.position(name) for name in changes])
    scale = _chances if table.samples is not None else _points
    found = scale(study.joint, study.ahead, here, there, open_sd, float(table.y.mean()))
    return Prediction(**dict(zip(FIELDS, found, strict=True)), outside=tuple(outside))


def _points(
    joint: Joint, ahead: Joint, here: Floats, there: Floats, open_sd: float, level: float
) -> list[float]:
    """Score, ranges and gain of a score, in the order of `TOLD`."""
    of = there[None]
    own = ahead.quantiles(of, [0.1, 0.9, 0.025, 0.975], of_a_make=True, beside=open_sd)[:, 0]
    sure = ahead.quantiles(of, [0.1, 0.9], beside=open_sd)[:, 0]
    change = (there - here)[None]
    against = joint.quantiles(change, [0.1, 0.9])[:, 0]
    score, gain = float(there @ ahead.mean), float((change @ joint.mean)[0])
    return [*(float(v) + level for v in (score, *own, *sure)), gain, *map(float, against)]


def _chances(
    joint: Joint, _ahead: Joint, here: Floats, there: Floats, open_sd: float, _level: float
) -> list[float]:
    """The same of a defect, in samples of 100: the middle of what the make may come to."""
    of = there[None]
    chances = [0.5, 0.1, 0.9, 0.025, 0.975]
    own = joint.quantiles(of, chances, of_a_make=True, beside=open_sd)[:, 0]
    sure = joint.quantiles(of, [0.1, 0.9], beside=open_sd)[:, 0]
    before, after = over_makes(*joint.draws(np.vstack([here, there]))).T
    against = np.quantile(after - before, [0.5, 0.1, 0.9])
    return [*map(float, samples_in_100(np.concatenate([own, sure]))), *map(float, against)]


def _open_sd(study: Study, ground: PredictionBase, chosen: list[int]) -> float:
    """Sd of what filled values of the ground leave open; chosen ones leave nothing."""
    if ground.unsure is None or study.ahead is None or study.entries is None:
        return 0.0
    known = np.ones(len(ground.unsure))
    known[chosen] = 0.0
    across = study.entries.across() * known
    seen = across @ ground.unsure @ across.T
    return float(np.sqrt(max((seen * study.ahead.second_moment()).sum(), 0.0)))


def beyond(column: Floats, value: float) -> bool:
    """Whether a value lies well outside what a column (rows,) has had."""
    known = column[np.isfinite(column)]
    room = BEYOND * float(np.ptp(known))
    return bool(value < known.min() - room or value > known.max() + room)
