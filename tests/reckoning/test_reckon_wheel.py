"""The sums of press, brine, air and room: round trips, monotony, scaling, refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.message import Message
from journal.reckoning import (
    ReckoningError,
    air,
    bandage,
    brine,
    loss,
    mould,
    press,
    salt,
    water_activity,
)
from journal.records.tables import table
from journal.topics.asked import Inputs
from journal.topics.wheel import read_brine
from journal.wording import text_of
from tests.refusals import refused

BRINE = read_brine(Inputs("", {}, {"brine_density": table("brine_density")}))
SERIES = [
    loss.Loss(32, 5, 20, 2.5),
    loss.Loss(32, 15, 20, 4),
    loss.Loss(6, 5, 20, 5),
    loss.Loss(6, 15, 20, 9),
]
load = st.floats(0.1, 500)
width = st.floats(50, 500)


@given(load, width, st.floats(1, 10))
def test_load_to_pressure_and_back(kg, mm, advantage):
    area = press.round_area_cm2(mm)
    kpa = press.pressure_kpa(kg, area, advantage)
    assert press.load_kg(kpa, area, advantage) == pytest.approx(kg)
    assert press.kpa_from_psi(press.psi(kpa)) == pytest.approx(kpa)


@given(load, width, st.floats(0.2, 5))
def test_the_same_pressure_goes_with_the_square_of_the_width(kg, mm, times):
    other = press.round_area_cm2(mm * times)
    found = press.load_on_other_mould_kg(kg, press.round_area_cm2(mm), other)
    assert found == pytest.approx(kg * times**2)
    assert press.pressure_kpa(found, other) == pytest.approx(
        press.pressure_kpa(kg, press.round_area_cm2(mm))
    )


def test_pressure_by_its_dimension():
    """9.80665 N on a square of a centimetre is 98.0665 kPa."""
    assert press.pressure_kpa(1, press.rectangle_area_cm2(10, 10)) == pytest.approx(98.0665)


def test_a_stack_bears_the_whole_load_each():
    assert press.stack_loads_kg(20, 1.5, 3) == [20, 21.5, 23]


@given(load, st.floats(0, 48), st.floats(0.1, 24))
def test_a_spring_slackens_and_never_below_what_it_keeps(kg, hours, more):
    at, later = press.spring_load_kg(kg, hours), press.spring_load_kg(kg, hours + more)
    assert kg >= at > later > press.SPRING_KEEPS * kg * (1 - 1e-12)


@given(st.floats(0.55, 0.95))
def test_tightening_comes_when_the_load_has_fallen_so_far(below):
    assert press.spring_load_kg(1, press.tighten_after_h(below)) == pytest.approx(below)


def test_a_spring_that_keeps_enough_is_never_tightened():
    assert math.isinf(press.tighten_after_h(0.4))


def test_press_warnings():
    assert press.press_warnings(100, 15) == ()
    assert press.press_warnings(300) == (Message("reckoning.pressure-above-published"),)
    assert press.press_warnings(10, 25) == (Message("reckoning.load-above-rule", times=25.0),)


@pytest.mark.parametrize("bad", [0, -5, float("nan"), float("inf")])
def test_a_mould_without_width_is_refused(bad):
    width_ = Message("reckoning.width-of-mould")
    with refused(ReckoningError, "reckoning.not-above", what=width_, low=0, unit="mm"):
        press.round_area_cm2(bad)


@given(st.floats(0.1, 50), width, st.floats(1.1, 4))
def test_a_wider_mould_makes_a_flatter_wheel(kg, mm, times):
    one = mould.wheel_height_mm(kg, press.round_area_cm2(mm))
    other = mould.wheel_height_mm(kg, press.round_area_cm2(mm * times))
    assert other == pytest.approx(one / times**2)
    assert mould.wheel_height_mm(kg * times, press.round_area_cm2(mm)) == pytest.approx(one * times)


@given(st.floats(0.1, 100), st.floats(0.5, 8), st.floats(30, 100), st.floats(30, 60))
def test_salt_by_curd_and_by_moisture_agree(kg, target, kept, moisture):
    by_curd = salt.salt_for_curd_g(kg, target, kept)
    s_m = 100 * target / moisture
    assert salt.salt_for_s_m_g(kg, s_m, moisture, kept) == pytest.approx(by_curd)
    assert salt.salt_for_curd_g(2 * kg, target, kept) == pytest.approx(2 * by_curd)


def test_salt_that_never_stays_is_refused():
    with refused(ReckoningError, "reckoning.no-salt-stays"):
        salt.salt_for_curd_g(1, 2, 0)


@given(st.floats(0, 26.3), st.floats(5, 30))
def test_brine_there_and_back(pct, temp):
    dense = brine.brine_density_kg_m3(pct, temp, BRINE)
    assert brine.brine_pct_from_density(dense, temp, BRINE) == pytest.approx(pct, abs=1e-6)
    degrees = brine.baume(dense, temp)
    assert brine.kg_m3_from_baume(max(degrees, 0.0), temp) == pytest.approx(dense, rel=1e-6)
    assert brine.pct_from_salometer(brine.salometer_deg(pct)) == pytest.approx(pct)
    assert brine.pct_from_g_per_kg_water(brine.g_per_kg_water(pct)) == pytest.approx(pct)


@given(st.floats(0, 25), st.floats(0.1, 1.3), st.floats(5, 25), st.floats(0.5, 5))
def test_brine_is_denser_stronger_and_colder(pct, more, temp, warmer):
    dense = brine.brine_density_kg_m3(pct, temp, BRINE)
    assert brine.brine_density_kg_m3(pct + more, temp, BRINE) > dense
    assert brine.brine_density_kg_m3(pct, temp + warmer, BRINE) < dense


def test_the_four_measures_are_four():
    """One brine, four different numbers."""
    dense = brine.brine_density_kg_m3(20, 20, BRINE)
    numbers = [20, brine.baume(dense, 20), brine.salometer_deg(20), brine.g_per_kg_water(20) / 10]
    assert len({round(number, 1) for number in numbers}) == 4


@given(st.floats(1, 100), st.floats(10, 20), st.floats(0.1, 6))
def test_topping_up_brings_the_brine_there(kg, now, more):
    added = brine.top_up_salt_kg(kg, now, now + more)
    found = 100 * (kg * now / 100 + added) / (kg + added)
    assert found == pytest.approx(now + more)


@given(st.floats(5, 100), st.floats(15, 25), st.floats(0.01, 0.1), st.floats(0, 0.5))
def test_a_used_brine_topped_up_is_as_strong_as_before(kg, pct, salt_kg, whey_kg):
    used = brine.used_brine_pct(kg, pct, salt_kg, whey_kg)
    assert used < pct
    left = kg - salt_kg + whey_kg
    back = brine.top_up_salt_kg(left, used, pct)
    assert 100 * (left * used / 100 + back) / (left + back) == pytest.approx(pct)


def test_a_brine_beyond_saturation_or_weakened_by_salt_is_refused():
    strength = Message("reckoning.brine-strength")
    with refused(ReckoningError, "reckoning.not-within", what=strength, found=27.0) as caught:
        brine.g_per_kg_water(27)
    assert "saturated" in text_of(caught.value)
    with refused(ReckoningError, "reckoning.brine-not-weakened"):
        brine.top_up_salt_kg(10, 22, 20)


@given(st.floats(0.5, 500), st.floats(1.5, 10), st.floats(60, 400), st.floats(30, 200))
def test_uptake_grows_with_time_and_less_than_in_proportion(hours, times, diameter, height):
    one = brine.uptake_share(2.3e-10, hours, diameter, height)
    other = brine.uptake_share(2.3e-10, hours * times, diameter, height)
    assert 0 < one < other <= 1
    assert other <= one * times * (1 + 1e-9)


@given(st.floats(1, 100), st.floats(60, 300), st.floats(40, 150), st.floats(0.5, 3))
def test_uptake_does_not_mind_the_scale(hours, diameter, height, times):
    """A wheel twice the size takes four times as long."""
    one = brine.uptake_share(2.3e-10, hours, diameter, height)
    other = brine.uptake_share(2.3e-10, hours * times**2, diameter * times, height * times)
    assert other == pytest.approx(one, rel=1e-6)


def test_short_and_long_series_of_uptake_meet():
    """At the change from the short-time form to the series the share does not jump."""
    hours = 1e-3 * (0.1**2) / 2.3e-10 / 3600
    below = brine.uptake_share(2.3e-10, hours * 0.999, 200, 200)
    above = brine.uptake_share(2.3e-10, hours * 1.001, 200, 200)
    assert above == pytest.approx(below, rel=5e-3)


@given(st.floats(0.1, 5), st.floats(40, 60), st.floats(4.4, 6))
def test_salt_lowers_water_activity(salt_pct, moisture, ph):
    for formula in (
        lambda s: water_activity.marcos_aw(s, moisture),
        lambda s: water_activity.unripe_aw(s, moisture, ph),
    ):
        assert formula(salt_pct + 0.5) < formula(salt_pct) < 1


@given(st.floats(-10, 40), st.floats(5, 100), st.floats(70, 105))
def test_humidity_to_wet_bulb_and_back(dry, rh, kpa):
    wet = air.wet_bulb_c(dry, rh, kpa)
    # ASHRAE's formulas for water and ice do not meet at 0 °C: no way back across that step.
    if not -0.5 < wet < 0.5:
        assert air.rh_from_wet_bulb_pct(dry, wet, kpa) == pytest.approx(rh, abs=1e-6)
    dew = air.dew_point_c(dry, rh)
    assert dew <= wet + 0.35  # below 0 °C the dew point is taken over ice
    assert air.saturation_pa(dew) == pytest.approx(rh / 100 * air.saturation_pa(dry), rel=2e-3)


@given(st.floats(5, 25), st.floats(0.2, 4), st.floats(0.1, 1))
def test_a_wetter_bulb_means_drier_air(dry, depression, more):
    wet = air.rh_from_wet_bulb_pct(dry, dry - depression)
    assert air.rh_from_wet_bulb_pct(dry, dry - depression - more) < wet <= 100


def test_air_takes_arrays():
    dry = np.array([10.0, 12.0])
    assert air.rh_from_wet_bulb_pct(dry, dry) == pytest.approx([100, 100])
    assert air.dew_point_c(dry, np.array([100.0, 100.0])) == pytest.approx(dry, abs=1e-6)


def test_uncertainty_grows_with_the_thermometer_and_matches_draws():
    rng = np.random.default_rng(3)
    off = air.rh_uncertainty_pct(12, 11, 0.1)
    assert air.rh_uncertainty_pct(12, 11, 0.2) == pytest.approx(2 * off)
    assert air.rh_uncertainty_pct(12, 11, 0) == 0
    drawn = air.rh_from_wet_bulb_pct(12 + rng.normal(0, 0.1, 4000), 11 + rng.normal(0, 0.1, 4000))
    assert np.std(drawn) == pytest.approx(off, rel=0.05)


def test_bulbs_that_cannot_be_are_refused():
    with refused(ReckoningError, "reckoning.wet-bulb-warmer"):
        air.rh_from_wet_bulb_pct(10, 11)
    with refused(ReckoningError, "reckoning.air-too-dry"):
        air.rh_from_wet_bulb_pct(30, 5)


@given(st.floats(1, 40), st.floats(4, 16), st.floats(1, 20), st.floats(1.1, 2))
def test_loss_grows_with_time_and_falls_with_weight(kg, room, weeks, times):
    base = loss.weight_loss_pct(kg, room, weeks, SERIES)
    assert loss.weight_loss_pct(kg, room, weeks * times, SERIES) == pytest.approx(base * times)
    assert loss.weight_loss_pct(kg * times, room, weeks, SERIES) < base


def test_loss_warns_off_the_series():
    assert loss.loss_warnings(20, 10, 20) == ()
    small = loss.loss_warnings(1, 10, 20)[0]
    assert small == Message("reckoning.loss-of-small-cheese")
    assert "5 kg" in text_of(small)
    long = [one.id for one in loss.loss_warnings(20, 20, 30)]
    assert long == ["reckoning.loss-in-other-room", "reckoning.loss-after-long"]
    with refused(ReckoningError, "reckoning.loss-series-missing"):
        loss.weight_loss_pct(10, 10, 10, [])


@given(st.floats(50, 500), st.floats(40, 300), st.integers(1, 6), st.floats(0, 40))
def test_cloth_goes_with_layers_and_covers_the_wheel(diameter, height, layers, overlap):
    cut = bandage.pieces(diameter, height, layers, overlap)
    area = bandage.cloth_area_cm2(cut)
    one = bandage.cloth_area_cm2(bandage.pieces(diameter, height, 1, overlap))
    surface = math.pi * diameter * (diameter / 2 + height) / 100
    assert area == pytest.approx(layers * one)
    assert one >= surface * (1 - 1e-12)
    assert sum(piece.count for piece in cut) == 3 * layers


def test_cloth_that_cannot_be_is_refused():
    with refused(ReckoningError, "reckoning.overlap-above-height"):
        bandage.pieces(165, 90, 2, 100)
    layers = Message("reckoning.number-of-layers")
    with refused(ReckoningError, "reckoning.not-within", what=layers, low=1, found=0.0):
        bandage.pieces(165, 90, 0)


TWO = {
    "density": (lambda p, t: brine.brine_density_kg_m3(p, t, BRINE), [18.0, 22.0], [12.0, 20.0]),
    "strength": (lambda d, t: brine.brine_pct_from_density(d, t, BRINE), [1100, 1150], [12, 20]),
    "baume": (brine.baume, [1100.0, 1150.0], [12.0, 20.0]),
    "uptake": (lambda h, d: brine.uptake_share(2.3e-10, h, d, 80), [0.0, 6.0], [90.0, 200.0]),
    "salt": (lambda p, s: brine.salt_after_brine_pct(45, p, s), [18.0, 22.0], [0.1, 0.4]),
    "loss": (lambda kg, c: loss.weight_loss_pct(kg, c, 10, SERIES), [6.0, 20.0], [5.0, 12.0]),
    "uncertainty": (lambda d, w: air.rh_uncertainty_pct(d, w, 0.2), [12.0, 14.0], [11.0, 11.5]),
    "fits": (mould.fits, [90.0, 120.0], [165.0, 165.0]),
}


@pytest.mark.parametrize("name", sorted(TWO))
def test_an_array_gives_each_its_own(name):
    of, first, second = TWO[name]
    a, b = np.array(first), np.array(second)
    singles = [of(x, y) for x, y in zip(first, second, strict=True)]
    assert singles[0] != singles[1]
    assert isinstance(singles[0], float | bool)
    assert of(a, b) == pytest.approx(np.array(singles))
    table_of = of(a[:, np.newaxis], b)
    assert table_of.shape == (2, 2)
    assert np.diagonal(table_of) == pytest.approx(np.array(singles))


def test_warnings_of_an_array_hold_for_any_of_it():
    assert loss.loss_warnings(np.array([10.0, 1.0]), 8, 10) == loss.loss_warnings(1, 8, 10)
    assert mould.mould_warnings(np.array([80.0, 5.0]), 160) == mould.mould_warnings(5, 160)
    assert air.air_warnings(np.array([80.0, 95.0]), 2) == air.air_warnings(95, 2)
    assert press.press_warnings(50, np.array([5, 30])) == press.press_warnings(50, 30)


def test_a_loss_is_told_up_to_the_water_of_the_series_and_no_further():
    """Cheddar of about 37 % moisture (University of Guelph): more than its water is never lost."""
    weeks = 10 * loss.MOST_LOSS_PCT / float(loss.weight_loss_pct(6, 15, 10, SERIES))
    near = loss.weight_loss_pct(6, 15, weeks * 0.999, SERIES)
    assert near == pytest.approx(37, rel=2e-3)
    with refused(ReckoningError, "reckoning.loss-beyond-water", most_pct=37.0):
        loss.weight_loss_pct(6, 15, np.array([10, weeks * 1.001]), SERIES)
