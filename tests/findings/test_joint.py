"""All variables together: agreement with least squares, few makes, makes as the unit."""

from __future__ import annotations

import numpy as np
import pytest

from journal.findings.bends import _WeighedRows
from journal.findings.joint import JointData, fit_joint, prior_scale
from journal.findings.least_squares import least_squares
from journal.findings.rows import ScoreRows
from journal.findings.scatter_grid import around_the_likeliest, grid_of
from journal.findings.single import holm
from journal.findings.together import entries_of


def fitted(x, y, se=None, make=None, wheel=None):
    rows, k = x.shape
    make = np.arange(rows) if make is None else make
    wheel = np.zeros(rows, dtype=int) if wheel is None else wheel
    z = entries_of(x).z
    return fit_joint(z, y, np.full(rows, np.nan) if se is None else se, make, wheel, np.ones(k), k)


def test_with_many_makes_it_agrees_with_least_squares():
    from scipy.special import stdtrit

    draw = np.random.default_rng(1)
    x = draw.normal(size=(200, 3))
    y = 6 + x @ [0.8, -0.4, 0.0] + 0.8 * draw.normal(size=200)
    joint, plain = fitted(x, y), least_squares(entries_of(x).z, y)
    assert joint.mean[1:] == pytest.approx(plain.coef, abs=0.1 * plain.se[0])
    bands = joint.quantiles(np.eye(4)[1:], [0.025, 0.975])
    width = 2 * stdtrit(plain.df, 0.975) * plain.se
    assert bands[1] - bands[0] == pytest.approx(width, rel=0.03)


@pytest.mark.parametrize("makes", [5, 6, 9, 13, 14])
def test_more_variables_than_makes_is_carried_by_the_prior(makes):
    draw = np.random.default_rng(2)
    x, y = draw.normal(size=(makes, 12)), draw.normal(size=makes)
    joint = fit_joint(
        (x - x.mean(0)) / x.std(0, ddof=1),
        y,
        np.zeros(makes),
        np.arange(makes),
        np.zeros(makes, dtype=int),
        np.ones(12),
        12,
    )
    bands = joint.quantiles(np.eye(13)[1:], [0.025, 0.975])
    assert np.isfinite(bands).all()
    assert (bands[1] > bands[0]).all()


def test_nested_scatter_matches_the_plain_matrix_algebra():
    draw = np.random.default_rng(3)
    make = np.array([0, 0, 0, 0, 1, 1, 2, 2, 2, 3])
    wheel = np.array([0, 0, 1, 1, 0, 0, 0, 1, 1, 0])
    z, y, se = draw.normal(size=(10, 2)), draw.normal(size=10), draw.uniform(0.1, 0.5, 10)
    rows = ScoreRows.sorted(z, y, se, make, wheel)
    assert rows.levels() == ["rest", "make", "wheel"]
    gram, log_size, _ = rows.weighed({"rest": 0.5, "make": 0.8, "wheel": 0.3})
    same_make = make[:, None] == make
    same_wheel = same_make & (wheel[:, None] == wheel)
    v = np.diag(0.25 + se**2) + 0.64 * same_make + 0.09 * same_wheel
    table = np.column_stack([np.ones(10), z, y - y.mean()])
    assert gram == pytest.approx(table.T @ np.linalg.solve(v, table))
    assert log_size == pytest.approx(np.linalg.slogdet(v)[1])


def test_four_tastings_of_one_make_are_not_four_makes():
    draw = np.random.default_rng(4)
    x = draw.normal(size=(12, 2))
    y = 6 + 0.5 * x[:, 0] + draw.normal(size=12)
    alone = fitted(x, y).quantiles(np.eye(3)[1:], [0.025, 0.975])
    many = np.repeat(np.arange(12), 4)
    again = fitted(x[many], y[many] + 0.05 * draw.normal(size=48), make=many)
    repeated = again.quantiles(np.eye(3)[1:], [0.025, 0.975])
    assert repeated[1] - repeated[0] == pytest.approx(alone[1] - alone[0], rel=0.25)


def test_a_wheel_of_uncertain_score_weighs_less():
    draw = np.random.default_rng(5)
    x = np.linspace(-1, 1, 20)[:, None]
    y = 6 + x[:, 0] + 0.2 * draw.normal(size=20)
    y[-1] -= 4
    se = np.full(20, 0.1)
    trusted = fitted(x, y, se=se).mean[1]
    se[-1] = 5.0
    assert fitted(x, y, se=se).mean[1] > trusted + 0.1


def test_the_prior_loosens_as_makes_come_in_and_never_looks_at_scores():
    scales = [prior_scale(n, 12) for n in (5, 13, 16, 25, 40, 60, 1000)]
    assert scales == sorted(scales)
    assert scales[0] == pytest.approx(0.3)
    assert scales[-1] == 1.0


