"""Two sets compared, against the sleep data (Student 1908; ten patients, two drugs).

Welch t −1.8608 on 17.776 degrees of freedom, p .07939: as printed by the R manual's example,
from memory. The exact permutation of 20 values into ten and ten: 15048 of 184756, p .081448,
counted anew with whole numbers.
"""

from __future__ import annotations

from math import comb, sqrt

import numpy as np
import pytest

from journal.findings.before_after import split_p, welch, welch_p

ONE = np.array([0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0])
TWO = np.array([1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4])


def test_welch():
    assert welch_p(ONE, TWO) == pytest.approx(0.07939, abs=5e-6)
    difference, (_, _, low95, high95) = welch(ONE, TWO)
    assert difference == pytest.approx(1.58, abs=1e-9)
    assert (high95 - low95) / 2 == pytest.approx(1.58 / 1.8608 * 2.1028, rel=1e-3)


def test_every_split_is_counted():
    assert split_p(ONE, TWO) * 184756 == pytest.approx(15048, abs=1e-6)


def test_splits_that_are_too_many_are_drawn_and_equal_ones_count():
    """3 of 14 makes against 10 of 14: the hypergeometric share of splits as uneven or more, counted
    with whole numbers; of so many drawn splits within four standard errors. Of 15 and 15 that
    share nothing no drawn split is as uneven: (0 + 1) / (9999 + 1), Phipson & Smyth 2010."""
    before, after = (np.repeat([1.0, 0.0], [k, 14 - k]) for k in (3, 10))
    even = sum(comb(14, k) * comb(14, 13 - k) for k in range(14) if abs(2 * k - 13) >= 7)
    share = even / comb(28, 13)
    assert split_p(before, after) == pytest.approx(share, abs=4 * sqrt(share / 9999))
    assert split_p(np.zeros(15), np.ones(15)) == 1 / 10_000
