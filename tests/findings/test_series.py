"""A designed series: balanced sets, blocks, and an answer with the milk's season taken out."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from journal.findings import FindingError
from journal.findings.series import BEST, FULL, HALF, Factor, design, efficiency
from journal.findings.series_answer import analyse

TWO = (Factor("salt in curd", 2.1, 2.9, "%"), Factor("curd size", 8, 14, "mm"))
THREE = (*TWO, Factor("cook temperature", 37, 40, "°C"))


@pytest.mark.parametrize(("factors", "makes"), [(TWO, 4), (TWO, 8), (THREE, 8), (THREE, 16)])
def test_a_full_factorial_holds_every_combination_alike(factors, makes):
    made = design(factors, makes)
    assert made.kind == FULL
    rows = [tuple(row) for row in made.coded]
    wanted = set(product((-1.0, 1.0), repeat=len(factors)))
    assert {row: rows.count(row) for row in wanted} == dict.fromkeys(wanted, makes // len(wanted))
    assert made.efficiency == pytest.approx(1.0)


def test_half_a_factorial_of_three_keeps_main_effects_apart():
    made = design(THREE, 4)
    assert made.kind == HALF
    assert (made.coded.T @ made.coded == 4 * np.eye(3)).all()
    assert len({tuple(r) for r in made.coded}) == 4


@pytest.mark.parametrize(("factors", "makes"), [(TWO, 5), (TWO, 6), (TWO, 7), (THREE, 6),
                                                (THREE, 10), (THREE, 12)])  # fmt: skip
def test_other_numbers_get_the_best_set_there_is(factors, makes):
    made = design(factors, makes)
    assert made.kind == BEST
    assert made.efficiency > 0.85
    draw = np.random.default_rng(1)
    k = len(factors)
    others = [efficiency(draw.choice([-1.0, 0.0, 1.0], size=(makes, k))) for _ in range(300)]
    assert made.efficiency >= np.quantile(others, 0.97)


def test_blocks_are_balanced_and_made_one_after_the_other():
    made = design(THREE, 8, blocks=2)
    assert made.block.tolist() == [0] * 4 + [1] * 4
    for part in (0, 1):
        assert made.coded[made.block == part].sum(axis=0).tolist() == [0, 0, 0]


def test_values_are_those_of_the_factors():
    made = design(TWO, 4)
    assert set(made.values()[:, 0]) == {2.1, 2.9}
    assert set(made.values()[:, 1]) == {8.0, 14.0}
    assert TWO[0].coded(2.5) == pytest.approx(0.0)
    assert design(TWO, 8, seed=3).coded.tolist() == design(TWO, 8, seed=3).coded.tolist()


def test_a_change_of_milk_between_the_blocks_is_taken_out():
    draw = np.random.default_rng(2)
    inside, width, without = [], [], []
    for seed in range(60):
        made = design(TWO, 8, blocks=2, seed=seed)
        truth = np.array([0.8, -0.4])
        y = 6 + made.coded @ truth / 2 + 2.0 * made.block + 0.3 * draw.normal(size=8)
        found = analyse(made, made.values(), made.block, y)
        plain = analyse(made, made.values(), np.zeros(8, dtype=int), y)
        inside += [f.low80 <= t <= f.high80 for f, t in zip(found, truth, strict=True)]
        width.append(np.mean([f.high80 - f.low80 for f in found]))
        without.append(np.mean([f.high80 - f.low80 for f in plain]))
    assert 0.7 <= np.mean(inside) <= 0.97
    assert np.mean(width) < 0.6 * np.mean(without)


def test_it_waits_for_scores_and_refuses_what_is_no_series():
    made = design(TWO, 6)
    score = np.array([6.0, 7.0, 6.5, np.nan, np.nan, np.nan])
    with pytest.raises(FindingError, match="3 makes of the series"):
        analyse(made, made.values(), made.block, score)
    with pytest.raises(FindingError, match="two or three"):
        design(TWO[:1], 6)
    with pytest.raises(FindingError, match="4 to 32"):
        design(TWO, 3)
    with pytest.raises(FindingError, match="two makes"):
        design(TWO, 4, blocks=3)
    with pytest.raises(FindingError, match="below"):
        Factor("salt", 3, 2)
