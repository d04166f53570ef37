"""Press, mould, salt, brine, water activity, air and weight loss against published values.

Sources, short: Guelph is A. R. Hill & M. A. Ferrer, Cheese Making Technology, University of Guelph;
T&F is C. Thom & W. W. Fisk, The Book of Cheese, 1918; ASHRAE is the Handbook, Fundamentals (2017),
chapter 1, its values as the tests of PsychroLib 2.5 quote them with their tolerances.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from journal.message import Message
from journal.quantities.typed import parse
from journal.reckoning import ReckoningError, air, brine, loss, mould, press, salt, water_activity
from journal.records.tables import table
from journal.topics.asked import Inputs
from journal.topics.wheel import read_brine
from journal.wording import text_of
from tests.refusals import refused

DATA = Path(__file__).parent / "data"
LB_KG = 0.45359237


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a data file."""
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.fixture
def densities() -> brine.BrineTable:
    """The program's table of brine."""
    return read_brine(Inputs("", {}, {"brine_density": table("brine_density")}))


@pytest.mark.parametrize(("psi", "kpa"), [(14, 96.5), (28, 193.1), (20, 137.9)])
def test_factory_pressures(psi, kpa):
    """Guelph: gouda 14 and 28 psi; a textbook after Lawrence 2004: cheddar about 20 psi."""
    assert press.kpa_from_psi(psi) == pytest.approx(kpa, abs=0.05)


@pytest.mark.parametrize(
    ("psi", "width", "newton", "kgf"),
    [(14, 165, 2064, 210.5), (20, 150, 2437, 248.5), (14, 100, 758, 77.3)],
)
def test_load_on_a_mould(psi, width, newton, kgf):
    """Exact arithmetic on the published pressures, 0.1 %."""
    load = press.load_kg(press.kpa_from_psi(psi), press.round_area_cm2(width))
    assert load == pytest.approx(kgf, rel=1e-3)
    assert load * press.GRAVITY == pytest.approx(newton, rel=1e-3)


@pytest.mark.parametrize(("times", "psi", "kpa"), [(10, 1.53, 10.5), (20, 3.06, 21.1)])
def test_the_old_rule_by_weight(times, psi, kpa):
    """T&F: gouda under 10 to 20 times its weight, a 12 lb cheese in a mould 10 in wide."""
    area = press.round_area_cm2(254)
    found = press.pressure_kpa(times * 12 * LB_KG, area)
    assert press.psi(found) == pytest.approx(psi, abs=5e-3)
    assert found == pytest.approx(kpa, abs=0.05)


def test_factory_pressure_is_about_ten_times_the_old_rule():
    """Guelph 14 to 28 psi against T&F's 1.53 to 3.06."""
    old = press.pressure_kpa(10 * 12 * LB_KG, press.round_area_cm2(254))
    assert press.kpa_from_psi(14) / old == pytest.approx(10, rel=0.15)


def test_the_recipes_loads_are_rounded():
    """From the trade (common practice, no source): 24 lb is 11 kg, 50 lb is 22 kg, within 4 %."""
    assert parse("24 lb", "mass").stored == pytest.approx(11, rel=0.04)
    assert parse("50 lb", "mass").stored == pytest.approx(22, rel=0.04)


def test_the_curd_of_ten_litres_fits_a_165_mm_mould():
    """From the trade (common practice, no source), in a mould no higher than it is wide."""
    wheel = mould.wheel_kg(10 * 1.03, 10)
    height = mould.wheel_height_mm(wheel, press.round_area_cm2(165))
    assert mould.fits(height, 165)
    assert not mould.mould_warnings(height, 165)


def test_a_spring_press_wants_tightening_about_every_six_hours():
    """From the trade (common practice, no source): about 6 h, to the hour."""
    assert press.tighten_after_h() == pytest.approx(6, abs=0.5)


def test_ten_litres_to_a_kilogram():
    """Guelph, rule of thumb: 10 L of milk to a kilogram of cheese (one figure)."""
    assert mould.wheel_kg(10.3, 10) == pytest.approx(1, abs=0.05)


@pytest.mark.parametrize(
    ("width_in", "height_in", "weight_lb"),
    [
        ((6, 7), (7, 8), (9, 11)),
        ((12, 14), (3.5, 4.5), (18, 24)),
        ((14, 15.5), (4, 6), (30, 40)),
        ((14, 16), (12, 15), (75, 90)),
    ],
)
def test_hoops_hold_their_weights(width_in, height_in, weight_lb):
    """T&F table XIII: the height by the middle figures lies within the printed heights, ± 10 %."""
    area = press.round_area_cm2(25.4 * float(np.mean(width_in)))
    height = mould.wheel_height_mm(LB_KG * float(np.mean(weight_lb)), area) / 25.4
    assert 0.9 * height_in[0] <= height <= 1.1 * height_in[1]


