"""What the findings are worth in journals as homes keep them (`ugly_kitchens.py`).

Printed beside each other: how often the ranges hold the truth, over all variables and over those
that matter; how often a journal calls something clear that does nothing; how many of the variables
worth 0.7 points an sd or more are called clear; how wide the ranges are, and how wide and how often
right those of least squares are on the makes' mean scores. Nothing is promised of them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

import numpy as np

from journal.findings import CLEAR, ScoreTable, Variable, study
from journal.findings.levelled import levelled
from journal.findings.study import Study
from tests.pace.findings_kitchens import together_truth
from tests.pace.kept import Kept, Rows, each
from tests.pace.ugly_kitchens import VARIABLES, UglyHome, UglyJournal, ugly_journal

SIZES = (6, 12, 25, 40, 60)
LARGE = 0.7
HOMES = (*(UglyHome(makes) for makes in SIZES), UglyHome(40, LARGE))
HEAD = (
    " makes   all 80   all 95  real 80  real 95  false %   clear %  width95  least sq  it holds 95"
)


def table_of(one: UglyJournal) -> ScoreTable:
    """The journal as the program reads it: single scores levelled, ages beside the variables."""
    fit = levelled(one.singles)
    make = _makes_of(one)[fit.panel.wheel_ix]
    changes = zip(range(VARIABLES), one.change, strict=True)
    return ScoreTable(
        "overall", [f"m{i}" for i in make], [f"w{i}" for i in fit.panel.wheel_ix],
        fit.panel.score, fit.se,
        [*(Variable(f"v{j}", step=float(step)) for j, step in changes),
         Variable("age at tasting", step=30.0)],
        np.column_stack([one.noted[make], fit.panel.age_days]),
        assessors=2, shared=fit.shared,
    )  # fmt: skip


def _makes_of(one: UglyJournal) -> np.ndarray:
    """The make of each wheel, by the wheel's number."""
    of = np.zeros(int(one.singles[1].max()) + 1, dtype=int)
    of[one.singles[1].astype(int)] = one.singles[0].astype(int)
    return of


def figures(home: UglyHome, seed: int, number: int) -> Sequence[float]:
    """One row of the tally: ten figures, NaN where there is none."""
    one = ugly_journal(home, number, seed)
    table = table_of(one)
    answer = study(table, permutations=19)
    if answer.joint is None:
        return [math.nan] * 9
    true = _true(answer, table, one)
    found = [answer.finding(f"v{j}") for j in range(VARIABLES)]
    known = np.array([math.isfinite(f.low80) for f in found])
    held80 = np.array([f.low80 <= t <= f.high80 for f, t in zip(found, true, strict=True)])
    held95 = np.array([f.low95 <= t <= f.high95 for f, t in zip(found, true, strict=True)])
    clear = np.array([f.evidence == CLEAR for f in found])
    own, large = known & (one.effect != 0), known & (np.abs(one.effect) >= LARGE)
    width = np.array([f.high95 - f.low95 for f in found])
    plain_width, plain_held = _plain(table, one)
    return [
        _share(held80, known), _share(held95, known), _share(held80, own), _share(held95, own),
        float((clear & (true == 0)).any()), _share(clear, large), _share(width, known),
        plain_width, plain_held,
    ]  # fmt: skip


def _true(answer: Study, table: ScoreTable, one: UglyJournal) -> np.ndarray:
    """What a typical change of each variable truly does, with those that moved with it."""
    return together_truth(answer, table, np.append(one.effect, 0.0))[:VARIABLES]


def _share(what: np.ndarray, of: np.ndarray) -> float:
    return float(what[of].mean()) if of.any() else math.nan


def _plain(table: ScoreTable, one: UglyJournal) -> tuple[float, float]:
    """Least squares on the makes' mean scores, gaps filled by the mean of their column: mean 95 %
    width of a typical change, and the share of ranges that hold the truth; NaN with too few."""
    from scipy.special import stdtrit

    makes = np.unique(table.make)
    at = [np.flatnonzero(np.array(table.make) == make)[0] for make in makes]
    x = table.x[at, :VARIABLES]
    x = np.where(np.isfinite(x), x, np.nan_to_num(np.nanmean(x, axis=0)))
    y = np.array([table.y[np.array(table.make) == make].mean() for make in makes])
    design = np.column_stack([np.ones(len(y)), x])
    free = len(y) - design.shape[1]
    if free < 1 or np.linalg.matrix_rank(design) < design.shape[1]:
        return math.nan, math.nan
    inverse = np.linalg.inv(design.T @ design)
    found = inverse @ design.T @ y
    left = y - design @ found
    half = stdtrit(free, 0.975) * np.sqrt(left @ left / free * np.diag(inverse)[1:])
    held = np.abs(found[1:] - one.effect) <= half
    return float(np.mean(2 * half * one.change)), float(held.mean())


def show_ugly(count: int, seeds: Sequence[int], jobs: int, kept: Kept) -> None:
    """Print the table."""
    print(f"\nJournals as homes keep them, four of twelve matter ({count} journals a line)\n{HEAD}")
    for home in HOMES:
        rows = kept.over(f"ugly {home.makes} {home.effect}", partial(_rows, home), seeds,
                         count, jobs)  # fmt: skip
        mean = [float(np.nanmean(c)) if np.isfinite(c).any() else math.nan for c in rows.T]
        percents = "".join(f"{100 * value:9.1f}" for value in mean[:6])
        wide = f"{mean[6]:10.2f}{mean[7]:10.2f}{100 * mean[8]:13.1f}"
        of_four = f"   (four effects of {home.effect})" if home.effect else ""
        print(f"{home.makes:6d}{percents}{wide}{of_four}", flush=True)


def _rows(home: UglyHome, seed: int, numbers: Sequence[int]) -> Rows:
    return each(partial(figures, home, seed), numbers)
