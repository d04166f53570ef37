"""At a published limit nothing is said, a hair beyond it something; where the limits are from."""

from __future__ import annotations

import math

import numpy as np
import pytest

from journal.reckoning import (
    ReckoningError,
    air,
    brine,
    brine_recipe,
    brining,
    composition,
    culture_units,
    doses,
    meter,
    milk_mix,
    milk_yield,
    mould,
    pasteurise,
    press,
    ramp,
    ripening,
    salt,
)
from journal.records import brines
from tests.refusals import refused

BEYOND = [
    # A pan without a lid boils a little above 100 °C (common practice, no source).
    (lambda x: pasteurise.pasteurise_warnings([x], [None]), 101.0, "hotter-than-open-pan"),
    # Salt added to the curd: feta to 5 %, blue to 10 % (common practice, no source).
    (lambda x: salt.salt_warnings(x, 60), 5.0, "salt-above-feta"),
    (lambda x: salt.salt_warnings(x, 60), 10.0, "salt-above-blue"),
    # Thom & Fisk 1918, The Book of Cheese, table XII: 9.55 % of the fat at most went with the whey.
    (milk_yield.fat_lost_warnings, 9.55, "fat-in-whey"),
    # A press of twenty times the cheese's weight (common practice, no source).
    (lambda x: press.press_warnings(10, x), 20.0, "load-above-rule"),
    # Buffers from 5 to 50 °C are what an electrode's own compensation is for (from memory).
    (lambda x: meter.meter_warnings([4, 7], x), 50.0, "buffers-cold-or-warm"),
    # Brined as long as was published for such a weight.
    (lambda x: brining.brining_warnings(x, (8.0, 12.0)), 12.0, "brining-unlike-published"),
    (lambda x: brining.brining_warnings(-x, (-12.0, -8.0)), 12.0, "brining-unlike-published"),
]
# What no cheese, packet or bulb can be: the last amount that is taken.
MOST = [
    (lambda x: brine.salt_after_brine_pct(42, 20, x), 1.0),
    (lambda x: mould.moulds_for_weight(x, 2.0), 20_000.0),
    (lambda x: mould.wheel_kg(10.0, x), 60.0),
    (lambda x: brine_recipe.vinegar_ml(10.0, 5.2, 100.0, x), 30.0),
    (lambda x: air.rh_uncertainty_pct(12, 11, x), 10.0),
    (lambda x: milk_mix.part_of_powder(x, 20.0), 60.0),
    (lambda x: culture_units.packets(10.0, 50.0, x), 100.0),
]


@pytest.mark.parametrize(("warns", "limit", "of"), BEYOND)
def test_a_limit_itself_is_still_within(warns, limit, of):
    assert f"reckoning.{of}" not in {one.id for one in warns(limit)}
    assert f"reckoning.{of}" in {one.id for one in warns(math.nextafter(limit, math.inf))}


def test_late_gas_is_warned_of_from_ten_degrees():
    """J. Dairy Sci. 98, 7460, 2015, abstract: found in cheddar at 10 °C."""
    warned = ["reckoning.room-of-late-gas"]
    assert [one.id for one in ripening.ripening_warnings([10.0])] == warned
    assert not ripening.ripening_warnings([9.99])


def test_what_cannot_be_is_refused_at_its_edge():
    with refused(ReckoningError, "reckoning.more-whey-than-vat"):
        ramp.wash_temp_c(10.0, 10.0, 32.0, 2.0, 40.0)
    assert ramp.wash_temp_c(10.0, 0.0, 32.0, 10.0, 40.0) == 36.0
    with refused(ReckoningError, "reckoning.not-above"):
        culture_units.bulk_pct_by_cells(1.0, 0.0, 11.0)
    assert culture_units.bulk_pct_by_cells(1.0, 0.5, 11.0) == pytest.approx(20)
    assert doses.bulk_starter_kg(10.0, 0.75) == pytest.approx(0.075)  # gouda's share
    assert brine.salt_after_brine_pct(42, 20, 1) == pytest.approx(42 * 0.25)


def test_the_zeros_of_the_bessel_function_are_those_of_scipy():
    """scipy.special.jn_zeros, which iterates them, against three of a table and a series."""
    from scipy.special import jn_zeros

    found = brine._roots()
    np.testing.assert_allclose(found, jn_zeros(0, len(found)), rtol=0, atol=1e-7)


@pytest.mark.parametrize("temp_c", [0.0, 25.0, 60.0])
def test_the_slope_of_an_electrode_by_the_constants_of_si(temp_c):
    """2.302585 R T / F with CODATA's exact R and F, as scipy.constants has them."""
    from scipy import constants

    found = float(meter.nernst_mv_per_ph(temp_c))
    kelvin = constants.convert_temperature(temp_c, "C", "K")
    expected = math.log(10) * constants.R * kelvin / constants.value("Faraday constant") * 1000
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("asks", "most"), MOST)
def test_the_most_is_taken_and_a_hair_more_refused(asks, most):
    assert asks(most) is not None
    with pytest.raises(ReckoningError):
        asks(most * (1 + 1e-6))


def test_soft_begins_above_67():
    """Codex A-6: MNFS over 67 % is soft, 61 to 69 % semi-soft."""
    assert "soft" not in {name for name, _ in composition.firmness(67.0)}
    assert "soft" in {name for name, _ in composition.firmness(67.001)}


def test_a_brine_past_the_last_row_goes_on_as_the_table_does():
    """Poradnik fizykochemiczny 1974: from 22 to 26 % at 20 °C it rises by 8.3 kg/m³ a %."""
    rises = (1197.2 - 1164.0) / (26 - 22)
    last, full = (
        float(brine.brine_density_kg_m3(pct, 20.0, brines.brine_table()))
        for pct in (26.0, brine.SATURATED_PCT)
    )
    assert last == pytest.approx(1197.2, abs=0.05)
    assert (full - last) / (brine.SATURATED_PCT - 26) == pytest.approx(rises, rel=0.05)


def test_a_humidity_is_off_by_what_each_bulb_makes_of_it():
    """First order: the two slopes of the humidity itself, by differences a hundred times wider."""
    by_dry, by_wet = (
        (air.rh_from_wet_bulb_pct(14 + a, 11 + b) - air.rh_from_wet_bulb_pct(14 - a, 11 - b)) / 0.02
        for a, b in ((0.01, 0), (0, 0.01))
    )
    off = air.rh_uncertainty_pct(14, 11, 0.2)
    assert off == pytest.approx(0.2 * math.hypot(by_dry, by_wet), rel=1e-4)


def test_what_a_kitchen_scale_tells_agrees_with_itself():
    """The shares of a cheese by scale, and the same by their own definitions from its parts."""
    found = composition.kitchen_composition(10.3, 3.6, 2.5, 1.05, 0.02)
    moisture, fat, salted = found.moisture_pct, found.fat_pct, found.salt_pct
    assert found.mnfs_pct == pytest.approx(composition.moisture_in_non_fat_substance(moisture, fat))
    assert found.fdm_pct == pytest.approx(composition.fat_in_dry_matter(moisture, fat))
    assert found.s_m_pct == pytest.approx(composition.salt_in_moisture(salted, moisture))
    assert found.water_phase_salt_pct == pytest.approx(
        composition.salt_in_water_phase(salted, moisture)
    )
