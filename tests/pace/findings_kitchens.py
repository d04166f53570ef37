"""Simulated journals for the proof of the findings, with what is true of them.

Each journal has 12 make variables of which some matter, noise of 0.8 points between makes, and one
wheel a make unless it says otherwise. Journals come one by one from their own number, so that a
run split among processes is the same run.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from journal.findings import ScoreTable, Study, Variable

VARIABLES, MATTER, EFFECT_SD, NOISE = 12, 4, 0.5, 0.8
AGES = (60, 120, 200)
A_DAY = 0.004  # points, by which a wheel's score rises with its age
MIDDLE_AGE = 120


@dataclass(frozen=True)
class Kitchen:
    """How journals are simulated: `effect` None draws effects of sd 0.5 points per sd, `gaps` is
    the share of values nobody wrote down. With `changes` each column has a typical change of 0.5
    to 2 of its sds, and an effect of sd 0.5 points is one of that change. With `heavy` effects
    and luck have the same sds with heavy tails, Student's t of 3 degrees of freedom."""

    makes: int
    correlation: float = 0.0
    matter: int = MATTER
    effect: float | None = None
    tastings: bool = False
    gaps: float = 0.0
    changes: bool = False
    heavy: bool = False


@dataclass(frozen=True)
class Simulated:
    """A journal, its true effects per unit of each column, the variables its last make really had
    (12,), and dice for what comes after."""

    table: ScoreTable
    truth: np.ndarray
    last: np.ndarray
    draw: np.random.Generator


def journals(kitchen: Kitchen, numbers: Iterable[int], seed: int) -> Iterator[Simulated]:
    """The journals of those numbers."""
    for number in numbers:
        draw = np.random.default_rng(
            [seed, kitchen.makes, round(100 * kitchen.correlation), number]
        )
        x = variables_of(kitchen, kitchen.makes, draw)
        truth = effects_of(kitchen, draw)
        steps = 2 ** draw.uniform(-1, 1, VARIABLES) if kitchen.changes else None
        if steps is not None:
            truth = truth / steps
        score = 6 + x @ truth + luck_of(kitchen, kitchen.makes, draw)
        last = x[-1].copy()
        if kitchen.tastings:
            yield Simulated(_tasted(x, score, draw), np.append(truth, A_DAY), last, draw)
        else:
            x[draw.random(x.shape) < kitchen.gaps] = np.nan
            yield Simulated(_table(x, score, steps), truth, last, draw)


def variables_of(kitchen: Kitchen, makes: int, draw: np.random.Generator) -> np.ndarray:
    """Make variables of mean 0 and sd 1, shape (makes, 12)."""
    x = draw.normal(size=(makes, VARIABLES)) * math.sqrt(1 - kitchen.correlation)
    return np.asarray(x + draw.normal(size=(makes, 1)) * math.sqrt(kitchen.correlation))


def effects_of(kitchen: Kitchen, draw: np.random.Generator) -> np.ndarray:
    """True effects, in points per unit of each variable."""
    truth = np.zeros(VARIABLES)
    if kitchen.effect is None:
        truth[: kitchen.matter] = EFFECT_SD * _spread(kitchen, kitchen.matter, draw)
    else:
        truth[: kitchen.matter] = kitchen.effect * draw.choice([-1, 1], size=kitchen.matter)
    return truth


def luck_of(kitchen: Kitchen, makes: int, draw: np.random.Generator) -> np.ndarray:
    """What makes differ by beside their variables (makes,), in points."""
    return np.asarray(NOISE * _spread(kitchen, makes, draw))


def _spread(kitchen: Kitchen, count: int, draw: np.random.Generator) -> np.ndarray:
    """Draws of sd 1, with heavy tails where the kitchen has them."""
    if kitchen.heavy:
        return np.asarray(draw.standard_t(3, count) / math.sqrt(3))
    return draw.normal(size=count)


def _table(x: np.ndarray, score: np.ndarray, steps: np.ndarray | None) -> ScoreTable:
    rows = len(score)
    changes = [None] * x.shape[1] if steps is None else steps.tolist()
    return ScoreTable(
        score_name="overall",
        make=[f"m{i}" for i in range(rows)],
        wheel=["A"] * rows,
        y=score,
        y_se=np.full(rows, np.nan),
        variables=[Variable(f"v{j}", step=step) for j, step in enumerate(changes)],
        x=x,
    )


def _tasted(x: np.ndarray, score: np.ndarray, draw: np.random.Generator) -> ScoreTable:
    """Give every make one or two wheels, tasted once to three times, with known scatter."""
    rows = [(i, *row) for i, middle in enumerate(score) for row in _tastings(middle, draw)]
    make, wheel, age, y, se = (list(column) for column in zip(*rows, strict=True))
    return ScoreTable(
        score_name="overall",
        make=[f"m{i}" for i in make],
        wheel=wheel,
        y=np.array(y),
        y_se=np.array(se),
        variables=[*(Variable(f"v{j}") for j in range(VARIABLES)), Variable("age at tasting")],
        x=np.column_stack([x[make], age]),
    )


def _tastings(middle: float, draw: np.random.Generator) -> Iterator[tuple[str, int, float, float]]:
    """Wheel, age, score and its error of each tasting of a make."""
    for wheel in "AB"[: draw.integers(1, 3)]:
        own = middle + 0.3 * draw.normal()
        for days in AGES[: draw.integers(1, 4)]:
            error = float(draw.uniform(0.2, 0.5))
            age = days + int(draw.integers(-9, 10))
            random_effect = 0.2 * draw.normal() + error * draw.normal()
            yield wheel, age, own + A_DAY * (age - MIDDLE_AGE) + random_effect, error


def next_score(kitchen: Kitchen, one: Simulated, x: np.ndarray, age: float) -> float:
    """What a make with such variables (12,) really scored, at an age: its tastings' mean."""
    middle = 6 + float(x @ one.truth[:VARIABLES]) + float(luck_of(kitchen, 1, one.draw)[0])
    if not kitchen.tastings:
        return middle
    report = [y - A_DAY * (days - age) for _, days, y, _ in _tastings(middle, one.draw)]
    return float(np.mean(report))


def together_truth(answer: Study, table: ScoreTable, truth: np.ndarray) -> np.ndarray:
    """What a step of each variable truly does, with those that moved with it: for these the
    finding says what all of them do together."""
    assert answer.entries is not None
    sd = answer.entries.sd
    steps = np.array(
        [v.step or sd for v, sd in zip(table.variables, answer.entries.sd, strict=True)]
    )
    true = np.empty(truth.size)
    for entry in answer.entries.entries:
        whole = sum(s * truth[m] * sd[m] for m, s in zip(entry.members, entry.signs, strict=True))
        for m, s in zip(entry.members, entry.signs, strict=True):
            true[m] = s * whole * steps[m] / sd[m]
    return true
