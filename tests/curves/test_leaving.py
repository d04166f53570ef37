"""A band for whole curves: its error where nothing differs, and a hump that is found and placed."""

from __future__ import annotations

import numpy as np
import pytest

from journal.curves.comparison_set import band_of
from journal.curves.leaving import chance_beyond, departure, limit_of

GRID = np.arange(0.0, 240.0)
RESOLVED = 0.02


def curves(
    rng: np.random.Generator, number: int, smooth: float, jitter: float, more: float = 0.8
) -> np.ndarray:
    """Smooth courses about zero that lie 0.33 °C apart, with a sensor's jitter on them; they spread
    so much more in the middle of the day."""
    from scipy.ndimage import gaussian_filter1d

    white = rng.normal(size=(number, len(GRID) + 200))
    course = gaussian_filter1d(white, smooth, axis=1)[:, 100:-100]
    course *= 0.3 / np.sqrt(1 / (2 * smooth * np.sqrt(np.pi)))
    level = rng.normal(0, 0.15, size=(number, 1))
    wide = 1 + more * np.exp(-(((GRID - 120) / 50) ** 2))
    return (course + level) * wide + rng.normal(0, jitter, size=course.shape)


@pytest.mark.parametrize(
    ("others", "smooth", "jitter"), [(8, 20.0, 0.05), (12, 6.0, 0.05), (30, 20.0, 0.0)]
)
def test_where_nothing_differs_all_is_as_usual_nineteen_times_in_twenty(
    others: int, smooth: float, jitter: float
) -> None:
    rng = np.random.default_rng(others + int(smooth))
    runs = 500
    usual = 0
    for _ in range(runs):
        table = curves(rng, others + 1, smooth, jitter)
        found = departure(GRID, table[1:], table[0], RESOLVED)
        usual += found.as_usual
    # three standard errors of a share of 95 % over 500 runs are 2.9 points
    assert usual / runs >= 0.95 - 0.029, f"as usual in {usual / runs:.3f}"
    assert usual / runs <= 0.995, f"as usual in {usual / runs:.3f}: it would find nothing"


@pytest.mark.parametrize("others", [12, 24])
def test_a_hump_of_a_degree_and_ten_minutes_is_found_and_placed(others: int) -> None:
    """Among makes that lie 0.12 °C apart; where they lie 0.2 °C apart, 12 of them are too few to
    find it always."""
    rng = np.random.default_rng(7)
    found_at = []
    for number in range(60):
        table = curves(rng, others + 1, 20.0, 0.1, more=0.0) / 3.0
        begin = 40.0 + 3 * (number % 50)
        hump = (begin <= GRID) & (begin + 10 > GRID)
        table[0] += np.where(hump, 1.0, 0.0)
        found = departure(GRID, table[1:], table[0], RESOLVED)
        overlap = min(found.to_position, begin + 9) - max(found.from_position, begin)
        found_at.append(not found.as_usual and overlap >= 5 and found.apart > 0.5
                        and found.to_position - found.from_position <= 16)  # fmt: skip
    assert np.mean(found_at) >= 0.95


def test_the_chance_is_that_of_scipy_for_one_point_and_grows_with_the_length() -> None:
    from scipy.stats import t

    for degrees in (4, 11, 40):
        for u in (1.0, 2.5, 4.0):
            assert chance_beyond(u, degrees, 0.0, 1) == pytest.approx(2 * t.sf(u, degrees))
    chances = [chance_beyond(3.0, 11, length, 1000) for length in (0, 5, 20)]
    assert chances == sorted(chances)
    limit = limit_of(11, 12.0, 240)
    assert chance_beyond(limit, 11, 12.0, 240) == pytest.approx(0.05, abs=1e-4)


def test_the_density_of_the_field_is_that_of_a_simulated_one() -> None:
    """The greatest of t fields drawn anew, beside the formula: a field of 12 degrees over a line
    whose length is known."""
    from scipy.ndimage import gaussian_filter1d

    rng = np.random.default_rng(3)
    smooth, degrees, runs = 15.0, 12, 3000
    length = (len(GRID) - 1) / (smooth * np.sqrt(2))
    top = np.empty(runs)
    for run in range(runs):
        white = rng.normal(size=(degrees + 1, len(GRID) + 200))
        field = gaussian_filter1d(white, smooth, axis=1)[:, 100:-100]
        top[run] = np.abs(field[0] / np.sqrt((field[1:] ** 2).mean(axis=0))).max()
    for u in (3.0, 4.0, 5.0):
        seen, output = np.mean(top > u), chance_beyond(u, degrees, length, 10_000)
        assert output == pytest.approx(seen, abs=3 * np.sqrt(seen / runs) + 0.02 * output)


def test_fewer_than_five_curves_judge_nothing_and_their_band_says_so() -> None:
    rng = np.random.default_rng(1)
    table = curves(rng, 7, 20.0, 0.05)
    assert departure(GRID, table[1:5], table[0], RESOLVED) is None
    table[3:, 150:] = np.nan
    band = band_of(GRID, table)
    assert not band.few[:150].any()
    assert band.few[150:].all()
    assert band.p90[200] == pytest.approx(np.nanmax(table[:, 200]))
    assert band.p90[100] == pytest.approx(np.quantile(table[:, 100], 0.9))
    assert not band.whole_range
    found = departure(GRID, table[1:], table[0], RESOLVED)
    assert found.to_position < 150