@pytest.mark.parametrize(
    ("curd_kg", "target", "kept", "g"),
    [
        (1.0, 5.0, 100, 50),  # Guelph: feta, 50 g for a kg of cheese
        (1.0, 4.0, 40, 100),  # T&F, Guelph: Roquefort type, 10 % applied, about 4 % kept
        (45.36, 1.5, 100, 680.4),  # T&F: cheddar, 1.5 lb to the curd (100 lb) of 1000 lb of milk
        (45.36, 2.5, 100, 1134),  # the same, 2.5 lb
    ],
)
def test_dry_salt(curd_kg, target, kept, g):
    assert salt.salt_for_curd_g(curd_kg, target, kept) == pytest.approx(g, rel=1e-3)


@pytest.mark.parametrize("row", rows("brine_20C"), ids=lambda r: f"{r['nacl_pct_w_w']} %")
def test_brine_at_twenty_degrees(row, densities):
    """Poradnik fizykochemiczny (WNT 1974), 20 °C as the CRC Handbook: 0.1 kg/m³; the rest follows.

    The column headed 15 °C is left out: it agrees with 10 °C (see the next test).
    """
    pct = float(row["nacl_pct_w_w"])
    dense = brine.brine_density_kg_m3(pct, 20, densities)
    assert dense == pytest.approx(float(row["density_20C_kg_m3"]), abs=0.1)
    assert brine.baume(dense, 20) == pytest.approx(float(row["baume_145_at_20C"]), abs=0.02)
    assert brine.salometer_deg(pct) == pytest.approx(float(row["salometer_deg"]), abs=0.05)
    assert brine.g_per_kg_water(pct) == pytest.approx(float(row["salt_g_per_kg_water"]), abs=0.05)


# Specific volume of brine in ml/g by mol/kg at 10, 20 and 30 °C: Rogers & Pitzer, J. Phys. Chem.
# Ref. Data 11, 15 (1982), as tabulated in the CRC Handbook.
ROGERS_PITZER = [
    (1.0, 0.961101, 0.963544, 0.966694),
    (2.0, 0.927905, 0.930909, 0.934382),
    (3.0, 0.899262, 0.902565, 0.906194),
    (4.0, 0.874201, 0.877643, 0.881334),
    (5.0, 0.851958, 0.855469, 0.859185),
]


@pytest.mark.parametrize("row", ROGERS_PITZER, ids=lambda r: f"{r[0]:g} mol/kg")
def test_brine_at_other_temperatures(row, densities):
    """Rogers & Pitzer 1982: within 0.5 kg/m³, what a slope by the degree can give."""
    pct = brine.pct_from_g_per_kg_water(row[0] * water_activity.NACL_G_PER_MOL)
    for temp, volume in zip((10, 20, 30), row[1:], strict=True):
        found = brine.brine_density_kg_m3(pct, temp, densities)
        assert found == pytest.approx(1000 / volume, abs=0.5)


def test_the_column_headed_15_degrees_belongs_to_ten():
    """Why that column is left out: by Rogers & Pitzer 1982 it is the density at 10 °C."""
    table_rows = rows("brine_20C")
    pct = [float(row["nacl_pct_w_w"]) for row in table_rows]
    printed = [float(row["density_15C_kg_m3"]) for row in table_rows]
    for molality, at_ten, at_twenty, _ in ROGERS_PITZER[1:]:
        strength = brine.pct_from_g_per_kg_water(molality * water_activity.NACL_G_PER_MOL)
        column = float(np.interp(strength, pct, printed))
        at_fifteen = (1000 / at_ten + 1000 / at_twenty) / 2
        assert abs(column - 1000 / at_ten) < 0.4
        assert abs(column - at_fifteen) > 1


@pytest.mark.parametrize(("temp", "kg_m3"), [(15, 999.10), (20, 998.21), (30, 995.65)])
def test_water(temp, kg_m3):
    """CRC Handbook, density of water, half of the last digit kept."""
    assert brine.water_density_kg_m3(temp) == pytest.approx(kg_m3, abs=0.01)


def test_saturation_and_what_it_is_not():
    """Salt handbook: saturated at 26.395 % (60 °F), 70 °S is 18.48 %.

    A page that calls saturated brine “35 % w/w” means 36 g in 100 g of water: a misprint, refused.
    """
    assert brine.pct_from_salometer(70) == pytest.approx(18.48, abs=5e-3)
    assert brine.pct_from_g_per_kg_water(360) == pytest.approx(26.4, abs=0.1)
    strength = Message("reckoning.brine-strength")
    with refused(ReckoningError, "reckoning.not-within", what=strength, found=35.0):
        brine.salometer_deg(35)
    assert "saturated" in text_of(strength)


