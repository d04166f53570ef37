"""What chance alone would show, against the published critical values of r and counted orders."""

from __future__ import annotations

import csv
from itertools import permutations
from pathlib import Path

import numpy as np
import pytest

from journal.findings.chance import best_of_chance, least_rank_p
from journal.wording.findings import at_best

TABLE = Path(__file__).parent / "data" / "pearson_r_critical.csv"


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows(), ids=lambda r: f"n{r['n']}")
def test_one_variable_gives_the_published_critical_r(row):
    """Larson & Farber, Elementary Statistics, table 11; three decimals are printed there."""
    for column, share in (("published_5pct", 0.95), ("published_1pct", 0.99)):
        assert best_of_chance(int(row["n"]), 1, share) == pytest.approx(
            float(row[column]), abs=6e-4
        )


@pytest.mark.parametrize(("makes", "variables"), [(6, 3), (8, 10), (20, 5)])
def test_the_median_is_that_of_drawn_noise(makes, variables):
    draw = np.random.default_rng(4)
    noise = draw.normal(size=(20_000, variables, makes))
    score = draw.normal(size=(20_000, 1, makes))
    a, b = (v - v.mean(axis=2, keepdims=True) for v in (noise, score))
    r = (a * b).sum(axis=2) / np.sqrt((a**2).sum(axis=2) * (b**2).sum(axis=2))
    best = np.median(np.abs(r).max(axis=1))
    assert best_of_chance(makes, variables) == pytest.approx(best, abs=0.012)


@pytest.mark.parametrize("makes", [3, 4, 5, 6])
def test_the_least_p_is_that_of_all_orders(makes):
    ranks = np.arange(makes)
    sums = np.array([(ranks * order).sum() for order in permutations(range(makes))])
    middle = sums.mean()
    extreme = np.abs(sums - middle) >= np.abs(sums - middle).max()
    assert least_rank_p(makes) == pytest.approx(extreme.mean(), abs=0)


def test_four_makes_never_reach_five_per_cent():
    assert "never reach 5 %" in at_best(4, 10)
    assert "0.67 half the time" in at_best(8, 10)
