"""Doses, set, ramp, heat, acidity and the meter against published values.

Sources, short: Guelph is A. R. Hill & M. A. Ferrer, Cheese Making Technology, University of Guelph;
T&F is C. Thom & W. W. Fisk, The Book of Cheese, 1918.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from journal.quantities.typed import parse
from journal.reckoning import acidity, doses, meter, pasteurise, ramp, setting
from journal.records.tables import table
from journal.topics.asked import Inputs
from journal.topics.heat import PRODUCTS, read_pairs
from journal.wording.heat import pair_words

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a data file."""
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def pairs(product: str = "milk") -> list[pasteurise.Pair]:
    """The program's published pairs."""
    return read_pairs(Inputs("", {}, {"pasteurisation": table("pasteurisation")}), product)


@pytest.mark.parametrize(("imcu_per_ml", "ml"), [(200, 2.575), (250, 2.06)])
def test_rennet_by_strength(imcu_per_ml, ml):
    """Guelph chapter 28: 50 IMCU for a kg of milk; 10 L of 1.030 kg/L."""
    assert doses.rennet_ml(10.30, imcu_per_ml) == pytest.approx(ml, abs=1e-9)


def test_the_two_rennet_rules_of_the_handbook_agree():
    """Guelph: 200 ml of single strength for 1000 kg; 50 IMCU/kg (chapter 28)."""
    assert doses.rennet_ml(1000) == pytest.approx(200, abs=1e-9)


@pytest.mark.parametrize("ml", [190, 120, 250])
def test_the_make_sheets_lie_within_the_usual_doses(ml):
    """Guelph make sheets: cheddar, gouda, romano and brick 190, feta 120, camembert 250 ml/t."""
    assert not doses.rennet_warnings(ml * doses.SINGLE_STRENGTH_IMCU_PER_ML / 1000)


def test_the_old_american_dose_brackets_the_new_one():
    """T&F, cheddar: 2.5 to 4 US fluid ounces for 1000 lb are 163 to 261 ml for 1000 kg."""
    lb = parse("1000 lb", "mass").stored
    low, high = (parse(f"{oz} fl oz", "volume_ml").stored * 1000 / lb for oz in (2.5, 4))
    assert low == pytest.approx(163, abs=0.5)
    assert high == pytest.approx(261, abs=0.5)
    assert low < doses.rennet_ml(1000, dose_imcu_per_kg=190 * 250 / 1000) < high


def test_legal_most_of_calcium_chloride():
    """21 CFR 133.148(b): 0.02 % anhydrous; Codex 278: 200 mg/kg. As dihydrate 0.0265 %."""
    assert doses.calcium_chloride_pct_of_milk(0.2, 1) == pytest.approx(0.02, abs=1e-12)
    assert not doses.calcium_warnings(doses.calcium_chloride_pct_of_milk(0.2, 1))
    assert doses.calcium_warnings(0.0201)
    assert doses.dihydrate_g(0.02) == pytest.approx(0.0265, abs=5e-5)


def test_the_usual_calcium_chloride():
    """Guelph chapter 28: 20 ml of a 30 % solution for 100 kg is about 0.006 % of the milk."""
    g = doses.calcium_chloride_g(20, 30)
    assert doses.calcium_chloride_pct_of_milk(g, 100) == pytest.approx(0.006, abs=5e-4)


@pytest.mark.parametrize(
    ("floc", "multiplier", "cut"),
    [
        (12, 2.5, 30),  # T&F par. 196: cheddar
        (15, 3, 45),  # Guelph: camembert, first set about 15 min, cut at 45
        (17.5, 2, 35),  # Guelph: coagulation is about half of the setting time of 30 to 40 min
    ],
)
def test_the_cut_by_flocculation(floc, multiplier, cut):
    assert setting.cut_minutes(floc, multiplier) == pytest.approx(cut, abs=1e-9)


