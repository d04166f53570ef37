"""The reduction keeps every column's extremes, only real points, and the breaks."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from journal.curves import CurveError
from journal.curves.reduce import reduce
from tests.refusals import refused


def column_of(times: np.ndarray, low: float, high: float, columns: int) -> np.ndarray:
    return np.clip(((times - low) / (high - low) * columns).astype(int), 0, columns - 1)


@given(
    st.lists(st.integers(1, 50), min_size=2, max_size=400),
    st.integers(1, 40),
    st.integers(0, 2**32 - 1),
)
def test_every_column_keeps_its_least_and_greatest(
    steps: list[int], columns: int, seed: int
) -> None:
    at = np.cumsum(steps).astype(float)
    value = np.random.default_rng(seed).integers(-9, 9, len(at)).astype(float)
    out = reduce(at, value, columns)
    assert len(out.at) <= max(2 * columns, 2)
    assert (np.diff(out.at) > 0).all()
    where = np.searchsorted(at, out.at)
    assert (at[where] == out.at).all()
    assert (value[where] == out.value).all()
    raw = column_of(at, at[0], at[-1], columns)
    kept = column_of(out.at, at[0], at[-1], columns)
    assert set(raw) == set(kept)
    for one in set(raw):
        assert value[raw == one].min() == out.value[kept == one].min()
        assert value[raw == one].max() == out.value[kept == one].max()


def test_few_points_come_back_as_they_were() -> None:
    at, value = np.arange(20.0), np.sin(np.arange(20.0))
    out = reduce(at, value, 10)
    assert (out.at == at).all()
    assert (out.value == value).all()


def test_a_spike_of_one_reading_in_a_hundred_thousand_is_kept() -> None:
    at = np.arange(100_000.0)
    value = np.full(100_000, 31.0)
    value[54_321] = 47.0
    out = reduce(at, value, 900)
    assert out.value.max() == 47.0
    assert out.at[out.value.argmax()] == 54_321
    assert len(out.at) <= 1800


def test_a_pause_breaks_the_line_and_a_short_one_does_not() -> None:
    at = np.r_[np.arange(0.0, 1000), np.arange(1011.0, 2000), np.arange(2009.0, 3000)]
    out = reduce(at, np.ones(len(at)), 50, gap=10.0)
    (broken,) = np.flatnonzero(np.isnan(out.value))
    assert out.at[broken - 1] <= 999
    assert out.at[broken + 1] >= 1011


def test_a_nan_among_the_readings_stays_a_break() -> None:
    value = np.ones(1000)
    value[500] = np.nan
    out = reduce(np.arange(1000.0), value, 20)
    assert np.isnan(out.value).sum() == 1
    assert len(out.value) <= 41


def test_breaks_are_no_more_than_the_columns_they_part() -> None:
    value = np.where(np.arange(10_000) % 2, np.nan, 1.0)
    out = reduce(np.arange(10_000.0), value, 30)
    assert np.isfinite(out.value).sum() <= 60
    assert np.isnan(out.value).sum() <= 59


def test_a_view_keeps_what_it_shows_and_one_neighbour_each_side() -> None:
    at = np.arange(10_000.0)
    out = reduce(at, at % 97, 40, view=(2000.5, 3000.5))
    assert out.at[0] == 2000
    assert out.at[-1] == 3001
    assert len(out.at) <= 82


def test_a_view_beside_the_readings_and_an_empty_trace() -> None:
    assert list(reduce(np.arange(5.0), np.ones(5), 3, view=(9.0, 12.0)).at) == [4.0]
    assert len(reduce([], [], 3, gap=1.0).at) == 0
    assert list(reduce([7.0] * 9, np.arange(9.0), 1).value) == [0.0, 8.0]


def test_milliseconds_serve_as_well() -> None:
    at = 1_760_000_000_000 + np.arange(5000, dtype=np.int64) * 1000
    out = reduce(at, np.arange(5000.0), 100)
    assert np.isin(out.at.astype(np.int64), at).all()


def test_what_cannot_be_drawn_is_refused() -> None:
    with refused(CurveError, "curves.lengths-differ"):
        reduce([1.0, 2.0], [1.0], 5)
    with refused(CurveError, "curves.no-column"):
        reduce([1.0], [1.0], 0)
