"""One variable at a time: ranks, exactness of permutation, slopes, q-values."""

from __future__ import annotations

import math
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.findings.single import (
    Orders,
    _counted_p,
    _limit_p,
    benjamini_hochberg,
    holm,
    ranks,
    spearman,
    spearman_p,
    squared_differences,
    theil_sen,
)


def listed_p(x: np.ndarray, y: np.ndarray) -> float:
    seen = abs(spearman(x, y))
    all_p = [abs(spearman(x, y[list(order)])) for order in permutations(range(len(y)))]
    return float(np.mean(np.array(all_p) >= seen - 1e-9))


def test_ties_share_their_mean_rank():
    assert ranks(np.array([3.0, 1, 3, 2, 3])).tolist() == [4, 1, 4, 2, 4]


def test_scores_that_differ_by_the_rounding_of_a_sum_are_tied():
    x, score = np.arange(4.0), np.array([0.1 + 0.2, 0.3, 0.5, 0.7])
    assert score[0] != score[1]
    assert ranks(score).tolist() == [1.5, 1.5, 3, 4]
    # Mid-ranks 1.5, 1.5, 3, 4 beside 1 to 4: 4.5 / sqrt(5 × 4.5), Spearman's rho with ties.
    assert spearman(x, score) == pytest.approx(4.5 / math.sqrt(22.5))


@settings(max_examples=15, deadline=None)
@given(st.lists(st.integers(0, 4), min_size=5, max_size=5), st.permutations(range(5)))
def test_small_tables_are_exact_with_ties(x, y):
    a, b = np.array(x, dtype=float), np.array(y, dtype=float)
    if len(set(x)) == 1:
        assert math.isnan(spearman_p(a, b, Orders()))
    else:
        assert spearman_p(a, b, Orders()) == pytest.approx(listed_p(a, b), abs=1e-12)


@pytest.mark.parametrize("n", [1, 2, 5, 8, 12])
def test_every_order_is_counted_once(n):
    counts = squared_differences(n)
    assert int(counts.sum()) == math.factorial(n)
    assert counts[0] == 1
    assert counts[-1] == 1


def test_counting_and_listing_agree():
    draw = np.random.default_rng(3)
    x, y = np.arange(8.0), draw.permutation(8).astype(float)
    squares = round(float(((ranks(x) - ranks(y)) ** 2).sum()))
    assert _counted_p(8, squares) == pytest.approx(spearman_p(x, y, Orders()), abs=1e-12)


def test_random_orders_are_near_the_exact_p():
    """Random orders of 11 makes give the counted p within four standard errors of 9,999 draws."""
    draw = np.random.default_rng(5)
    x = np.arange(11.0)
    y = x + 9 * draw.normal(size=11)
    exact = spearman_p(x, y, Orders())
    assert 0.005 < exact < 0.5
    a, b = x - x.mean(), ranks(y) - 6
    sums = np.abs(b[Orders(9999, 2).of(11)] @ a)
    share = float((sums >= abs(b @ a) - 1e-9).mean())
    assert share == pytest.approx(exact, abs=4 * math.sqrt(exact * (1 - exact) / 9999))


def test_the_normal_limit_takes_over_smoothly():
    """With 500 makes, p by 9,999 random orders and by the limit agree within four errors."""
    draw = np.random.default_rng(6)
    x = draw.normal(size=500)
    y = 0.08 * x + draw.normal(size=500)
    drawn = spearman_p(x, y, Orders())
    a, b = ranks(x) - 250.5, ranks(y) - 250.5
    assert 0.001 < drawn < 0.9
    assert _limit_p(a, b) == pytest.approx(drawn, abs=4 * math.sqrt(drawn * (1 - drawn) / 9999))


def test_one_seed_one_answer():
    draw = np.random.default_rng(8)
    x, y = draw.normal(size=(2, 30))
    assert spearman_p(x, y, Orders(999, 4)) == spearman_p(x, y, Orders(999, 4))
    assert spearman_p(x, x, Orders(999, 4)) == pytest.approx(1 / 1000)


def test_slope_shrugs_off_one_odd_make():
    x = np.arange(9.0)
    y = 2 * x + 1
    y[4] = 100
    assert theil_sen(x, y) == pytest.approx(2)
    assert math.isnan(theil_sen(np.ones(4), y[:4]))


def test_q_leaves_out_what_has_no_p():
    q = benjamini_hochberg(np.array([0.01, np.nan, 0.04, 0.03]))
    assert q[[0, 2, 3]] == pytest.approx([0.03, 0.04, 0.04])
    assert math.isnan(q[1])


@given(st.lists(st.floats(0, 1), min_size=1, max_size=20))
def test_q_lies_between_p_and_holm(p):
    given_p = np.array(p)
    q, h = benjamini_hochberg(given_p), holm(given_p)
    assert (q >= given_p - 1e-12).all()
    assert (h >= q - 1e-12).all()
    assert (h <= 1).all()
