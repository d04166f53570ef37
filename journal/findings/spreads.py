"""Where single scores come apart: makes, wheels, assessors, sessions, and what is left."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.findings.error import FindingError
from journal.findings.many_columns import Columns, sparse
from journal.findings.mixed import RandomEffect, fit_mixed
from journal.findings.panel import PanelScores
from journal.findings.table import Floats
from journal.message import Message

LEAST_SESSIONS = 4
"""With fewer sessions their own spread cannot be told."""
_LEAST_AGES = 4


@dataclass(frozen=True)
class Spreads:
    """Standard deviations in points of a single score; 0 where rows cannot tell one apart."""

    make: float
    wheel: float
    assessor: float
    session: float
    rest: float

    def message(self) -> Message:
        """The spreads as a note."""
        return Message(
            "findings.spreads",
            make=self.make, wheel=self.wheel, assessor=self.assessor, session=self.session,
            rest=self.rest,
        )  # fmt: skip


def spreads_of(
    make: Floats, wheel: Floats, assessor: Floats, session: Floats, age: Floats, value: Floats
) -> Spreads | None:
    """Fit make, wheel, assessor and session together, age as a curve; None with too few scores.

    All arguments are (scores,): numbers of make, wheel, assessor and session, the age in days
    (NaN where unknown) and the score.
    """
    sessions, people = len(set(session.tolist())), len(set(assessor.tolist()))
    makes = len(set(make.tolist()))
    if sessions < LEAST_SESSIONS or makes < LEAST_SESSIONS or value.size < 3 * sessions:
        return None
    terms = [RandomEffect("session", session.astype(np.intp))]
    if people > 1:
        terms.append(RandomEffect("assessor", assessor.astype(np.intp)))
    fixed = _age_columns(age)
    try:
        fit = fit_mixed(
            value,
            fixed,
            terms,
            make=make.astype(np.intp),
            wheel=wheel.astype(np.intp),
            to_the_last=False,
        )
    except (FindingError, np.linalg.LinAlgError):
        return None
    return Spreads(
        make=fit.sd("make"),
        wheel=fit.sd("wheel"),
        assessor=fit.sd("assessor"),
        session=fit.sd("session"),
        rest=float(np.sqrt(fit.residual)),
    )


def _age_columns(age: Floats) -> Floats:
    """A column of ones, and age with its square where there are ages enough."""
    ones = np.ones(age.size)
    known = np.isfinite(age)
    if not known.any() or len(set(np.round(age[known]).tolist())) < _LEAST_AGES:
        return ones[:, None]
    z = np.where(known, age - age[known].mean(), 0.0) / max(float(age[known].std()), 1e-9)
    return np.column_stack([ones, z, z**2])


def session_share(
    panel: PanelScores, wheel: Floats, session: Floats, age: Floats, value: Floats
) -> Columns:
    """The share each session has in each unit's score, shape (units, sessions)."""
    there = np.isfinite(value)
    days = np.round(age[there])
    days = np.where(np.isfinite(days), days, -1.0)
    unit_at = {
        (int(w), -1.0 if np.isnan(a) else float(a)): i
        for i, (w, a) in enumerate(zip(panel.wheel_ix, panel.age_days, strict=True))
    }
    known, column = np.unique(session[there], return_inverse=True)
    row = np.array([unit_at[int(w), float(a)] for w, a in zip(wheel[there], days, strict=True)])
    units = panel.wheel_ix.size
    count = np.maximum(np.bincount(row, minlength=units), 1.0)
    return sparse((units, known.size), row, column.reshape(-1), 1 / count[row])
