"""How often a best value in the middle is found, and how often a straight line is called a curve.

Journals of nine variables and noise of 0.6 points: the first loses half a point one sd off its
best, two others are slopes. Asked: found in at least 50 % at 25 makes and 88 % at 40, and at most
5 % of straight journals called curved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

import numpy as np

from journal.findings import ScoreTable, Variable, study
from tests.pace.kept import Kept, Rows, each

SIZES = (12, 25, 40, 60)
VARIABLES, NOISE = 9, 0.6


@dataclass(frozen=True)
class Hill:
    """How journals are simulated: what is lost one sd off the best, and how many slopes there are
    beside it, of sd 0.5."""

    makes: int
    loss: float = 0.5
    slopes: int = 2
    at: ClassVar[float] = 0.3


def journal_of(hill: Hill, number: int, seed: int = 20) -> ScoreTable:
    """The journal of that number; its first variable is best at 0.3 sds."""
    draw = np.random.default_rng([seed, hill.makes, number, round(10 * hill.loss)])
    x = draw.normal(size=(hill.makes, VARIABLES))
    effect = np.zeros(VARIABLES)
    effect[1 : 1 + hill.slopes] = 0.5 * draw.normal(size=hill.slopes)
    score = 6 + x @ effect - hill.loss * (x[:, 0] - hill.at) ** 2
    rows = hill.makes
    return ScoreTable(
        "overall", [f"m{i}" for i in range(rows)], ["A"] * rows,
        score + NOISE * draw.normal(size=rows), np.full(rows, np.nan),
        [Variable(f"v{j}") for j in range(VARIABLES)], x,
    )  # fmt: skip


def curved(table: ScoreTable) -> set[int]:
    """The variables that a study calls curves."""
    found = study(table, permutations=1)
    return {j for j, one in enumerate(table.variables) if found.finding(one.key).curved}


def _one(hill: Hill, seed: int, number: int) -> tuple[bool, bool, float]:
    table = journal_of(hill, number, seed)
    found = study(table, permutations=1)
    own = found.finding("v0")
    best = own.best
    held = np.nan if best is None else float(best.low80 <= Hill.at <= best.high80)
    others = any(found.finding(f"v{j}").curved for j in range(1, VARIABLES))
    return own.curved, others or (own.curved and not hill.loss), held


def _part(hill: Hill, seed: int, numbers: Sequence[int]) -> Rows:
    return each(partial(_one, hill, seed), numbers)


def show_curves(count: int, seeds: Sequence[int], jobs: int, kept: Kept) -> None:
    """Print the table."""
    print(
        f"\nA hill that loses half a point one sd off its best, nine variables ({count} journals)"
    )
    print(" makes   found %   best in its 80 %   others called curved %   straight called curved %")
    for makes in SIZES:
        hills, straight = (
            kept.over(f"{hill}", partial(_part, hill), seeds, count, jobs)
            for hill in (Hill(makes), Hill(makes, loss=0.0))
        )
        found, others, held = hills.T
        known = held[np.isfinite(held)]
        share = f"{100 * known.mean():19.1f}" if known.size else f"{'':19}"
        false = 100 * np.mean(straight[:, 1])
        print(f"{makes:6d}{100 * found.mean():10.1f}{share}{100 * others.mean():25.1f}"
              f"{false:27.1f}", flush=True)  # fmt: skip
