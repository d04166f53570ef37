"""Penalised least squares against what algebra gives."""

from __future__ import annotations

import numpy as np
import pytest

from journal.curves import CurveError, solver
from journal.curves.sigmoid import FitData, falling, fit_falling, ph_at, tau_when
from journal.curves.solver import Prior, solve
from tests.refusals import refused

TRUE = np.array([6.6, 4.8, np.log(240), np.log(50), -0.6, 0.15])


def straight(x):
    def model(theta):
        return theta[0] + theta[1] * x, np.column_stack([np.ones_like(x), x])

    return model


def test_a_straight_line_is_ordinary_least_squares() -> None:
    x, y = np.arange(6.0), np.array([1, 3, 2, 5, 4, 7.0])
    got = solve(straight(x), y, [0, 0])
    assert got.params == pytest.approx(np.polyfit(x, y, 1)[::-1], rel=1e-9)
    design = np.column_stack([np.ones(6), x])
    assert got.covariance() == pytest.approx(np.linalg.inv(design.T @ design), rel=1e-9)


def test_a_prior_is_the_ridge_estimate() -> None:
    x, y = np.arange(6.0), np.array([1, 3, 2, 5, 4, 7.0])
    prior = Prior(np.array([2.0, 0.5]), np.diag([0.3, 0.1]))
    design, noise = np.column_stack([np.ones(6), x]), 0.7
    left = design.T @ design / noise**2 + np.diag([1 / 0.3, 1 / 0.1])
    right = design.T @ y / noise**2 + np.array([2 / 0.3, 0.5 / 0.1])
    got = solve(straight(x), y, [0, 0], noise=noise, prior=prior)
    assert got.params == pytest.approx(np.linalg.solve(left, right), rel=1e-9)
    assert got.covariance() == pytest.approx(np.linalg.inv(left), rel=1e-9)


def test_without_readings_the_prior_is_the_answer() -> None:
    none = np.empty(0)
    prior = Prior(TRUE, np.diag([0.01] * 6))
    got = fit_falling(FitData(none, none, none), TRUE + 0.05, prior=prior)
    assert got.params == pytest.approx(TRUE)
    assert got.covariance() == pytest.approx(prior.covariance)


def test_what_is_held_stays_and_has_no_spread() -> None:
    x, y = np.arange(6.0), np.array([1, 3, 2, 5, 4, 7.0])
    got = solve(straight(x), y, [1.0, 0.0], hold=[True, False])
    assert got.params[0] == 1.0
    assert got.params[1] == pytest.approx(x @ (y - 1) / (x @ x))
    assert got.covariance()[0].tolist() == [0, 0]


def test_the_courses_derivatives_are_its_differences() -> None:
    tau, whey = np.linspace(0, 600, 13), np.arange(13) % 2.0
    _, slopes = falling(TRUE, tau, whey)
    for i in range(6):
        step = np.zeros(6)
        step[i] = 1e-6
        rise = (falling(TRUE + step, tau, whey)[0] - falling(TRUE - step, tau, whey)[0]) / 2e-6
        assert slopes[:, i] == pytest.approx(rise, abs=1e-7)


def test_exact_readings_give_the_course_back() -> None:
    tau = np.linspace(0, 500, 26)
    whey = np.arange(26) % 2.0
    ph = falling(TRUE, tau, whey)[0]
    got = fit_falling(FitData(tau, ph, whey), TRUE + np.array([0.1, -0.2, 0.2, -0.2, 0.2, 0.05]))
    assert got.params == pytest.approx(TRUE, rel=1e-7)
    assert got.rss == pytest.approx(0, abs=1e-18)


def test_when_a_level_is_passed_and_what_ph_it_is_then_agree() -> None:
    for level in (6.5, 5.7, 5.0):
        for whey in (0.0, 1.0):
            tau = tau_when(TRUE, level, whey)
            assert ph_at(TRUE, tau, whey)[0] == pytest.approx(level)
    assert tau_when(TRUE, 4.7)[0] == np.inf
    assert tau_when(TRUE, 6.7)[0] == 0.0


@pytest.mark.parametrize("log_shape", [-20.0, -3.0, 0.0, 1.0])
def test_the_shape_runs_from_gompertz_to_beyond_a_logistic(log_shape: float) -> None:
    theta = TRUE.copy()
    theta[4] = log_shape
    tau = np.linspace(-2000, 3000, 101)
    got = ph_at(theta, tau)[0]
    assert np.isfinite(got).all()
    assert (np.diff(got) <= 0).all()
    assert got[0] == pytest.approx(6.6)
    assert got[-1] == pytest.approx(4.8)
    u = (tau - 240) / 50
    if log_shape == 0:
        assert got == pytest.approx(4.8 + 1.8 / (1 + np.exp(np.minimum(u, 500))))
    if log_shape == -20:
        assert got == pytest.approx(6.6 - 1.8 * np.exp(-np.exp(-u)), abs=1e-6)
    again = tau_when(theta, 5.5)
    assert ph_at(theta, again)[0] == pytest.approx(5.5)


def test_whey_and_curd_read_alike_in_sweet_milk_and_part_as_it_sours() -> None:
    tau = np.array([-500.0, 240.0, 2000.0])
    apart = ph_at(TRUE, tau, 1.0)[0] - ph_at(TRUE, tau)[0]
    assert apart[0] == pytest.approx(0.0, abs=1e-6)
    assert apart[1] > 0.1
    assert apart[2] == pytest.approx(0.15, abs=1e-3)


def test_readings_no_curve_settles_on_are_refused(monkeypatch) -> None:
    def model(theta):
        return np.full(2, np.nan), np.full((2, 1), np.nan)

    with refused(CurveError, "curves.unsettled"):
        solve(model, np.zeros(2), [1.0])

    monkeypatch.setattr(solver, "STEPS", 2)
    tau = np.linspace(0, 500, 26)
    data = FitData(tau, falling(TRUE, tau, tau * 0)[0], tau * 0)
    with refused(CurveError, "curves.unsettled"):
        fit_falling(data, TRUE + 0.3)
