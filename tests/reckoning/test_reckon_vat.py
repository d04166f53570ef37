"""The sums of the vat: doses, set, ramp, heat, meter."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.message import Message
from journal.reckoning import ReckoningError, doses, meter, pasteurise, ramp, setting
from journal.records.tables import table
from journal.topics.asked import InputValue
from journal.topics.registry import reckon
from journal.wording import text_of
from tests.refusals import refused

amount = st.floats(0.1, 1000)
LONG = pasteurise.Pair("milk", 145, 1800)
SHORT = pasteurise.Pair("milk", 161, 15)


@given(amount, amount, st.floats(0.1, 20))
def test_rennet_goes_with_the_milk_and_against_the_strength(milk, strength, times):
    one = doses.rennet_ml(milk, strength)
    assert doses.rennet_ml(milk * times, strength) == pytest.approx(one * times)
    assert doses.rennet_ml(milk, strength * times) == pytest.approx(one / times)


@given(st.floats(1, 100), st.floats(1, 10))
def test_an_old_rennet_that_takes_twice_as_long_has_half_its_strength(fresh, times):
    assert doses.rennet_strength_left(fresh, fresh * times) == pytest.approx(1 / times)


def test_doses_warn_outside_what_was_published():
    assert doses.rennet_warnings(50) == ()
    assert doses.rennet_warnings(100) == (Message("reckoning.rennet-unusual"),)
    assert doses.culture_warnings(1) == ()
    assert doses.culture_warnings(3) == ()  # Guelph: feta and camembert, 3 % of bulk starter
    assert doses.culture_warnings(5) == (Message("reckoning.culture-unusual"),)
    assert doses.colour_warnings(0.0015) == ()
    assert doses.colour_warnings(0.1) == (Message("reckoning.colour-unusual"),)


@pytest.mark.parametrize("bad", [0, -1, float("nan")])
def test_no_milk_no_dose(bad):
    with refused(ReckoningError, "reckoning.not-above", what=Message("reckoning.milk")):
        doses.rennet_ml(bad)
    strength = Message("reckoning.strength-of-rennet")
    with refused(ReckoningError, "reckoning.not-above", what=strength):
        doses.rennet_ml(10, bad)


@given(amount, st.floats(0.2, 5), st.floats(0.2, 5))
def test_the_set_by_dose_and_activity(minutes, dose, activity):
    found = setting.set_minutes_after_change(minutes, dose, activity)
    assert found * dose * activity == pytest.approx(minutes)
    assert setting.set_minutes_after_change(found, 1 / dose, 1 / activity) == pytest.approx(minutes)


def test_activity_rises_to_its_peak_and_falls():
    table_c, pct = np.array([20.0, 30, 41, 49]), np.array([20.0, 70, 100, 50])
    at = setting.rennet_activity_pct(np.linspace(20, 49, 60), table_c, pct)
    peak = int(np.argmax(at))
    assert np.all(np.diff(at[: peak + 1]) > 0)
    assert np.all(np.diff(at[peak:]) < 0)
    assert setting.setting_warnings(30, table_c) == ()
    left = Message("reckoning.rennet-table-left", low_c=20.0, high_c=49.0)
    assert setting.setting_warnings(55, table_c) == (left,)


def test_a_cut_before_the_flocculation_is_refused():
    with refused(ReckoningError, "reckoning.multiplier-below-one"):
        setting.cut_minutes(12, 0.5)


@given(
    st.floats(25, 35),
    st.floats(2, 25),
    st.floats(10, 120),
    st.floats(0.1, 0.95),
    st.floats(0.1, 0.9),
)
def test_two_slopes_end_where_the_ramp_ends(start, rise, minutes, part, slow):
    first = slow * rise / minutes
    parts = ramp.slopes(start, start + rise, minutes, first, part * minutes)
    assert parts[0].c_per_min == pytest.approx(first)
    assert parts[-1].to_c == pytest.approx(start + rise)
    assert parts[0].to_c == pytest.approx(parts[1].from_c)
    listed = ramp.schedule(parts)
    assert listed[0] == pytest.approx((0, start))
    assert listed[-1] == pytest.approx((minutes, start + rise), abs=1e-6)
    temps = [temp for _, temp in listed]
    assert all(b >= a - 1e-9 for a, b in itertools.pairwise(temps))


def test_each_break_of_a_limit_is_named():
    parts = ramp.slopes(30, 39, 30, 0.1, 10)
    output = ramp.limit_breaks(parts, 0.3)
    # The second part: at first, and all along.
    assert [one.id for one in output] == ["reckoning.ramp-fast-at-first", "reckoning.ramp-fast"]
    assert all(one.values["from_min"] == 10 and one.values["to_min"] == 30 for one in output)
    assert all("From minute 10 to 30" in text_of(one) for one in output)
    assert ramp.limit_breaks(ramp.slopes(39, 30, 30)) == ()


@pytest.mark.parametrize(
    ("first", "minutes"), [(1.0, 15), (-0.2, 15), (0.2, 30), (0.2, 0), (0.0, 15)]
)
def test_a_first_slope_that_cannot_be_is_refused(first, minutes):
    with pytest.raises(ReckoningError):
        ramp.slopes(30, 39, 30, first, minutes)


@given(st.floats(1, 60), st.floats(30, 40), st.floats(0, 0.9))
def test_water_as_warm_as_the_vat_changes_nothing(water, vat, drawn):
    assert ramp.wash_temp_c(10, 10 * drawn, vat, water, vat) == pytest.approx(vat)


@given(st.floats(50, 75), st.floats(0.01, 60), st.floats(0.1, 10))
def test_more_heat_and_more_time_kill_more(temp, minutes, more):
    base = pasteurise.log_reduction([0, minutes], [temp, temp])
    assert pasteurise.log_reduction([0, minutes], [temp + more, temp + more]) > base
    longer = pasteurise.log_reduction([0, minutes + more], [temp, temp])
    assert longer == pytest.approx(base * (minutes + more) / minutes)


def test_a_curve_cut_into_more_readings_gives_the_same():
    at, temp = np.array([0.0, 10, 40, 50]), np.array([20.0, 64, 65, 30])
    fine = np.linspace(0, 50, 5001)
    again = np.interp(fine, at, temp)
    assert pasteurise.log_reduction(fine, again) == pytest.approx(
        pasteurise.log_reduction(at, temp), rel=1e-3
    )
    assert pasteurise.longest_at_s(fine, again, 63) == pytest.approx(
        pasteurise.longest_at_s(at, temp, 63), abs=0.1
    )


def test_a_pair_is_one_hold_without_a_break():
    broken = [0, 20, 20.5, 21, 45], [64, 64, 60, 64, 64]
    assert pasteurise.pairs_met(*broken, [LONG]) == []
    assert pasteurise.pairs_met([0, 45], [64, 64], [LONG, SHORT]) == [LONG]
    assert pasteurise.pairs_met([0, 0.25], [72, 72], [LONG, SHORT]) == [SHORT]


def test_a_hold_begins_where_the_line_crosses():
    """Up through 63 °C a minute before the reading at 64, and down again."""
    assert pasteurise.longest_at_s([0, 2, 10, 12], [62, 64, 64, 62], 63) == pytest.approx(600)
    assert pasteurise.longest_at_s([0, 10], [50, 60], 63) == 0


def test_nothing_met_is_said():
    (output,) = pasteurise.pasteurise_warnings([62], [])
    assert output.id == "reckoning.no-pair-kept"
    assert "raw" in text_of(output)
    assert pasteurise.pasteurise_warnings([64], [LONG]) == ()


@pytest.mark.parametrize(
    ("minutes", "temps"),
    [
        ([0], [63]),
        ([0, 1], [63]),
        ([1, 0], [63, 63]),
        ([0, 1], [63, float("nan")]),
        ([0, 1], [63, 900]),
    ],
)
def test_a_curve_that_cannot_be_is_refused(minutes, temps):
    with pytest.raises(ReckoningError):
        pasteurise.pairs_met(minutes, temps, [LONG])


@given(st.floats(0.8, 1.05), st.floats(-40, 40), st.floats(5, 60))
def test_an_electrode_of_known_slope_is_found(share, offset, temp):
    slope = share * meter.nernst_mv_per_ph(temp)
    buffers = np.array([4.01, 7.0, 9.18])
    found = meter.electrode(buffers, offset + slope * (7 - buffers), temp)
    assert found.slope_pct == pytest.approx(100 * share)
    assert found.offset_mv == pytest.approx(offset, abs=1e-6)


@pytest.mark.parametrize(
    ("share", "offset", "verdict"),
    [
        (0.98, 5, "good"),
        (0.93, 5, "serviceable"),
        (0.98, 40, "serviceable"),
        (0.85, 0, "to-replace"),
    ],
)
def test_verdicts(share, offset, verdict):
    slope = share * meter.nernst_mv_per_ph(25)
    readings = [offset + slope * (7 - ph) for ph in (4.01, 7.0)]
    found = meter.electrode([4.01, 7.0], readings, 25).verdict
    assert found == Message(f"reckoning.electrode-{verdict}")
    assert text_of(found).startswith(verdict.removeprefix("to-"))


def test_one_buffer_is_not_enough():
    with refused(ReckoningError, "reckoning.two-buffers"):
        meter.electrode([7.0, 7.0], [0, 1], 25)
    with refused(ReckoningError, "reckoning.reading-for-each-buffer"):
        meter.electrode([4.01, 7.0], [0], 25)
    turned = meter.electrode([4.01, 7.0], [-170, 0], 25).verdict
    assert turned.id == "reckoning.electrode-wrong-way-round"


def test_a_multiplier_beyond_the_published_ones_is_warned_of():
    """2 to 3: Thom & Fisk 1918, par. 196; University of Guelph."""
    assert setting.multiplier_warnings(np.array([2.0, 2.5, 3.0])) == ()
    for far in (20, 1.5):
        found = reckon(
            "set",
            {"flocculation": InputValue(12.0, "duration"), "multiplier": InputValue(float(far))},
            {"rennet_temperature": table("rennet_temperature")},
        )
        assert any("2 and 3" in output for output in found.warnings)


def test_an_offset_of_nothing_is_nothing():
    """An offset is told to a microvolt: what a sum leaves of zero is none."""
    for buffers in ((4.01, 7.0), (7.0, 9.21), (4.01, 7.0, 10.01)):
        read = tuple(59.16 * (7 - ph) for ph in buffers)
        asked = {
            "buffers": InputValue(buffers, "ph"),
            "readings": InputValue(read, "number", "mv"),
            "temp": InputValue(25.0, "temperature"),
        }
        assert str(reckon("meter", asked).values["offset_mv"]) == "0.0"


@pytest.mark.parametrize(("minutes", "temp"), [
    ([0, math.nan], [63, 63]), ([0, 30], [63, math.nan]), ([0, math.inf], [63, 63]),
])  # fmt: skip
def test_a_curve_with_one_reading_that_is_no_number_is_refused(minutes, temp):
    with refused(ReckoningError, "reckoning.curve-no-number"):
        pasteurise.log_reduction(minutes, temp)