@pytest.mark.parametrize("row", rows("rennet_temperature"), ids=lambda r: f"{r['temp_F']} F")
def test_rennet_by_temperature(row):
    """T&F par. 94, % of the most, good to 5 points; the program's table is the same."""
    columns = table("rennet_temperature")
    temps, pct = (np.asarray(columns[n], dtype=float) for n in ("temp_c", "activity_pct"))
    found = setting.rennet_activity_pct((float(row["temp_F"]) - 32) / 1.8, temps, pct)
    assert found == pytest.approx(float(row["relative_activity_pct"]), abs=0.1)


def test_rennet_is_no_plain_q10():
    """T&F par. 94: three and a half times from 70 to 86 °F, half again at 120 °F."""
    columns = table("rennet_temperature")
    temps, pct = (np.asarray(columns[n], dtype=float) for n in ("temp_c", "activity_pct"))
    at = setting.rennet_activity_pct(np.array([21.11, 30.0, 40.56, 48.89]), temps, pct)
    assert at[1] / at[0] == pytest.approx(3.5, rel=0.01)
    assert at[2] > at[1]
    assert at[2] > at[3]


def test_the_ramp_of_the_cheddar_procedure():
    """Guelph, cheddar: 30 to 39 °C in 30 min, at most 1 °C in 5 min at first (“390C” is a
    delay)."""
    parts = ramp.slopes(30, 39, 30, 0.2, 15)
    assert ramp.mean_slope(30, 39, 30) == pytest.approx(0.30, abs=5e-3)
    assert [p.to_c for p in parts] == pytest.approx([33, 39], abs=1e-9)
    assert [p.c_per_min for p in parts] == pytest.approx([0.2, 0.4], abs=1e-9)
    assert ramp.limit_breaks(parts) == ()
    assert ramp.limit_breaks(ramp.slopes(30, 39, 30))


@pytest.mark.parametrize(
    ("start", "end", "minutes", "printed"),
    [(32, 46, 50, 0.28), (31.5, 40, 35, 0.24), (33, 55, 35, 0.63)],
    ids=["romano, Guelph", "gouda, T&F", "swiss, T&F"],
)
def test_mean_slopes_of_other_procedures(start, end, minutes, printed):
    """Guelph (romano 0.28); T&F (gouda 0.21–0.30, swiss about 0.6): middles of the ranges."""
    assert ramp.mean_slope(start, end, minutes) == pytest.approx(printed, abs=0.01)


@pytest.mark.parametrize("water", [20, 22.5, 25])
def test_the_wash_of_a_gouda(water):
    """Guelph: a third of the whey off, 20 to 25 % of water at 60 °C, 30–31 to 36–38 °C.

    The balance has no room to lose heat to: 2 °C are allowed for that.
    """
    found = ramp.wash_temp_c(100, 100 / 3, 31, water, 60)
    assert 36 - 2 <= found <= 38 + 2
    assert found == pytest.approx({20: 37.7, 22.5: 38.3, 25: 38.9}[water], abs=0.06)


@pytest.mark.parametrize(
    "pair", [p for product in PRODUCTS for p in pairs(product)], ids=pair_words
)
def test_each_published_pair_is_met_whole_and_not_a_little_short(pair):
    """PMO table (MCL 288.697, 21 CFR 131.3): only whole pairs count, the °F figure is legal."""
    own = [pair]
    whole = [0.0, pair.hold_s / 60]
    at = (pair.temp_f - 32) / 1.8
    assert pasteurise.pairs_met(whole, [at, at], own) == own
    assert pasteurise.pairs_met([0.0, 0.97 * pair.hold_s / 60], [at, at], own) == []
    assert pasteurise.pairs_met(whole, [at - 0.05, at - 0.05], own) == []


def test_the_pairs_are_as_published():
    """The same table: °F, seconds, and the printed °C as the degree that is hot enough."""
    columns = table("pasteurisation")
    published = rows("pasteurisation")
    assert columns["temp_f"] == [row["temp_F"] for row in published]
    assert [float(s) for s in columns["hold_s"]] == [float(row["hold_s"]) for row in published]
    for f, row in zip(columns["temp_f"], published, strict=True):
        assert math.ceil((float(f) - 32) / 1.8 - 1e-6) == int(row["temp_C"])


