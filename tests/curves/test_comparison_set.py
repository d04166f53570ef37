"""The other makes's band, the difference of two makes, and what was different."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.curves import CurveError
from journal.curves.align import aligned
from journal.curves.comparison_set import band, difference, what_was_different
from journal.curves.unusual import facts, value_at
from journal.message import Message
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
    assert band(makes, "milk-temp", "cook begins").makes == 1
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


def test_a_make_shifted_in_time_is_no_different_once_aligned(kitchen) -> None:
    minutes = np.arange(50, 160, 3.0)
    value = 31 + np.sin(minutes / 9)
    one = kitchen.make(kitchen.trace("milk-temp", minutes, value))
    late = dict.fromkeys(range(2, 7), 12.0)
    other = kitchen.make(kitchen.trace("milk-temp", minutes + 12, value), delays=late)
    got = difference(one, other, "milk-temp", "rennet in")
    assert np.allclose(got.value, 0, atol=1e-9)
    assert got.minutes[0] == pytest.approx(-6)
    assert np.abs(difference(one, other, "milk-temp", "start").value).max() > 0.5


def test_the_difference_has_every_instant_of_both_and_turns_its_sign(kitchen) -> None:
    one = kitchen.make(kitchen.trace("milk-temp", [0, 10, 20], [30, 32, 30]))
    other = kitchen.make(kitchen.trace("milk-temp", [5, 15, 30], [30, 30, 30]))
    got = difference(one, other, "milk-temp", "start")
    assert list(got.minutes) == [5, 10, 15, 20]
    assert list(got.value) == pytest.approx([1, 2, 1, 0])
    assert list(difference(other, one, "milk-temp", "start").value) == pytest.approx(
        [-1, -2, -1, 0]
    )
    assert len(difference(one, kitchen.make(), "milk-temp", "start").minutes) == 0
    apart = kitchen.make(kitchen.trace("milk-temp", [100, 110], [30, 30]))
    assert len(difference(one, apart, "milk-temp", "start").minutes) == 0


def day(kitchen, delay=0.0, end_c=39.0, ph=6.4):
    """A make with a milk log, a curd pH at the drain and a late cook."""
    minutes = np.arange(0, 180, 2.0)
    milk = kitchen.trace("milk-temp", minutes, np.full(len(minutes), end_c))
    curd = kitchen.trace("curd-ph", [150, 170], [ph, ph])
    return kitchen.make(milk, curd, delays={4: delay, 5: delay, 6: delay})


def test_the_most_unusual_comes_first(kitchen) -> None:
    comparison_set = [day(kitchen, delay=s, ph=6.40 + 0.01 * s) for s in (0.0, 1.0, 2.0, 1.0, 3.0)]
    odd = day(kitchen, delay=2.0, end_c=39.1, ph=6.05)
    rows = what_was_different(odd, [*comparison_set, odd])
    assert rows[0].what == Message("curves.fact-ph", of="curd", moment="drain")
    assert text_of(rows[0].what) == "curd pH at drain"
    assert rows[0].value == pytest.approx(6.05)
    assert rows[0].usual == pytest.approx(6.41)
    assert rows[0].makes == 5
    assert rows[0].z == pytest.approx((6.05 - 6.41) / 0.03, rel=1e-6)  # a sensor's resolution
    sizes = [abs(row.z) for row in rows if row.z is not None]
    assert sizes == sorted(sizes, reverse=True)
    delay = next(row for row in rows if row.what == Message("curves.fact-slip", of="cook"))
    assert delay.spread == pytest.approx(1.4826)
    assert delay.z == pytest.approx(1 / 1.4826)


def test_too_small_a_company_calls_nothing_unusual(kitchen) -> None:
    rows = what_was_different(day(kitchen), [day(kitchen), day(kitchen)])
    assert rows
    assert all(row.z is None for row in rows)
    assert all(row.makes == 2 for row in rows)


def test_the_facts_of_a_make(kitchen) -> None:
    report = {text_of(fact.what): fact for fact in facts(day(kitchen, delay=5.0))}
    assert report["cook, delay"].value == pytest.approx(5)
    assert report["cut, length"].value == pytest.approx(13)
    assert report["cook, at its end"].value == pytest.approx(39.0)
    assert report["cook rate"].value == pytest.approx(0.0)
    assert report["curd pH at drain"].unit == "pH"
    assert report["milk"].value == 10.0
    assert "milk pH at cut" not in report


def test_a_value_is_read_off_only_between_near_readings(kitchen) -> None:
    trace = kitchen.trace("curd-ph", [0, 20, 80], [6.6, 6.4, 5.4])
    assert value_at(trace, kitchen.at(10)) == pytest.approx(6.5)
    assert value_at(trace, kitchen.at(80)) == 5.4
    assert value_at(trace, kitchen.at(50)) is None
    assert value_at(trace, kitchen.at(90)) is None
    assert value_at(trace, kitchen.at(-1)) is None


def test_the_band_of_long_makes_stays_drawable(kitchen) -> None:
    makes = [kitchen.make(kitchen.trace("room-temp", [0, 90 * 1440], [12, 12])) for _ in range(2)]
    got = band(makes, "room-temp", "start")
    assert len(got.minutes) <= 10_002
    assert np.nanmax(np.abs(got.p50 - 12)) == 0
    assert len(aligned(makes[0], "room-temp", "start").minutes) == 2
