"""The sums of the milk: round trips, monotony, scaling, refusals, ranges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.message import Message
from journal.reckoning import (
    ReckoningError,
    acidity,
    composition,
    cost,
    density,
    loss,
    milk_yield,
    standardise,
    standards,
)
from journal.wording import text_of
from journal.wording.trade_words import standard_words
from tests.refusals import refused

fat = st.floats(0.5, 8)
casein = st.floats(1, 6)
moisture = st.floats(20, 80)
mass = st.floats(0.1, 1000)


@given(fat, casein, moisture, st.floats(0.1, 3))
def test_more_fat_casein_or_moisture_gives_more_cheese(f, c, m, more):
    base = milk_yield.van_slyke_price(f, c, m)
    assert milk_yield.van_slyke_price(f + more, c, m) > base
    assert milk_yield.van_slyke_price(f, c + more, m) > base
    assert milk_yield.van_slyke_price(f, c, m + more) > base


@given(st.floats(1, 30), moisture, moisture)
def test_a_yield_brought_to_another_moisture_and_back_is_the_same(y, m, standard):
    there = milk_yield.moisture_adjusted_yield(y, m, standard)
    assert milk_yield.moisture_adjusted_yield(there, standard, m) == pytest.approx(y, rel=1e-9)


@given(st.floats(1, 30), st.floats(30, 60), st.floats(0, 4))
def test_a_yield_at_its_own_moisture_and_salt_stays(y, m, s):
    assert milk_yield.moisture_salt_adjusted_yield(y, m, s, m, s) == pytest.approx(y)
    assert milk_yield.moisture_and_salt_as_one(y, m, s, m, s) == pytest.approx(y)


def test_yields_take_arrays():
    found = milk_yield.van_slyke_price(np.array([3.0, 4.0]), np.array([2.1, 2.5]), 37)
    assert found == pytest.approx([8.287, 10.589], abs=1e-3)
    with refused(ReckoningError, "reckoning.not-within", low=0, high=100, found=101.0):
        milk_yield.van_slyke_price(np.array([3.0, 101.0]), 2.5, 37)


@pytest.mark.parametrize("bad", [-1, 101, float("nan"), float("inf")])
def test_a_percentage_that_cannot_be_is_refused(bad):
    with pytest.raises(ReckoningError):
        milk_yield.van_slyke_price(bad, 2.5, 37)
    with pytest.raises(ReckoningError):
        composition.fat_in_dry_matter(bad, 30)
    with pytest.raises(ReckoningError):
        density.milk_density(bad, 9, 20)


def test_cheese_of_water_is_refused():
    with refused(ReckoningError, "reckoning.yield-of-whey"):
        milk_yield.van_slyke_price(4, 2.5, 100)
    with refused(ReckoningError, "reckoning.moisture-and-fat-above-whole"):
        composition.moisture_in_non_fat_substance(60, 50)


def test_yield_warns_outside_what_was_published():
    assert milk_yield.yield_warnings(4, 2.5, 37) == ()
    for given_, output in (((8, 5, 37), "of-other-milk"), ((4, 2.5, 55), "of-moist-cheese")):
        assert milk_yield.yield_warnings(*given_) == (Message(f"reckoning.yield-{output}"),)


@given(moisture, st.floats(1, 15))
def test_mnfs_and_fdm_by_their_dimension(m, f):
    """Grams of a cheese ten times as large give the same ratios."""
    mnfs = composition.moisture_in_non_fat_substance(m, f)
    assert mnfs * (100 - f) == pytest.approx(100 * m)
    assert composition.fat_in_dry_matter(m, f) * (100 - m) == pytest.approx(100 * f)


@given(st.floats(0.1, 10), moisture)
def test_salt_in_the_water_phase_is_less_than_salt_in_moisture(s, m):
    s_m = composition.salt_in_moisture(s, m)
    assert composition.salt_in_water_phase(s, m) == pytest.approx(100 * s_m / (100 + s_m))


@given(st.floats(0, 100))
def test_every_cheese_has_a_firmness(mnfs):
    assert composition.firmness(mnfs)


@given(mass, fat, casein, st.floats(30, 60), st.floats(0, 3))
def test_a_kitchen_scale_finds_the_water_that_was_put_in(milk, f, c, m, s):
    kept = milk * (composition.FAT_KEPT * f + c - milk_yield.CASEIN_LOST_PCT) / 100
    green = kept * composition.OTHER_SOLIDS / (1 - (m + s) / 100)
    found = composition.kitchen_composition(milk, f, c, green, s * green / 100)
    assert found.moisture_pct == pytest.approx(m, abs=1e-6)
    assert found.salt_pct == pytest.approx(s, abs=1e-9)


@given(st.floats(0.1, 100))
def test_a_kitchen_scale_does_not_mind_the_size_of_the_vat(times):
    one = composition.kitchen_composition(10.3, 3.6, 2.5, 1.08, 0.02)
    many = composition.kitchen_composition(10.3 * times, 3.6, 2.5, 1.08 * times, 0.02 * times)
    assert many.s_m_pct == pytest.approx(one.s_m_pct)
    assert many.fdm_pct == pytest.approx(one.fdm_pct)


def test_ranges_are_those_of_many_draws():
    """First-order propagation against 20,000 random draws, to a tenth of the width."""
    rng = np.random.default_rng(5)
    sure = {"fat_sd_pct": 0.1, "casein_sd_pct": 0.05, "weight_sd_kg": 0.005}
    found = composition.kitchen_composition(10.3, 3.6, 2.5, 1.05, 0.02, **sure)
    rest = composition._vat_sd(3.6, 2.5)
    drawn = [
        composition._kitchen([10.3, *(np.array([3.6, 2.5, 1.05]) + off[:3]), 0.02, kept, vat])
        for off, kept, vat in zip(
            rng.normal(0, list(sure.values()), (20_000, 3)),
            rng.normal(composition.FAT_KEPT, composition.FAT_KEPT_SD, 20_000),
            rng.normal(1, rest, 20_000),
            strict=True,
        )
    ]
    for name in ("moisture_pct", "mnfs_pct", "fdm_pct", "s_m_pct"):
        for ranges, share in ((found.ranges, 0.95), (found.ranges_80, 0.80)):
            low, high = ranges[name]
            inside = np.mean([low <= one[name] <= high for one in drawn])
            assert inside == pytest.approx(share, abs=0.01)


def test_the_solids_of_vats_spread_by_what_was_published():
    """Five vats: 2.7 % about the formula (Mullan), with what the fat that stays makes of it."""
    fat = composition.FAT_KEPT * 3.6
    share = fat / (fat + 2.6 - milk_yield.CASEIN_LOST_PCT)
    of_fat = share * composition.FAT_KEPT_SD / composition.FAT_KEPT
    both = (of_fat**2 + composition._vat_sd(3.6, 2.6) ** 2) ** 0.5
    assert both == pytest.approx(composition.VAT_SD)


def test_a_range_has_a_width_though_everything_entered_is_sure():
    found = composition.kitchen_composition(10.3, 3.6, 2.5, 1.05)
    low, high = found.ranges["moisture_pct"]
    assert high - low > 5
    inner = found.ranges_80["moisture_pct"]
    assert low < inner[0] < found.moisture_pct < inner[1] < high


def test_thin_milk_has_the_protein_of_milk():
    """Skimming leaves the protein; 3.3 % is usual (University of Guelph)."""
    assert milk_yield.guessed_protein_pct(1.5) == pytest.approx(3.3)
    assert milk_yield.guessed_protein_pct(5.0) == pytest.approx(milk_yield.protein_from_fat(5.0))
    assert milk_yield.guessed_protein_pct(np.array([1.5, 5.0]))[0] == pytest.approx(3.3)


def test_a_cheese_lighter_than_its_solids_is_refused():
    with refused(ReckoningError, "reckoning.cheese-below-milk-solids"):
        composition.kitchen_composition(10.3, 3.6, 2.5, 0.5)


def test_young_cheddar_windows():
    assert composition.young_cheddar(53, 5, 53, 5.0) == dict.fromkeys(
        ("mnfs_pct", "s_m_pct", "fdm_pct", "ph"), "premium"
    )
    assert composition.young_cheddar(mnfs_pct=55.9) == {"mnfs_pct": "first-grade"}
    assert composition.young_cheddar(ph=5.3) == {"ph": "outside"}


def test_least_dry_matter_by_class_of_fdm():
    gouda = standards.Standard(
        "X", "gouda", None, 30, None, ((30, 48), (40, 52), (48, 55)), "", "", "from memory"
    )
    assert gouda.met(45, 26.4)  # FDM 48, dry matter 55
    assert not gouda.met(46, 26.4)  # FDM 48.9, dry matter 54
    assert "from memory" in standard_words(gouda)


@given(mass, st.floats(2, 10), st.floats(0, 1.5), st.floats(0.05, 0.95), st.floats(0.1, 50))
def test_the_square_makes_what_was_wanted(have, high, low, share, times):
    want = low + share * (high - low)
    add = standardise.square_add_kg(have, high, low, want)
    assert standardise.mixed_pct(have, high, add, low) == pytest.approx(want)
    again = standardise.square_add_kg(have * times, high, low, want)
    assert again == pytest.approx(add * times)


def test_the_square_reaches_nothing_beyond():
    for want in (0.1, 5):
        with refused(ReckoningError, "reckoning.wanted-not-between"):
            standardise.square_add_kg(100, 4, 0.5, want)
    with refused(ReckoningError, "reckoning.added-is-wanted"):
        standardise.square_add_kg(100, 4, 0.5, 0.5)


@given(mass, st.floats(0.81, 1.5))
def test_the_ratio_comes_out(have, want):
    add = standardise.ratio_add_kg(have, 4.0, 3.2, 0.05, 3.4, want)
    protein = standardise.mixed_pct(have, 3.2, add, 3.4)
    assert protein / standardise.mixed_pct(have, 4.0, add, 0.05) == pytest.approx(want)


def test_a_ratio_out_of_reach_is_refused():
    with refused(ReckoningError, "reckoning.ratio-out-of-reach"):
        standardise.ratio_add_kg(100, 4.0, 3.2, 0.05, 3.4, 0.5)


@given(st.floats(0, 3))
def test_acidity_there_and_back(pct):
    back = acidity.lactic_from_dornic(acidity.dornic(pct))
    assert back == pytest.approx(pct, abs=1e-9)
    back = acidity.lactic_from_soxhlet_henkel(acidity.soxhlet_henkel(pct))
    assert back == pytest.approx(pct, abs=1e-9)
    assert acidity.lactic_from_thorner(acidity.thorner(pct)) == pytest.approx(pct, abs=1e-9)


@given(st.floats(0, 6), st.floats(8, 10.5), st.floats(4, 20))
def test_litres_to_kilograms_and_back(f, n, t):
    rho = density.milk_density(f, n, t)
    assert 1.02 < rho < 1.05
    assert density.milk_l(density.milk_kg(10, rho), rho) == pytest.approx(10)


@given(st.floats(30, 70), st.floats(0, 25))
def test_weight_lost_as_water_and_back(m, lost):
    later = loss.moisture_after_loss_pct(m, lost)
    assert loss.loss_from_moisture_pct(m, later) == pytest.approx(lost, abs=1e-9)
    assert m - later <= lost + 1e-9  # the fall in % moisture is less than the loss of weight


def test_a_refusal_of_several_names_the_one_that_will_not_do():
    fat_ = Message("reckoning.fat-of-milk")
    with refused(ReckoningError, "reckoning.not-within", what=fat_, found=-1.0) as caught:
        milk_yield.van_slyke_price(np.array([3, -1.0]), 2.5, 37)
    assert text_of(caught.value) == (
        "The fat of the milk must lie between 0 and 100 %, not at -1 %."
    )
    with refused(ReckoningError, "reckoning.not-above", found=-2.0, unit="kg") as caught:
        density.milk_l(np.array([[3.0, 4.0], [-2.0, -5.0]]))
    assert text_of(caught.value) == "The milk must be more than 0 kg, not -2 kg."
    with pytest.raises(ReckoningError) as nan:
        acidity.lactic_from_dornic(np.array([3.0, np.nan]))
    assert nan.value.id == "reckoning.not-at-least"
    assert text_of(nan.value) == "The acidity must be 0 °D or more, not nan °D."


def test_words_of_an_array_are_a_list_of_them():
    mnfs = np.array([45.0, 55.0, 70.0])
    assert composition.firmness(mnfs) == [composition.firmness(float(one)) for one in mnfs]
    fdm = np.array([9.0, 45.0])
    assert composition.fat_class(fdm) == [["skim"], ["full-fat", "medium-fat"]]
    assert composition.young_cheddar(mnfs_pct=np.array([53.0, 55.9]), ph=5.0) == {
        "mnfs_pct": ["premium", "first-grade"],
        "ph": "premium",
    }
    cheddar = standards.Standard("US", "Cheddar", 39, 50, None, (), "", "", "")
    found = standards.standards_met(np.array([38.0, 45.0]), np.array([32.0, 32.0]), [cheddar])
    assert found == [[cheddar], []]


@given(
    st.floats(6, 16), st.floats(3, 5), st.floats(2, 3), st.floats(33, 48), st.floats(33, 48),
    st.floats(0.05, 1),
)  # fmt: skip
def test_what_a_yield_falls_short_by_is_the_sum_of_its_reasons(
    actual, fat, casein, moisture, expected, whey_fat
):
    found = milk_yield.shortfall(actual, fat, casein, moisture, expected, whey_fat)
    assert found.fat is not None
    assert found.moisture + found.fat + found.rest == pytest.approx(found.whole, abs=1e-9)
    # A drier cheese weighs less; whey that holds more than 7 % of the fat costs cheese.
    if abs(moisture - expected) > 1e-9:
        assert (found.moisture >= 0) is (moisture < expected)
    lost = milk_yield.fat_lost_pct(actual, fat, whey_fat)
    assert (found.fat > 0) is (lost > 7) or found.fat == pytest.approx(0, abs=1e-9)
    unknown = milk_yield.shortfall(actual, fat, casein, moisture, expected)
    assert unknown.fat is None
    assert unknown.moisture + unknown.rest == pytest.approx(found.whole, abs=1e-9)


@pytest.mark.parametrize(("fat", "snf", "temp", "named"), [
    (6.0, 8.0, 4.0, []), (0.0, 10.5, 20.0, []), (6.1, 9.0, 10.0, ["reckoning.density-of-cream"]),
    (4.0, 7.9, 10.0, ["reckoning.density-snf-unchecked"]),
    (4.0, 9.0, 20.1, ["reckoning.density-of-warm-milk"]),
    (4.0, 9.0, 3.9, ["reckoning.density-of-warm-milk"]),
])  # fmt: skip
def test_the_formula_of_density_says_beyond_which_milk_it_is_stretched(fat, snf, temp, named):
    assert [one.id for one in density.density_warnings(fat, snf, temp)] == named


def test_a_cheese_that_cost_nothing_costs_nothing_a_kilogram():
    assert cost.cost_per_kg(0.0, 1.2) == 0.0
    with refused(ReckoningError, "reckoning.not-at-least", what=Message("reckoning.cost"), low=0,
                 found=-1.0, unit=""):  # fmt: skip
        cost.cost_per_kg(-1.0, 1.2)
