"""Least squares against certified values.

Source: NIST Statistical Reference Datasets (itl.nist.gov/div898/strd): Norris, Longley, Wampler2
and SiRstv, certified values from the NIST files. Tolerances: the digits a double-precision
solver can be held to on each set (nine for a line, seven for Longley, six for the quintic).
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from journal.findings.least_squares import least_squares

DATA = Path(__file__).parent / "data"


def read(name: str) -> dict[str, np.ndarray]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([float(row[key]) for row in rows]) for key in rows[0]}


def test_norris():
    data = read("nist_norris.csv")
    fit = least_squares(data["x"][:, None], data["y"])
    assert fit.intercept == pytest.approx(-0.262323073774029, rel=1e-9)
    assert fit.intercept_se == pytest.approx(0.232818234301152, rel=1e-9)
    assert fit.coef[0] == pytest.approx(1.00211681802045, rel=1e-9)
    assert fit.se[0] == pytest.approx(0.429796848199937e-03, rel=1e-9)
    assert fit.residual_sd == pytest.approx(0.884796396144373, rel=1e-9)
    assert fit.r2 == pytest.approx(0.999993745883712, abs=1e-12)
    assert fit.f == pytest.approx(5436385.54079785, rel=1e-9)


def test_longley():
    data = read("nist_longley.csv")
    names = ("GNPDEFL", "GNP", "UNEMP", "ARMED", "POP", "YEAR")
    fit = least_squares(np.column_stack([data[n] for n in names]), data["TOTEMP"])
    coef = [
        15.0618722713733,
        -0.0358191792925910,
        -2.02022980381683,
        -1.03322686717359,
        -0.0511041056535807,
        1829.15146461355,
    ]
    se = [
        84.9149257747669,
        0.0334910077722432,
        0.488399681651699,
        0.214274163161675,
        0.226073200069370,
        455.478499142219,
    ]
    assert fit.intercept == pytest.approx(-3482258.63459582, rel=1e-7)
    assert fit.intercept_se == pytest.approx(890420.383607373, rel=1e-7)
    assert fit.coef == pytest.approx(coef, rel=1e-7)
    assert fit.se == pytest.approx(se, rel=1e-7)
    assert fit.residual_sd == pytest.approx(304.854073561965, rel=1e-7)
    assert fit.r2 == pytest.approx(0.995479004577296, rel=1e-9)
    assert fit.f == pytest.approx(330.285339234588, rel=1e-7)


def test_wampler2():
    data = read("nist_wampler2.csv")
    powers = np.column_stack([data["x"] ** k for k in range(1, 6)])
    fit = least_squares(powers, data["y"])
    assert fit.intercept == pytest.approx(1, rel=1e-6)
    assert fit.coef == pytest.approx([0.1, 0.01, 0.001, 1e-4, 1e-5], rel=1e-6)
    assert fit.residual_sd == pytest.approx(0, abs=1e-6)


def test_silicon_resistivity_one_way():
    data = read("nist_sirstv.csv")
    instruments = np.unique(data["instrument"])
    dummies = (data["instrument"][:, None] == instruments[1:]).astype(float)
    fit = least_squares(dummies, data["value"])
    assert fit.df == 20
    assert fit.f == pytest.approx(1.18046237440255, rel=1e-9)
    assert fit.r2 == pytest.approx(0.190999039051129, rel=1e-9)
    assert fit.residual_sd == pytest.approx(0.104076068334656, rel=1e-9)
    assert fit.residual_sd**2 * fit.df == pytest.approx(2.16636560e-01, rel=1e-7)
