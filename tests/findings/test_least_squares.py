"""Least squares: refusals and leaving out whole makes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from journal.findings import FindingError
from journal.findings.least_squares import least_squares
from tests.refusals import refused


def test_leaving_out_matches_fitting_again():
    draw = np.random.default_rng(1)
    x = draw.normal(size=(12, 2))
    y = x @ [1.0, 0.5] + draw.normal(size=12)
    make = np.repeat(np.arange(4), 3)
    missed = 0.0
    for one in range(4):
        kept = make != one
        a = np.column_stack([np.ones(kept.sum()), x[kept]])
        beta = np.linalg.lstsq(a, y[kept], rcond=None)[0]
        missed += float(((y - np.column_stack([np.ones(12), x]) @ beta)[~kept] ** 2).sum())
    wanted = 1 - missed / float(((y - y.mean()) ** 2).sum())
    assert least_squares(x, y, make).r2_left_one_out == pytest.approx(wanted)


def test_a_make_that_cannot_be_left_out_leaves_it_untold():
    x = np.array([[0.0], [0], [0], [1]])
    assert math.isnan(least_squares(x, np.array([1.0, 2, 3, 4])).r2_left_one_out)


def test_too_few_rows_and_twins_are_refused():
    with refused(FindingError, "findings.too-few-rows", rows=3, variables=2):
        least_squares(np.ones((3, 2)), np.ones(3))
    line = np.arange(8.0)
    with refused(FindingError, "findings.variables-alike"):
        least_squares(np.column_stack([line, 2 * line]), line)
