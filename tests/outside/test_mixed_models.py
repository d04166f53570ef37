"""The mixed model against published fits.

sleepstudy: 18 people over ten days, Belenky et al. 2003, J. Sleep Res. 12, 1-12; the fits of
Bates, Mächler, Bolker & Walker 2015, J. Stat. Softw. 67(1), section 1.2 and after (intercept
251.405 (6.825), days 10.467 (1.546), variances 612.10 and 35.07, covariance 9.6046, residual
654.94, criterion 1743.628). The fit with a level alone: standard error of days 0.804, variance
1378.18, residual 960.46, recomputed with other software. Tolerances are those of the print.

appletaste: Maindonald & Braun; with the panellist as a fixed block the product differences are
+20.575, -13.375 and -48.800; a mixed model recovers what lies between panellists too, so it must
stand between those and the plain means, at a smaller standard error than 10.4414.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from journal.findings.mixed import RandomEffect, fit_mixed

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def sleep():
    read = rows("sleepstudy_lme4.csv")
    time = np.array([float(r["Reaction"]) for r in read])
    days = np.array([float(r["Days"]) for r in read])
    people = np.array([int(r["Subject"]) for r in read])
    return time, np.column_stack([np.ones(len(read)), days]), people


def test_a_level_and_a_slope_for_each_person(sleep):
    y, x, people = sleep
    fit = fit_mixed(y, x, [RandomEffect("person", people, x)])
    assert fit.coef == pytest.approx([251.405, 10.467], abs=1e-3)
    assert fit.se == pytest.approx([6.825, 1.546], abs=1e-3)
    assert fit.variance["person"][0, 0] == pytest.approx(612.10, abs=0.05)
    assert fit.variance["person"][1, 1] == pytest.approx(35.07, abs=0.05)
    assert fit.variance["person"][0, 1] == pytest.approx(9.6046, abs=0.05)
    assert fit.residual == pytest.approx(654.94, abs=0.05)
    assert fit.criterion == pytest.approx(1743.628, abs=1e-3)


def test_a_level_alone(sleep):
    y, x, people = sleep
    fit = fit_mixed(y, x, [RandomEffect("person", people)])
    assert fit.se[1] == pytest.approx(0.804, abs=1e-3)
    assert fit.variance["person"][0, 0] == pytest.approx(1378.18, abs=0.05)
    assert fit.residual == pytest.approx(960.46, abs=0.05)


def test_the_closed_form_of_nested_rows_is_the_same_model(sleep):
    y, x, people = sleep
    crossed = fit_mixed(y, x, [RandomEffect("person", people)])
    nested = fit_mixed(y, x, make=people, wheel=people)
    assert nested.criterion == pytest.approx(crossed.criterion, abs=1e-6)
    assert nested.variance["make"][0, 0] == pytest.approx(1378.18, abs=0.05)
    assert nested.residual == pytest.approx(960.46, abs=0.05)


def test_apples_lie_between_blocks_and_plain_means():
    read = rows("appletaste.csv")
    y = np.array([float(r["aftertaste"]) for r in read])
    products = sorted({r["product"] for r in read})
    columns = [np.array([float(r["product"] == p) for r in read]) for p in products[1:]]
    x = np.column_stack([np.ones(y.size), *columns])
    people = np.unique([r["panelist"] for r in read], return_inverse=True)[1]
    fit = fit_mixed(y, x, [RandomEffect("panelist", people)])
    plain = [y[c == 1].mean() - y[x[:, 1:].sum(axis=1) == 0].mean() for c in columns]
    for found, own, blocked in zip(fit.coef[1:], plain, [20.575, -13.375, -48.800], strict=True):
        low, high = sorted((own, blocked))
        assert low <= found <= high
    assert (fit.se[1:] < 10.4414).all()
    assert fit.sd("panelist") > 0
    assert math.sqrt(fit.residual) == pytest.approx(math.sqrt(26892.383 / 37), rel=0.05)


def test_seconds_say_the_same_as_milliseconds(sleep):
    """And days counted backwards the same slope the other way, which goes against the level."""
    y, x, people = sleep
    back = x * [1, -1]
    other = fit_mixed(y, back, [RandomEffect("person", people, back)])
    assert other.coef == pytest.approx([251.405, -10.467], abs=1e-3)
    assert other.variance["person"][0, 1] == pytest.approx(-9.6046, abs=0.05)
    fit = fit_mixed(y / 1000, x, [RandomEffect("person", people, x)])
    assert fit.coef == pytest.approx([0.251405, 0.010467], abs=1e-6)
    assert fit.variance["person"][0, 0] == pytest.approx(612.10e-6, abs=0.05e-6)
    assert fit.residual == pytest.approx(654.94e-6, abs=0.05e-6)


def test_to_the_last_is_nearer_to_the_published_fit(sleep):
    y, x, people = sleep
    near, quick = (
        fit_mixed(y, x, [RandomEffect("person", people, x)], to_the_last=last).criterion
        for last in (True, False)
    )
    assert near < quick
    # A spread told by ν people raises the criterion by 2 ν δ², where it is off by the share δ; two
    # spreads, told by 17 people at most, are to be good to a hundredth.
    assert quick == pytest.approx(near, abs=2 * (2 * 17 * 0.01**2))
