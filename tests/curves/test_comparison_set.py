"""The band of the other makes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.curves import CurveError
from journal.curves.align import aligned
from journal.curves.comparison_set import band
from journal.wording import text_of
from tests.refusals import refused


def test_the_band_of_eleven_parallel_makes(kitchen) -> None:
    makes = [kitchen.make(kitchen.trace("milk-temp", [0, 60], [20 + i, 30 + i])) for i in range(11)]
    got = band(makes, "milk-temp", "start")
    assert list(got.minutes) == list(range(61))
    assert got.p10[30] == pytest.approx(26)
    assert got.p50[30] == pytest.approx(30)
    assert got.p90[30] == pytest.approx(34)
    assert set(got.count) == {11}
    assert not got.whole_range
    assert text_of(got.says) == "Where 8 in 10 of 11 makes lie."


def test_fewer_than_five_makes_show_their_whole_range_and_say_so(kitchen) -> None:
    makes = [kitchen.make(kitchen.trace("milk-temp", [0, 10], [v, v])) for v in (30, 31, 33)]
    got = band(makes, "milk-temp", "start")
    assert (got.p10[5], got.p50[5], got.p90[5]) == (30, 31, 33)
    assert got.whole_range
    assert text_of(got.says) == "From the lowest to the highest of 3 makes."


def test_each_make_counts_within_its_own_span_only(kitchen) -> None:
    spans = ((0, 20), (10, 30), (10, 20))
    makes = [kitchen.make(kitchen.trace("milk-temp", s, [31, 31])) for s in spans]
    got = band(makes, "milk-temp", "start")
    at = {minute: i for i, minute in enumerate(got.minutes)}
    assert got.count[at[5]] == 1
    assert np.isnan(got.p50[at[5]])
    assert got.count[at[15]] == 3
    assert got.p50[at[15]] == 31
    assert np.isnan(got.p90[at[25]])


def test_makes_that_never_came_there_or_were_not_read_are_left_out(kitchen) -> None:
    log = kitchen.trace("milk-temp", [0, 10], [31, 31])
    makes = [kitchen.make(log, begun=2), kitchen.make(), kitchen.make(log)]
    assert band(makes, "milk-temp", "cook").makes == 1
    empty = band([], "milk-temp", "cut")
    assert len(empty.minutes) == 0
    assert text_of(empty.says) == "A band needs at least two makes."
    with refused(CurveError, "curves.band-grid"):
        band(makes, "milk-temp", "start", grid_min=0)


@settings(max_examples=30)
@given(st.integers(2, 12), st.integers(0, 10**6))
def test_the_band_agrees_with_numpys_quantiles(makes: int, seed: int) -> None:
    from journal.curves.comparison_set import _shares

    rng = np.random.default_rng(seed)
    table = rng.normal(size=(makes, 40))
    table[rng.random(table.shape) < 0.3] = np.nan
    count = np.isfinite(table).sum(axis=0)
    for share, got in zip((0.1, 0.5, 0.9), _shares(table, count, (0.1, 0.5, 0.9)), strict=True):
        for column, value in zip(table.T, got, strict=True):
            known = column[np.isfinite(column)]
            if len(known) < 2:
                assert np.isnan(value)
            else:
                assert value == pytest.approx(np.quantile(known, share))


def test_the_band_of_long_makes_stays_drawable(kitchen) -> None:
    makes = [kitchen.make(kitchen.trace("room-temp", [0, 90 * 1440], [12, 12])) for _ in range(2)]
    got = band(makes, "room-temp", "start")
    assert len(got.minutes) <= 10_002
    assert np.nanmax(np.abs(got.p50 - 12)) == 0
    assert len(aligned(makes[0], "room-temp", "start").minutes) == 2


@pytest.mark.parametrize("grid_min", [0.5, 5.0])
def test_a_grid_is_made_no_coarser_than_it_must_be(kitchen, grid_min) -> None:
    for days, most in ((90, 10_002), (1, 1440 / grid_min + 2)):
        log = kitchen.trace("room-temp", [0, days * 1440], [12, 12])
        got = band([kitchen.make(log), kitchen.make(log)], "room-temp", "start", grid_min=grid_min)
        assert most / 2 < len(got.minutes) <= most
