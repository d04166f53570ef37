"""Proof by simulation that the findings keep their promises: `python tests/pace/findings_proof.py`.

Each journal has 12 make variables of which four matter (effects of sd 0.5 points per sd of the
variable), noise 0.8 points, one wheel a make. For variables that moved together the truth is what
all of them do together, since that is what the finding says. A next make is foretold in each as
well: how often its range holds it, and what the change that promises the most was worth.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from journal.findings import CLEAR, Finding, ScoreTable, Study, Variable, study

VARIABLES, MATTER, EFFECT_SD, NOISE = 12, 4, 0.5, 0.8
SIZES = (6, 12, 25, 60)


@dataclass(frozen=True)
class Kitchen:
    """How journals are simulated."""

    makes: int
    correlation: float = 0.0
    matter: int = MATTER
    effect: float | None = None
    tastings: bool = False


@dataclass(frozen=True)
class Tally:
    """What a run of journals showed; arrays hold one figure a journal."""

    held80: np.ndarray
    held95: np.ndarray
    mattering80: np.ndarray
    mattering95: np.ndarray
    width95: np.ndarray
    plain_width95: np.ndarray
    false_clear: np.ndarray
    power: np.ndarray


def journals(kitchen: Kitchen, count: int, seed: int) -> Iterator[tuple[ScoreTable, np.ndarray]]:
    """Yield tables of scores with their true effects per unit of the variable."""
    draw = np.random.default_rng([seed, kitchen.makes, round(100 * kitchen.correlation)])
    for _ in range(count):
        x = draw.normal(size=(kitchen.makes, VARIABLES)) * math.sqrt(1 - kitchen.correlation)
        x += draw.normal(size=(kitchen.makes, 1)) * math.sqrt(kitchen.correlation)
        truth = np.zeros(VARIABLES)
        if kitchen.effect is None:
            truth[: kitchen.matter] = draw.normal(size=kitchen.matter) * EFFECT_SD
        else:
            truth[: kitchen.matter] = kitchen.effect * draw.choice([-1, 1], size=kitchen.matter)
        score = 6 + x @ truth + NOISE * draw.normal(size=kitchen.makes)
        yield _tasted(x, score, truth, draw) if kitchen.tastings else (_table(x, score), truth)


def _table(x: np.ndarray, score: np.ndarray) -> ScoreTable:
    rows = len(score)
    return ScoreTable(
        score_name="overall",
        make=[f"m{i}" for i in range(rows)],
        wheel=["A"] * rows,
        y=score,
        y_se=np.full(rows, np.nan),
        variables=[Variable(f"v{j}") for j in range(x.shape[1])],
        x=x,
    )


def _tasted(
    x: np.ndarray, score: np.ndarray, truth: np.ndarray, draw: np.random.Generator
) -> tuple[ScoreTable, np.ndarray]:
    """Give every make one or two wheels, tasted once to three times, with known scatter."""
    make, wheel, age, y, se = [], [], [], [], []
    for i, middle in enumerate(score):
        for w in range(draw.integers(1, 3)):
            own = middle + 0.3 * draw.normal()
            for days in (60, 120, 200)[: draw.integers(1, 4)]:
                error = float(draw.uniform(0.2, 0.5))
                make.append(i)
                wheel.append("AB"[w])
                age.append(days + int(draw.integers(-9, 10)))
                y.append(
                    own + 0.004 * (age[-1] - 120) + 0.2 * draw.normal() + error * draw.normal()
                )
                se.append(error)
    values = np.column_stack([x[make], age])
    table = ScoreTable(
        score_name="overall",
        make=[f"m{i}" for i in make],
        wheel=wheel,
        y=np.array(y),
        y_se=np.array(se),
        variables=[*(Variable(f"v{j}") for j in range(VARIABLES)), Variable("age at tasting")],
        x=values,
    )
    return table, np.append(truth, 0.004)


def together_truth(answer: Study, table: ScoreTable, truth: np.ndarray) -> np.ndarray:
    """Return what a step of each variable truly does, with those that moved with it."""
    assert answer.entries is not None
    sd = table.x.std(axis=0, ddof=1)
    true = np.empty(truth.size)
    for entry in answer.entries.entries:
        whole = sum(s * truth[m] * sd[m] for m, s in zip(entry.members, entry.signs, strict=True))
        for m, s in zip(entry.members, entry.signs, strict=True):
            true[m] = s * whole
    return true


def tally(kitchen: Kitchen, count: int, seed: int = 20) -> Tally:
    """Study `count` journals and note what the findings say against the truth."""
    from scipy.special import stdtrit

    rows = []
    for table, truth in journals(kitchen, count, seed):
        answer = study(table, permutations=19)
        true = together_truth(answer, table, truth)
        found = [answer.finding(f"v{j}") for j in range(VARIABLES)]
        held80 = [f.low80 <= t <= f.high80 for f, t in zip(found, true, strict=False)]
        held95 = [f.low95 <= t <= f.high95 for f, t in zip(found, true, strict=False)]
        clear = np.array([f.evidence == CLEAR for f in found])
        real = true[:VARIABLES] != 0
        own = truth[:VARIABLES] != 0
        width = np.mean([f.high95 - f.low95 for f in found])
        rows.append(
            (
                np.mean(held80),
                np.mean(held95),
                np.mean(np.array(held80)[own]) if own.any() else np.nan,
                np.mean(np.array(held95)[own]) if own.any() else np.nan,
                width,
                _plain_width(found, table, stdtrit),
                bool((clear & ~real).any()),
                np.mean(clear[own]) if own.any() else np.nan,
            )
        )
    return Tally(*np.array(rows, dtype=float).T)


def _plain_width(found: list, table: ScoreTable, stdtrit) -> float:
    """Return the mean 95 % width of least squares, NaN where there is none."""
    df = len(table.make) - VARIABLES - 1
    if df < 1 or table.makes < len(table.make) or any(math.isnan(f.partial_r) for f in found):
        return math.nan
    se = [abs(f.ols_effect * f.step) * math.sqrt(1 / f.partial_r**2 - 1) for f in found]
    return float(2 * stdtrit(df, 0.975) * np.mean(se) / math.sqrt(df))


def line(kitchen: Kitchen, count: int, seed: int) -> str:
    """Return one line of the printed tables."""
    t = tally(kitchen, count, seed)
    plain = np.nanmean(t.plain_width95) if np.isfinite(t.plain_width95).any() else math.nan
    middle = [t.held80, t.held95, t.mattering80, t.mattering95, t.false_clear, t.power]
    percents = "".join(f"{100 * _mean(v):9.1f}" for v in middle)
    return f"{kitchen.makes:6d}{percents}{_mean(t.width95):9.2f}{plain:9.2f}"


def _mean(values: np.ndarray) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if known.size else math.nan


@dataclass(frozen=True)
class Forecasts:
    """How often the range of a foretold next make held it, and what proposals were worth."""

    held80: float
    held95: float
    width80: float
    improved: float
    gained: float
    foretold: float


def forecasts(kitchen: Kitchen, count: int, seed: int = 30) -> Forecasts:
    """Foretell one more make in each of `count` journals: twice an sd off in one variable, the
    others as they fell, and the single change that promises the most."""
    from journal.findings.foretell import Ground, foretell

    draw = np.random.default_rng([seed, kitchen.makes])
    rows, gains = [], []
    for table, truth in journals(kitchen, count, seed):
        answer = study(table, permutations=19)
        ground = Ground.of(table, table.make[-1])
        j = int(draw.integers(0, VARIABLES))
        value = float(table.x[-1, j] + draw.choice([-2, 2]) * table.x[:, j].std(ddof=1))
        told = foretell(table, answer, ground, {f"v{j}": value})
        x = table.x[-1, :VARIABLES].copy()
        x[j] = value
        real = 6 + float(x @ truth[:VARIABLES]) + NOISE * float(draw.normal())
        rows.append(
            (told.low80 <= real <= told.high80, told.low95 <= real <= told.high95,
             told.high80 - told.low80)
        )  # fmt: skip
        promising = [f for f in answer.findings if min(abs(f.low80), abs(f.high80)) > 0
                     and f.low80 * f.high80 > 0]  # fmt: skip
        if promising:
            best = max(promising, key=_size)
            place = table.position(best.key)
            true = together_truth(answer, table, truth)[place] / table.x[:, place].std(ddof=1)
            gains.append((np.sign(best.effect) * true * best.step, abs(best.effect)))
    held = np.array(rows, dtype=float).mean(axis=0)
    found = np.array(gains, dtype=float).reshape(-1, 2)
    return Forecasts(
        *(float(v) for v in held),
        improved=float((found[:, 0] > 0).mean()) if len(found) else math.nan,
        gained=float(found[:, 0].mean()) if len(found) else math.nan,
        foretold=float(found[:, 1].mean()) if len(found) else math.nan,
    )


def _size(finding: Finding) -> float:
    return abs(finding.effect)


def forecast_line(kitchen: Kitchen, count: int, seed: int) -> str:
    """Return one line of the table of forecasts."""
    t = forecasts(kitchen, count, seed)
    return (
        f"{kitchen.makes:6d}{100 * t.held80:9.1f}{100 * t.held95:9.1f}{t.width80:9.2f}"
        f"{100 * t.improved:12.1f}{t.gained:9.2f}{t.foretold:10.2f}"
    )


FORECAST_HEAD = " makes  held 80  held 95  width80  better in %   gained  foretold"
FORECASTS = (
    ("Foretelling the next make, independent variables", 0.0, MATTER),
    ("Foretelling the next make, variables correlated by 0.5", 0.5, MATTER),
    ("Foretelling the next make when nothing matters", 0.0, 0),
)
HEAD = " makes   all 80   all 95  real 80  real 95  false %   clear %  width95  least sq"
TABLES = (
    ("Independent variables, four of twelve matter", 0.0, MATTER, None, False, SIZES),
    ("Variables correlated by 0.5, four of twelve matter", 0.5, MATTER, None, False, SIZES),
    ("Nothing matters, independent", 0.0, 0, None, False, SIZES),
    ("Nothing matters, correlated by 0.5", 0.5, 0, None, False, SIZES),
    ("Four effects of 0.7 points per sd", 0.0, 4, 0.7, False, (40,)),
    ("One effect of 0.7 points per sd", 0.0, 1, 0.7, False, (40,)),
    ("Two strong effects of 1.5 points per sd, correlated by 0.5", 0.5, 2, 1.5, False, SIZES),
    ("One or two wheels a make, one to three tastings", 0.0, MATTER, None, True, (12, 25, 60)),
)


def main() -> None:
    """Print the tables."""
    ask = argparse.ArgumentParser(description="Prove the findings by simulation.")
    ask.add_argument("--journals", type=int, default=2000)
    ask.add_argument("--seed", type=int, default=20)
    said = ask.parse_args()
    out = sys.stdout
    for title, correlation, matter, effect, tastings, sizes in TABLES:
        count = said.journals // 5 if tastings else said.journals
        out.write(f"\n{title} ({count} journals a line)\n{HEAD}\n")
        for makes in sizes:
            kitchen = Kitchen(makes, correlation, matter, effect, tastings)
            out.write(line(kitchen, count, said.seed) + "\n")
            out.flush()
    for title, correlation, matter in FORECASTS:
        out.write(f"\n{title} ({said.journals} journals a line)\n{FORECAST_HEAD}\n")
        for makes in SIZES:
            kitchen = Kitchen(makes, correlation, matter)
            out.write(forecast_line(kitchen, said.journals, said.seed) + "\n")
            out.flush()


if __name__ == "__main__":
    main()