def test_two_hundred_grams_to_a_litre_of_water_are_no_twenty_per_cent():
    """Exact: 200 g to a kg of water is 16.7 % in the solution."""
    assert brine.pct_from_g_per_kg_water(200) == pytest.approx(16.7, abs=0.05)


def test_diffusion_of_romano():
    """Guinee & Fox 1983: 0.23 cm² a day is 2.66e-10 m²/s."""
    assert brine.m2_s_from_cm2_day(0.23) * 1e10 == pytest.approx(2.66, abs=5e-3)


@pytest.mark.parametrize(("days", "cm"), [(1, 0.48), (4, 0.96), (9, 1.44)])
def test_salt_goes_in_with_the_root_of_time(days, cm):
    """√(D t) at 0.23 cm² a day (Guinee & Fox 1983)."""
    found = brine.diffusion_depth_mm(brine.m2_s_from_cm2_day(0.23), 24 * days)
    assert found / 10 == pytest.approx(cm, abs=5e-3)


def test_the_published_coefficients():
    """Dairy Sci. Technol. 90 (2010), table II: every figure of ours stands in the printed row."""
    columns = table("salt_diffusion")
    for i, row in enumerate(rows("salt_diffusion")):
        for name in ("low_1e10_m2_s", "high_1e10_m2_s"):
            assert f"{float(columns[name][i]):g}" in row["D_eff_1e-10_m2_per_s"]
        assert columns["dry_matter_g_per_kg"][i] == row["dry_matter_g_per_kg"]


def test_a_slab_takes_up_salt_as_crank_has_it():
    """J. Crank, The Mathematics of Diffusion: half the uptake of a slab at D t / l² = 0.197."""
    half = 40.0
    hours = 0.197 * half**2 * 1e-6 / 2.3e-10 / 3600
    share = brine.uptake_share(2.3e-10, hours, 1e5, 2 * half)
    assert share == pytest.approx(0.5, abs=0.005)


@pytest.mark.parametrize(
    ("salt_pct", "moisture", "ph", "by_salt", "by_both"),
    [(3.5, 55.2, 4.4, 0.9642, 0.9620), (1.0, 54.1, 5.3, 0.9896, 0.9855)],
    ids=["feta", "mozzarella"],
)
def test_water_activity(salt_pct, moisture, ph, by_salt, by_both):
    """Marcos et al. 1981 and J. Dairy Res. 1990 on the compositions of Guelph table 1.2."""
    assert water_activity.marcos_aw(salt_pct, moisture) == pytest.approx(by_salt, abs=2e-4)
    assert water_activity.unripe_aw(salt_pct, moisture, ph) == pytest.approx(by_both, abs=2e-4)
    assert not water_activity.marcos_warnings(moisture)


def test_water_activity_of_cheddar_is_out_of_range():
    """Marcos et al. 1981: for cheese of more than about 40 % moisture."""
    assert water_activity.marcos_warnings(36.7)


@pytest.mark.parametrize(
    ("temp", "pa"),
    [(-20, 103.24), (-5, 401.74), (5, 872.6), (25, 3169.7), (50, 12351.3), (100, 101418.0)],
)
def test_saturated_vapour(temp, pa):
    """ASHRAE table 3, 300 parts in a million."""
    assert air.saturation_pa(temp) == pytest.approx(pa, rel=3e-4)


@pytest.mark.parametrize(
    ("temp", "ratio", "tolerance"),
    [(-5, 0.0024863, 5e-3), (5, 0.005425, 5e-3), (25, 0.020173, 5e-3), (50, 0.086863, 1e-2)],
)
def test_saturated_humidity_ratio(temp, ratio, tolerance):
    """ASHRAE table 2; the formulas are known to differ by up to 2 % from that table."""
    assert air.saturated_humidity_ratio(temp) == pytest.approx(ratio, rel=tolerance)


@pytest.mark.parametrize(
    ("metres", "pa"), [(-500, 107478), (500, 95461), (1000, 89875), (4000, 61640)]
)
def test_pressure_by_altitude(metres, pa):
    """ASHRAE table 1, to the pascal."""
    assert air.standard_pressure_kpa(metres) * 1000 == pytest.approx(pa, abs=1)


