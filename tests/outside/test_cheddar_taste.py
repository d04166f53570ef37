"""Thirty mature cheddars, taste against acetic acid, hydrogen sulphide and lactic acid.

Data: G. T. Lloyd and E. H. Ramshaw, CSIRO Division of Food Research, printed in Moore & McCabe,
Introduction to the Practice of Statistics; the same rows in Faraway's R package `faraway`
(object `cheddar`). Fit: answers to exercise 28.14 of Baldi & Moore, The Practice of Statistics
in the Life Sciences, 3rd ed. Marked "recomputed": worked out from the data with other software,
not printed by the source. Tolerances are half the last digit printed.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from journal.findings import scatter, study
from journal.findings.least_squares import least_squares
from journal.wording.findings import doubt, study_headline
from tests.tables import from_columns

DATA = Path(__file__).parent / "data" / "cheddar_taste.csv"
MEASURES = ("Acetic", "H2S", "Lactic")


def columns() -> dict[str, list[str]]:
    with DATA.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {name: [row[name] for row in rows] for name in rows[0]}


@pytest.fixture(scope="module")
def fit():
    read = {k: np.array(v, dtype=float) for k, v in columns().items()}
    return least_squares(np.column_stack([read[m] for m in MEASURES]), read["taste"])


@pytest.fixture(scope="module")
def answer():
    return study(from_columns(columns(), "taste"))


def test_published_coefficients(fit):
    assert fit.intercept == pytest.approx(-28.88, abs=0.005)
    assert fit.intercept_se == pytest.approx(19.74, abs=0.005)
    assert fit.coef == pytest.approx([0.328, 3.912, 19.671], abs=0.0005)
    assert fit.se == pytest.approx([4.460, 1.248, 8.629], abs=0.0005)
    assert fit.coef / fit.se == pytest.approx([0.07, 3.13, 2.28], abs=0.005)
    assert fit.p() == pytest.approx([0.942, 0.004, 0.031], abs=0.0005)


def test_coefficients_recomputed(fit):
    assert fit.intercept == pytest.approx(-28.876770, rel=1e-6)
    assert fit.coef == pytest.approx([0.327741, 3.911841, 19.670543], rel=1e-5)


def test_published_fit(fit):
    assert fit.residual_sd == pytest.approx(10.13, abs=0.005)
    assert fit.df == 26
    assert fit.r2 == pytest.approx(0.652, abs=0.0005)
    assert fit.f == pytest.approx(16.22, abs=0.005)


def test_fit_left_one_out(fit):
    # PRESS 3402.24, predictive R² .5560 (recomputed)
    assert fit.r2_left_one_out == pytest.approx(0.5560, abs=5e-5)


def test_pearson_published():
    read = {k: np.array(v, dtype=float) for k, v in columns().items()}
    alone = [np.corrcoef(read[m], read["taste"])[0, 1] for m in MEASURES]
    assert alone == pytest.approx([0.550, 0.756, 0.704], abs=6e-4)


def test_case_numbers_are_no_variable(answer):
    assert answer.variables_tried == 3
    assert answer.makes == answer.wheels == 30


def test_single_and_partial_correlations(answer):
    found = [answer.finding(m) for m in MEASURES]
    # Spearman and partial r recomputed, to four digits
    assert [f.rho for f in found] == pytest.approx([0.5174, 0.7835, 0.7266], abs=5e-5)
    assert [f.partial_r for f in found] == pytest.approx([0.0144, 0.5236, 0.4081], abs=5e-5)
    assert [f.ols_effect for f in found] == pytest.approx([0.328, 3.912, 19.671], abs=5e-4)


def test_acetic_is_strong_alone_and_nothing_beside_the_others(answer):
    acetic = answer.finding("Acetic")
    assert acetic.q < 0.05
    assert abs(acetic.partial_r) < 0.02
    assert acetic.evidence == "can't tell yet"
    assert acetic.low80 < 0 < acetic.high80


def test_the_findings_read_sensibly(answer):
    assert [f.variable for f in answer.findings] == ["H2S", "Lactic", "Acetic"]
    assert answer.finding("H2S").evidence == "clear"
    assert answer.finding("Lactic").evidence in ("clear", "leaning")
    assert "H2S" in study_headline(answer)
    assert "Acetic" in doubt(answer)


def test_ranges_stand_near_least_squares(answer):
    # 95 % intervals of least squares (recomputed) are -8.839..9.495, 1.346..6.478, 1.933..37.408
    # per unit: the weak prior may draw an effect in, but never by half a standard error.
    for name, low, high in (
        ("Acetic", -8.839, 9.495),
        ("H2S", 1.346, 6.478),
        ("Lactic", 1.933, 37.408),
    ):
        f = answer.finding(name)
        quarter = (high - low) / 8
        assert f.low95 / f.step == pytest.approx(low, abs=quarter)
        assert f.high95 / f.step == pytest.approx(high, abs=quarter)


def test_picture_of_hydrogen_sulphide(answer):
    table = from_columns(columns(), "taste")
    drawn = scatter(table, answer, "H2S")
    slope = (drawn.line_y[-1] - drawn.line_y[0]) / (drawn.line_x[-1] - drawn.line_x[0])
    f = answer.finding("H2S")
    assert slope == pytest.approx(f.effect / f.step, rel=1e-9)
    assert np.all(drawn.low95 < drawn.low80)
    assert np.all(drawn.high80 < drawn.high95)
    assert len(drawn.x) == 30
