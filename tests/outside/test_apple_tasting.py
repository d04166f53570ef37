"""Twenty panellists each tasted three of four apple products: an incomplete block design.

Data: `appletaste`, Maindonald & Braun, Data Analysis and Graphics Using R. Adjusted differences
recomputed from the data by a two-way fit with other software (relative tolerance 1e-4).
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from journal.findings import panel_scores

DATA = Path(__file__).parent / "data" / "appletaste.csv"


@pytest.fixture(scope="module")
def fitted():
    with DATA.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    people = sorted({r["panelist"] for r in rows})
    return panel_scores(
        wheel_ix=[int(r["product"]) for r in rows],
        assessor_ix=[people.index(r["panelist"]) for r in rows],
        session_ix=[0] * len(rows),
        age_days=[0] * len(rows),
        score=[float(r["aftertaste"]) for r in rows],
    )


def test_differences_adjusted_for_panellist(fitted):
    assert fitted.wheel_ix.tolist() == [298, 493, 649, 937]
    differences = fitted.score[1:] - fitted.score[0]
    assert differences == pytest.approx([20.575, -13.375, -48.800], rel=1e-4)


def test_standard_error_of_a_difference(fitted):
    c = np.diag(fitted.own_variance) + fitted.shared @ fitted.shared.T
    for i in (1, 2, 3):
        assert math.sqrt(c[0, 0] + c[i, i] - 2 * c[0, i]) == pytest.approx(10.4414, rel=1e-4)


def test_residual(fitted):
    assert fitted.df == 37
    assert fitted.residual_sd**2 * fitted.df == pytest.approx(26892.383, rel=1e-4)


def test_raw_means_differ_from_adjusted(fitted):
    raw = np.array([68.33, 94.07, 51.80, 30.00])
    assert np.abs((fitted.score - fitted.score[0]) - (raw - raw[0])).max() > 3
