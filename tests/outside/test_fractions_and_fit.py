"""Designed series beside what is published of fractions and of lack of fit.

Generators of resolution IV: NIST, Dataplot, file DEXRES4.TXT ("4 2**(4-1) 8 4=123", "6 2**(6-2) 16
5=123 6=234"; its line of five variables names the eight makes of resolution III, 4=12 5=13), as in
the NIST/SEMATECH e-Handbook 5.3.3.4.7. The half of five: Montgomery, Design and Analysis of
Experiments, table 8.5 (E = ABCD, resolution V). The printed half of four: MathWorks, `fracfact`.
The eighth of six (4=12 5=13 6=23) and the half of six (6=12345): from memory of the same table of
the e-Handbook; their resolutions, III and VI, are calculated here.

Lack of fit: Montgomery and Runger, Applied Statistics and Probability for Engineers, Example S14-2,
table S14-6: yields of a 2 by 2 factorial with five centre points. Its p of the curvature, 0.8163,
is that of an F between the printed 0.06 and what the printed sums give (0.063, p 0.814).
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from journal.findings.fractions import FOLDED, GENERATORS, fraction
from journal.findings.lack_of_fit import lack_of_fit


def test_generators_are_the_published_ones():
    assert GENERATORS[4, 8] == ("123",)
    assert GENERATORS[6, 16] == ("123", "234")
    assert GENERATORS[5, 8] == ("12", "13")
    assert GENERATORS[5, 16] == ("1234",)


def test_the_half_of_four_is_the_printed_one():
    printed = np.array([
        [-1, -1, -1, -1], [-1, -1, 1, 1], [-1, 1, -1, 1], [-1, 1, 1, -1],
        [1, -1, -1, 1], [1, -1, 1, -1], [1, 1, -1, -1], [1, 1, 1, 1],
    ])  # fmt: skip
    assert fraction(4, 8).tolist() == printed.tolist()


@pytest.mark.parametrize(("many", "makes", "resolution"), [
    (3, 4, 3), (4, 8, 4), (5, 8, 3), (5, 16, 5), (6, 8, 3), (6, 16, 4), (6, 32, 6),
])  # fmt: skip
def test_resolutions_are_the_published_ones(many, makes, resolution):
    """The length of the shortest product of variables that is the same in every make."""
    points = fraction(many, makes)
    assert len({tuple(row) for row in points.tolist()}) == makes
    words = [
        size
        for size in range(1, many + 1)
        for own in combinations(range(many), size)
        if np.ptp(points[:, list(own)].prod(axis=1)) == 0
    ]
    assert min(words) == resolution


def test_folding_over_is_the_published_design_in_another_order():
    """Montgomery 8.6: a fold-over of resolution III has resolution IV at least."""
    points = fraction(6, 16)
    assert FOLDED == {(6, 16): "124"}
    assert (points[:8] == -points[8:]).all()
    for word, column in (("123", 4), ("234", 5)):
        places = [int(one) - 1 for one in word]
        assert (points[:, places].prod(axis=1) == points[:, column]).all()


def test_a_factorial_with_five_centre_points():
    from scipy.special import fdtrc

    x = np.array([[-1, -1], [-1, 1], [1, -1], [1, 1], *[[0, 0]] * 5], dtype=float)
    y = np.array([39.3, 40.0, 40.9, 41.5, 40.3, 40.5, 40.7, 40.2, 40.6])
    alike = np.array([0, 1, 2, 3, 4, 4, 4, 4, 4])
    middle, level = alike == 4, np.ones((9, 1))
    found = lack_of_fit(x, y, alike, middle, level)
    assert found.pure_sd**2 == pytest.approx(0.0430, abs=5e-5)
    assert found.pure_df == 4
    assert found.bend == pytest.approx(40.46 - 40.425)
    assert fdtrc(1, 4, 0.065) <= found.bend_p <= fdtrc(1, 4, 0.055)  # F is printed as 0.06
    both = (0.0025 + 0.0027) / 2 / 0.0430  # interaction and curvature, printed to four decimals
    assert (found.lack_df, found.f) == (2, pytest.approx(both, abs=2e-3))
    together = np.column_stack([x, x.prod(axis=1)])
    alone = lack_of_fit(together, y, alike, middle, level)
    assert alone.lack_df == 1
    assert alone.f == pytest.approx(0.0027 / 0.0430, abs=2e-3)
    assert alone.p == pytest.approx(found.bend_p)