def test_the_table_is_no_line_of_one_z():
    """What z of 4.33 °C would allow between two pairs (68 °C for 126 s) is no pair."""
    assert pasteurise.pairs_met([0, 126 / 60], [68, 68], pairs()) == []


def test_log_reduction_of_listeria_in_the_short_hold():
    """Bradshaw et al. 1985: D 0.9 s at 71.7 °C; 15 s are 16.7 tenfold falls."""
    assert pasteurise.log_reduction([0, 0.25], [71.7, 71.7]) == pytest.approx(16.7, abs=0.05)


def test_log_reduction_of_listeria_in_the_long_hold():
    """Bradshaw et al. 1985, z 6.3 °C: D 23.3 s at 62.8 °C, 30 min are 77 tenfold falls."""
    assert pasteurise.log_reduction([0, 30], [62.8, 62.8]) == pytest.approx(77, abs=0.5)


def test_a_printed_d_value_far_from_the_line():
    """The same paper prints D 1683.7 s at 52.2 °C; single D values scatter by half."""
    d = 1 / (pasteurise.log_reduction([0, 1 / 60], [52.2, 52.2]))
    assert d == pytest.approx(1683.7, rel=0.5)


def test_log_reduction_of_coxiella_in_the_short_hold():
    """IAFP 2016 abstract: D 1.99 s at 71.7 °C; 15 s are 7.5 (the Codex asks for 5)."""
    found = pasteurise.log_reduction([0, 0.25], [71.7, 71.7], d_s=1.99)
    assert found == pytest.approx(7.5, abs=0.05)


@pytest.mark.parametrize(
    ("lactic", "dornic", "sh", "th"),
    [(0.16, 16, 64 / 9, 160 / 9), (0.1575, 15.75, 7, 17.5), (0.0225, 2.25, 1, 2.5)],
)
def test_units_of_acidity(lactic, dornic, sh, th):
    """Dairy methods: 1 °SH = 2.5 °Th = 2.25 °D = 0.0225 % lactic, exact.

    One printed translation gives 1 °SH as 0.255 g/L (true 2.25 g/L): a misprint, not used.
    """
    assert acidity.dornic(lactic) == pytest.approx(dornic, abs=1e-9)
    assert acidity.soxhlet_henkel(lactic) == pytest.approx(sh, abs=1e-9)
    assert acidity.thorner(lactic) == pytest.approx(th, abs=1e-9)


@pytest.mark.parametrize(
    ("ml", "normality", "sample", "pct"), [(1.8, 1 / 9, 10, 0.18), (20, 0.1, 100, 0.18)]
)
def test_titrations(ml, normality, sample, pct):
    """Dairy methods: 10 ml of milk and 1.8 ml of N/9 are 18 °D; 20 ml of 0.1 N are 20 °Th."""
    found = acidity.lactic_from_titration(ml, normality, sample)
    assert found == pytest.approx(pct, abs=1e-9)


@pytest.mark.parametrize(("sh", "dornic"), [(6.0, 13.5), (7.4, 16.65)])
def test_milk_fit_for_cheese(sh, dornic):
    """An instrument maker's manual: 6.0 to 7.4 °SH."""
    lactic = acidity.lactic_from_soxhlet_henkel(sh)
    assert acidity.dornic(lactic) == pytest.approx(dornic, abs=1e-9)
    assert not acidity.acidity_warnings(lactic)


@pytest.mark.parametrize(
    ("temp", "mv", "tolerance"),
    [
        (25, 59.16, 5e-3),
        (37, 61.5, 0.05),
        (0, 54.199, 5e-3),
        (20, 58.167, 5e-3),
        (50, 64.120, 5e-3),
    ],
)
def test_nernst_slope(temp, mv, tolerance):
    """59.16 mV at 25 °C and 61.5 at 37 °C are printed; the others are 2.302585 R T / F."""
    assert meter.nernst_mv_per_ph(temp) == pytest.approx(mv, abs=tolerance)
