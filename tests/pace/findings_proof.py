"""Proof by simulation that the findings keep their promises: `start.py pace findings-proof`.

Every line is a run of simulated journals (`findings_kitchens.py`): how often the ranges hold the
truth, over all variables and over those that matter, how wide they are beside least squares, how
often noise is called clear; and for the next make, how often its range holds it. Beside these
tables there are curves, how soon a variable is settled, and journals as homes keep them.

    start.py pace findings-proof ugly --journals 100 --seed 101 202 303 --resume proof.jsonl
"""

from __future__ import annotations

import argparse
import math
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small sums: threads only get in the way
sys.path.insert(0, str(Path(__file__).parents[2]))

from journal.findings import CLEAR, Finding, ScoreTable, study
from journal.findings.predict import PredictionBase, predict
from journal.findings.study import Study
from tests.pace.curves_proof import show_curves
from tests.pace.findings_kitchens import (
    VARIABLES,
    Kitchen,
    Simulated,
    journals,
    next_score,
    together_truth,
    variables_of,
)
from tests.pace.kept import Kept, Rows
from tests.pace.settling_proof import show_settling
from tests.pace.ugly_proof import show_ugly

SIZES = (6, 12, 25, 60)
CURVES, SETTLING, UGLY = "curves", "settling", "ugly"


@dataclass(frozen=True)
class Tally:
    """What a run of journals showed; arrays hold one figure a journal, NaN where there is none.

    `next80`, `next95`, `next_width80` are of a make that differs from the last one by two sds of
    one variable, `any80` is of a make as they fall. `improved` says whether the finding with the
    largest leaning effect was of the right sign, `gained` what its step truly does (of the sign it
    said) and `predicted` what it said.
    """

    held80: np.ndarray
    held95: np.ndarray
    mattering80: np.ndarray
    mattering95: np.ndarray
    false_clear: np.ndarray
    power: np.ndarray
    width95: np.ndarray
    plain_width95: np.ndarray
    next80: np.ndarray
    next95: np.ndarray
    next_width80: np.ndarray
    any80: np.ndarray
    improved: np.ndarray
    gained: np.ndarray
    prediction: np.ndarray


def tally(
    kitchen: Kitchen, count: int, seed: int | Sequence[int] = 20, jobs: int = 1, *,
    ahead: bool = True, kept: Kept | None = None,
) -> Tally:  # fmt: skip
    """Study `count` journals of each seed and note what the findings say against the truth."""
    kept, seeds = kept or Kept(), [seed] if isinstance(seed, int) else seed
    runs = [
        kept.run(f"{kitchen} {one} {ahead}", partial(_part, kitchen, one, ahead), count, jobs)
        for one in seeds
    ]
    return Tally(*np.concatenate(runs).T)


def _part(kitchen: Kitchen, seed: int, ahead: bool, numbers: Sequence[int]) -> Rows:
    """One row a journal, in the order of the tally."""
    rows = []
    for one in journals(kitchen, numbers, seed):
        answer = study(one.table, permutations=19)
        true = together_truth(answer, one.table, one.truth)
        found = [answer.finding(f"v{j}") for j in range(VARIABLES)]
        nothing = [math.nan] * 4
        rows.append(
            [
                *_effects(found, true[:VARIABLES], one),
                *(_next_make(kitchen, one, answer) if ahead else nothing),
                *_promised(found, true),
            ]
        )
    return rows


def _effects(found: list[Finding], true: np.ndarray, one: Simulated) -> list[float]:
    """How the ranges and words of the findings stand to the truth, first eight of the tally."""
    held80 = np.array([f.low80 <= t <= f.high80 for f, t in zip(found, true, strict=True)])
    held95 = np.array([f.low95 <= t <= f.high95 for f, t in zip(found, true, strict=True)])
    clear = np.array([f.evidence == CLEAR for f in found])
    own = one.truth[:VARIABLES] != 0
    of_own = [float(np.mean(v[own])) if own.any() else math.nan for v in (held80, held95, clear)]
    return [
        float(held80.mean()), float(held95.mean()), *of_own[:2], float((clear & (true == 0)).any()),
        of_own[2], float(np.mean([f.high95 - f.low95 for f in found])),
        _plain_width(found, one.table),
    ]  # fmt: skip


def _plain_width(found: list[Finding], table: ScoreTable) -> float:
    """The mean 95 % width of least squares, NaN where there is none."""
    from scipy.special import stdtrit

    df = len(table.make) - VARIABLES - 1
    if df < 1 or table.makes < len(table.make) or any(math.isnan(f.partial_r) for f in found):
        return math.nan
    se = [abs(f.ols_effect * f.step) * math.sqrt(1 / f.partial_r**2 - 1) for f in found]
    return float(2 * stdtrit(df, 0.975) * np.mean(se) / math.sqrt(df))


def _next_make(kitchen: Kitchen, one: Simulated, answer: Study) -> list[float]:
    """Foretell one more make: twice an sd off in one variable, else like the last; and any."""
    table, draw = one.table, one.draw
    ground = PredictionBase.of(table, table.make[-1])
    age = float(ground.values[-1])
    j = int(draw.integers(0, VARIABLES))
    x = one.last.copy()
    x[j] = ground.values[j] + draw.choice([-2, 2]) * np.nanstd(table.x[:, j], ddof=1)
    report = predict(table, answer, ground, {f"v{j}": float(x[j])})
    real = next_score(kitchen, one, x, age)
    fresh = variables_of(kitchen, 1, draw)[0]
    at = predict(table, answer, ground, {f"v{i}": float(v) for i, v in enumerate(fresh)})
    came = next_score(kitchen, one, fresh, age)
    return [
        report.low80 <= real <= report.high80, report.low95 <= real <= report.high95,
        report.high80 - report.low80, at.low80 <= came <= at.high80,
    ]  # fmt: skip