def test_the_grid_of_scatters_is_fine_enough():
    """Doubling the grid changes the ranges by less than one per cent."""
    from journal.findings import scatter_grid as module

    draw = np.random.default_rng(6)
    x, y = draw.normal(size=(14, 6)), draw.normal(size=14)
    coarse = fitted(x, y).quantiles(np.eye(7)[1:], [0.025, 0.1, 0.9, 0.975])
    saved = dict(module.GRIDS)
    module.GRIDS.update({1: (33, 129)})
    try:
        fine = fitted(x, y).quantiles(np.eye(7)[1:], [0.025, 0.1, 0.9, 0.975])
    finally:
        module.GRIDS.update(saved)
    width = fine[3] - fine[0]
    assert (np.abs(coarse - fine) < 0.01 * width).all()


def test_the_grid_finds_a_narrow_peak():
    def weigh(point):
        return -0.5 * (np.log(point[0] / 0.123) / 0.02) ** 2, point[0]

    found = grid_of(weigh, 1)
    best = max(found, key=lambda f: f[0])
    assert best[1] == pytest.approx(0.123, rel=0.05)


def test_holm_steps_down():
    assert holm(np.array([0.01, 0.04, 0.02])) == pytest.approx([0.03, 0.04, 0.04])


def test_the_grid_about_the_likeliest_says_the_same_as_a_fine_one_over_all(monkeypatch):
    from journal.findings import scatter_grid as module

    monkeypatch.setitem(module.GRIDS, 3, (9, 19))
    draw = np.random.default_rng(11)
    make, wheel = np.repeat(np.arange(60), 6), np.tile([0, 0, 0, 1, 1, 1], 60)
    z = np.repeat(draw.normal(size=(60, 3)), 6, axis=0)
    y = z @ [0.5, -0.3, 0.0] + np.repeat(0.7 * draw.normal(size=60), 6)
    y = y + np.repeat(0.3 * draw.normal(size=120), 3) + 0.4 * draw.normal(size=360)
    rows = ScoreRows.sorted(z, y, np.zeros(360), make, wheel)

    def weigh(point):
        spreads = dict(zip(rows.levels(), point, strict=True))
        normal = rows.normal(spreads, np.array([0.0, 1.0, 1.0, 1.0]))
        return normal.log_weight, normal

    def moments(found):
        weight = np.exp([f[0] for f in found] - np.max([f[0] for f in found]))
        weight /= weight.sum()
        sd = np.sqrt([np.diag(f[1].covariance) for f in found])
        return weight @ np.array([f[1].mean for f in found]), weight @ sd

    whole, near = moments(grid_of(weigh, 3)), moments(around_the_likeliest(weigh, 3))
    np.testing.assert_allclose(near[0], whole[0], atol=0.02)
    np.testing.assert_allclose(near[1], whole[1], rtol=0.03)


PEAKS = (0.05, 1.0)


@pytest.mark.parametrize(("makes", "wheels", "times"), [(8, 2, 2), (320, 1, 1)])
def test_two_peaks_of_the_scatters_are_both_weighed(makes, wheels, times):
    """A search from one beginning would find one of them: it is for many scores in more levels."""
    make = np.repeat(np.arange(makes), wheels * times)
    wheel = np.repeat(np.arange(makes * wheels), times)
    y = np.random.default_rng(12).normal(size=make.size)
    given = JointData.of(np.zeros((y.size, 1)), y, np.zeros(y.size), make, wheel, np.ones(1), 1)

    def weigh(point):
        logs = [-0.5 * float(np.sum((np.log(np.array(point) / at) / 0.3) ** 2)) for at in PEAKS]
        return max(logs), point

    found = given.over_scatters(weigh)
    for at in PEAKS:
        assert max(w for w, point in found if np.allclose(np.log(point), np.log(at), atol=0.5)) > -2


def test_bends_are_looked_for_about_the_scatter_that_lines_leave():
    """What a line explains is no scatter: of 60 makes about it with an sd of 0.2 the likeliest
    scatter is that sd, to three standard errors (1 / √(2 · 58) of it)."""
    draw = np.random.default_rng(13)
    z = draw.normal(size=(60, 1))
    y = 6 + 1.5 * z[:, 0] + 0.2 * draw.normal(size=60)
    every = np.arange(60)
    given = JointData.of(z, y, np.zeros(60), every, every, np.ones(1), 1)
    (scatter,) = given.scatters(_WeighedRows(given, z**2)._likely()[0]).values()
    assert scatter == pytest.approx(0.2, rel=3 / np.sqrt(2 * 58))