def test_a_wet_bulb_below_sea_level_pressure():
    """PsychroLib's tests: 7 °C, 61 %, 100 kPa has a wet bulb of 3.92667 °C, 0.1 %."""
    assert air.wet_bulb_c(7, 61, 100) == pytest.approx(3.92667, rel=1e-3)


def test_the_first_example_of_the_handbook():
    """ASHRAE example 1: 40 °C with a wet bulb of 20 °C is 14 %, dew point 7 °C."""
    rh = air.rh_from_wet_bulb_pct(40, 20)
    assert rh == pytest.approx(14, abs=1)
    assert air.dew_point_c(40, rh) == pytest.approx(7, abs=0.5)


# The one printed row left out, (dry bulb, depression): printed 25 %, calculated 23.37 %, as the
# ASHRAE column beside it has it. The print lies above both formulas in every row of bulbs 6
# to 8 °C apart, by 0.7 to 1.5 points; this row alone passes the tolerance. The print does not say
# how it was made, so why it lies higher is not known.
LEFT_OUT = {(13.0, 8.0): 1.63}


def bulbs(row: dict[str, str]) -> tuple[float, float]:
    """Dry bulb and depression of a row of the psychrometer's table."""
    return float(row["dry_bulb_C"]), float(row["depression_C"])


def test_the_printed_row_left_out_is_off_by_what_is_said():
    """Delta/FOSS Weather and Water, table 2.3: 13 °C less 8 is printed as 25 %."""
    off = {bulbs(r): r for r in rows("psychrometric") if bulbs(r) in LEFT_OUT}
    assert set(off) == set(LEFT_OUT)
    for (dry, depression), row in off.items():
        found = air.rh_from_wet_bulb_pct(dry, dry - depression)
        printed = float(row["rh_published_pct"])
        assert printed - found == pytest.approx(LEFT_OUT[dry, depression], abs=0.01)


@pytest.mark.parametrize(
    "row",
    [r for r in rows("psychrometric") if r["rh_published_pct"] and bulbs(r) not in LEFT_OUT],
    ids=lambda r: f"{r['dry_bulb_C']} less {r['depression_C']}",
)
def test_the_printed_table_of_the_psychrometer(row):
    """Delta/FOSS Weather and Water, table 2.3 (whole %): 1.5 points."""
    dry, depression = bulbs(row)
    found = air.rh_from_wet_bulb_pct(dry, dry - depression)
    assert found == pytest.approx(float(row["rh_published_pct"]), abs=1.5)


def test_the_table_computed_with_another_code():
    """PsychroLib 2.5.0 after ASHRAE 2017 at 101,325 Pa: every row within 0.1 points."""
    listed = rows("psychrometric")
    dry, depression, rh = (
        np.array([float(row[name]) for row in listed])
        for name in ("dry_bulb_C", "depression_C", "rh_ashrae_101325Pa_pct")
    )
    assert len(listed) > 40
    assert air.rh_from_wet_bulb_pct(dry, dry - depression) == pytest.approx(rh, abs=0.1)


@pytest.mark.parametrize(
    ("dry", "rh", "wet", "dew"),
    [(12, 85, 10.64, 9.56), (12, 95, 11.55, 11.23), (10, 90, 9.16, 8.44)],
)
def test_cellar_air_computed_with_another_code(dry, rh, wet, dew):
    """PsychroLib 2.5.0 after ASHRAE 2017, two decimals."""
    assert air.wet_bulb_c(dry, rh) == pytest.approx(wet, abs=6e-3)
    assert air.dew_point_c(dry, rh) == pytest.approx(dew, abs=6e-3)


@pytest.mark.parametrize(
    "row", rows("ripening_weight_loss"), ids=lambda r: f"{r['cheese_lb']} lb at {r['room_F']} F"
)
def test_weight_lost_in_twenty_weeks(row):
    """T&F table XIX, cheddar, one decimal printed."""
    columns = table("weight_loss")
    names = ("cheese_kg", "room_c", "weeks", "loss_pct")
    series = [
        loss.Loss(*map(float, line)) for line in zip(*(columns[n] for n in names), strict=True)
    ]
    kg, room = float(row["cheese_lb"]) * LB_KG, (float(row["room_F"]) - 32) / 1.8
    found = loss.weight_loss_pct(kg, room, float(row["weeks"]), series)
    assert found == pytest.approx(float(row["loss_pct"]), abs=0.05)
    assert not loss.loss_warnings(kg, room, 20)


def test_weight_loss_is_not_water_loss():
    """T&F: camembert ripens from 57 to 48 % water: with the solids kept 17.3 % of its weight."""
    assert loss.loss_from_moisture_pct(57, 48) == pytest.approx(17.3, abs=0.05)