def _promised(found: list[Finding], true: np.ndarray) -> list[float]:
    """Whether the largest effect that leans is of the right sign, what it gives and promised."""
    leaning = [i for i, f in enumerate(found) if f.low80 * f.high80 > 0]
    if not leaning:
        return [math.nan] * 3
    best = max(leaning, key=[abs(f.effect) for f in found].__getitem__)
    gained = float(np.sign(found[best].effect) * true[best])
    return [float(gained > 0), gained, abs(found[best].effect)]


def _mean(values: np.ndarray) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else math.nan


HEAD = " makes   all 80   all 95  real 80  real 95  false %   clear %  width95  least sq"
NEXT_HEAD = " makes  next 80  next 95  width80   any 80  better %   gained  foretold"


def line(makes: int, t: Tally) -> str:
    """One line about effects."""
    middle = [t.held80, t.held95, t.mattering80, t.mattering95, t.false_clear, t.power]
    percents = "".join(f"{100 * _mean(v):9.1f}" for v in middle)
    return f"{makes:6d}{percents}{_mean(t.width95):10.2f}{_mean(t.plain_width95):10.2f}"


def next_line(makes: int, t: Tally) -> str:
    """One line about the next make."""
    first = "".join(f"{100 * _mean(v):9.1f}" for v in (t.next80, t.next95))
    more = f"{_mean(t.next_width80):9.2f}{100 * _mean(t.any80):9.1f}{100 * _mean(t.improved):10.1f}"
    return f"{makes:6d}{first}{more}{_mean(t.gained):9.2f}{_mean(t.prediction):10.2f}"


@dataclass(frozen=True)
class Table:
    """A printed table: lines of one kind of kitchen."""

    title: str
    kitchen: Kitchen
    sizes: tuple[int, ...] = SIZES
    share: int = 1  # so many times fewer journals


TABLES = {
    "independent": Table("Independent variables, four of twelve matter", Kitchen(0)),
    "correlated": Table("Variables correlated by 0.5, four of twelve matter", Kitchen(0, 0.5)),
    "noise": Table("Nothing matters, independent", Kitchen(0, matter=0)),
    "noise-correlated": Table("Nothing matters, correlated by 0.5", Kitchen(0, 0.5, 0)),
    "four": Table("Four effects of 0.7 points per sd", Kitchen(0, 0.0, 4, 0.7), (40,)),
    "one": Table("One effect of 0.7 points per sd", Kitchen(0, 0.0, 1, 0.7), (40,)),
    "strong": Table("Two strong effects of 1.5 points, correlated by 0.5",
                    Kitchen(0, 0.5, 2, 1.5), SIZES, 5),
    "tastings": Table("One or two wheels a make, one to three tastings",
                      Kitchen(0, tastings=True), (12, 25, 60), 5),
    "changes": Table("Typical changes of 0.5 to 2 sds, four of twelve matter",
                     Kitchen(0, changes=True), (6, 12, 20, 25, 28, 40)),
    "gaps": Table("A quarter of the values missing, variables correlated by 0.5",
                  Kitchen(0, 0.5, gaps=0.25), (12, 25, 60)),
    "heavy": Table("Effects and luck with heavy tails, four of twelve matter",
                   Kitchen(0, heavy=True)),
}  # fmt: skip


def show(table: Table, count: int, seeds: Sequence[int], jobs: int, kept: Kept) -> None:
    """Print a table."""
    from dataclasses import replace

    ahead = []
    print(f"\n{table.title} ({count} journals a line)\n{HEAD}")
    for makes in table.sizes:
        kitchen = replace(table.kitchen, makes=makes)
        found = tally(kitchen, count, seeds, jobs, kept=kept)
        ahead.append(next_line(makes, found))
        print(line(makes, found), flush=True)
    print("\n".join([NEXT_HEAD, *ahead]), flush=True)


def main(argv: Sequence[str] | None = None) -> int:
    """Print the tables."""
    ask = argparse.ArgumentParser(description="Prove the findings by simulation.")
    there = (*TABLES, CURVES, SETTLING, UGLY)
    ask.add_argument("which", nargs="*", help=f"{', '.join(there)}; all by default")
    ask.add_argument("--journals", type=int, default=2000, help="simulated journals a line")
    ask.add_argument("--seed", type=int, nargs="*", default=[20], help="one or several (20)")
    ask.add_argument("--jobs", type=int, default=2, help="processes")
    ask.add_argument("--resume", type=Path, help="keeps each part done; those there are kept")
    output = ask.parse_args(argv)
    unknown = set(output.which) - set(there)
    if unknown:
        ask.error(f"there is no {', '.join(sorted(unknown))}; there are {', '.join(there)}")
    kept, more = Kept(output.resume), (output.seed, output.jobs)
    for name in output.which or there:
        if name == CURVES:
            show_curves(output.journals, *more, kept)
        elif name == SETTLING:
            show_settling(max(output.journals // 10, 1), *more, kept)
        elif name == UGLY:
            show_ugly(output.journals, *more, kept)
        else:
            table = TABLES[name]
            show(table, max(output.journals // table.share, 1), *more, kept)
    return 0


if __name__ == "__main__":
    sys.exit(main())
