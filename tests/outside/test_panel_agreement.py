"""Agreement of a panel against published tables."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from journal.findings.agreement import _range_of, fleiss_kappa, intraclass
from journal.findings.orders import williams
from journal.findings.panel_tests import pooled_tail
from journal.findings.ranking import ranking
from journal.records.panel_tests import DUO_TRIO, TRIANGLE

DATA = Path(__file__).parent / "data"


def numbers(name: str) -> np.ndarray:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        table = list(csv.reader(file))
    return np.array([[float(cell) for cell in row[1:]] for row in table[1:]])


def test_intraclass_correlations_of_six_subjects_and_four_judges():
    """Shrout & Fleiss 1979 (6 × 4), as the psych package's own test file prints them."""
    found = intraclass(numbers("icc_shrout_fleiss.csv"))
    assert found.one == pytest.approx((0.17, 0.29, 0.71), abs=5.1e-3)
    assert found.mean == pytest.approx((0.44, 0.62, 0.91), abs=5.1e-3)
    assert found.between == pytest.approx(11.2417, abs=5.1e-5)
    assert found.within == pytest.approx(6.2639, abs=5.1e-5)
    assert found.assessors == pytest.approx(32.4861, abs=5.1e-5)
    assert found.residual == pytest.approx(1.0194, abs=5.1e-5)
    # Recomputed from the data, to six digits.
    assert found.one == pytest.approx((0.165742, 0.289764, 0.714841), abs=1e-6)
    assert found.mean == pytest.approx((0.442797, 0.620051, 0.909316), abs=1e-6)


def test_fleiss_kappa_of_ten_subjects_and_fourteen_raters():
    """The worked example of ten subjects, fourteen raters, five categories: .210."""
    assert fleiss_kappa(numbers("fleiss_kappa_10x14x5.csv")) == pytest.approx(0.210, abs=5.1e-4)


def test_two_raters_agree_as_counted():
    """20 5 / 10 15: observed .7 (from memory); Fleiss' chance is that of the pooled shares
    (.55² + .45² = .505), recomputed: (.7 − .505) / .495.
    """
    counts = [[2, 0]] * 20 + [[1, 1]] * 15 + [[0, 2]] * 15
    assert fleiss_kappa(counts) == pytest.approx((0.7 - 0.505) / 0.495, abs=1e-12)


def test_concordance_goes_with_friedman():
    """Hollander & Wolfe, Table 7.1: χ² = 11.1429 over 22 (3 − 1) makes W = .25325."""
    found = ranking(numbers("friedman_rounding_times.csv")).w
    assert found == pytest.approx(11.1429 / 44, abs=5.1e-5 / 44)


SIX = ("126354", "231465", "342516", "453621", "564132", "615243")


def test_williams_square_of_six_as_printed():
    """MacFie, Bratchell, Greenhoff & Vallis 1989, as restated on a secondary page; n = 6."""
    assert [tuple(row + 1) for row in williams(6)] == [tuple(map(int, row)) for row in SIX]


def test_williams_square_of_four_by_the_same_rule():
    """ABDC, BCAD, CDBA, DACB: the same rule, worked out."""
    report = {"".join("ABCD"[i] for i in row) for row in williams(4)}
    assert report == {"ABDC", "BCAD", "CDBA", "DACB"}


@pytest.mark.parametrize(
    ("r", "many", "low", "high", "tol"),
    [(0.70, 8, -0.01, 0.94, 5.1e-3), (0.70, 20, 0.37, 0.87, 5.1e-3),
     (0.7763745, 15, 0.4385, 0.9220, 5.1e-5)],
)  # fmt: skip
def test_the_range_of_a_correlation(r, many, low, high, tol):
    """Fisher's z, 95 %, recomputed; the last of the law schools of Efron & Tibshirani."""
    assert _range_of(r, many) == pytest.approx((low, high), abs=tol)


def test_right_answers_over_several_tests_by_hand():
    """Two of two triangles and a duo-trio: 1/9 × 1/2; one at least: 1 − 4/9 × 1/2."""
    assert pooled_tail([(TRIANGLE, 2, 2), (DUO_TRIO, 1, 1)]) == pytest.approx(1 / 18)
    assert pooled_tail([(TRIANGLE, 1, 2), (DUO_TRIO, 0, 1)]) == pytest.approx(1 - 4 / 18)
    assert pooled_tail([]) == 1.0
