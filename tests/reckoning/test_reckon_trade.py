"""The sums of brine tub, packet and label: units, monotony, what they refuse."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from journal.message import Message
from journal.reckoning import ReckoningError, brine_recipe, brining, culture_units, doses
from journal.reckoning.brine import GOUDA_M2_S
from tests.refusals import refused

amount = st.floats(0.1, 1000)


@given(st.floats(0.5, 3), st.floats(1.05, 2), st.floats(60, 400), st.floats(30, 200))
def test_more_salt_or_a_larger_wheel_takes_longer_and_a_stronger_brine_less(
    target, more, wide, high
):
    def hours(salt: float, pct: float = 18, times: float = 1) -> float:
        return brining.brining_h(salt, 45, pct, wide * times, high * times, GOUDA_M2_S)

    once = hours(target)
    assert hours(target * more) > once
    assert hours(target, pct=18 * 1.2) < once
    # Twice as large is four times as long: diffusion goes with the square of the depth.
    assert hours(target, times=2) == pytest.approx(4 * once, rel=1e-6)


def test_a_brine_cannot_bring_more_salt_than_its_own():
    with refused(ReckoningError, "reckoning.salt-beyond-brine"):
        brining.brining_h(6, 40, 10, 200, 100, GOUDA_M2_S)
    with refused(ReckoningError, "reckoning.not-above"):
        brining.share_for_salt(1, 40, 20, before_pct=1)
    share = brining.share_for_salt(2, 40, 20)
    assert share == pytest.approx(2 / (40 * 0.25))
    assert brining.brining_warnings(5, (1.0, 10.0)) == ()
    assert brining.brining_warnings(5, None) == (Message("reckoning.no-brining-published"),)


@given(amount, st.floats(1, 26), st.floats(0, 1), st.floats(0, 26))
def test_salt_and_water_of_a_brine_balance(kg, pct, old, old_pct):
    have = old * kg
    assume(have * old_pct <= kg * pct and have * (100 - old_pct) <= kg * (100 - pct))
    salt, water = brine_recipe.salt_and_water_kg(kg, pct, have, old_pct)
    assert salt + water + have == pytest.approx(kg, abs=1e-6)
    assert 100 * salt + have * old_pct == pytest.approx(kg * pct, abs=1e-6 * kg)
    with refused(ReckoningError, "reckoning.old-brine-too-much"):
        brine_recipe.salt_and_water_kg(kg, pct, kg, pct + 1)


@given(st.floats(0, 400), st.floats(4.6, 6.4), st.floats(0.1, 50))
def test_vinegar_goes_with_the_water_its_hardness_and_the_acid_wanted(alkalinity, ph, water):
    ml = brine_recipe.vinegar_ml(water, ph, alkalinity)
    assert brine_recipe.vinegar_ml(2 * water, ph, alkalinity) == pytest.approx(2 * ml)
    assert brine_recipe.vinegar_ml(water, ph - 0.1, alkalinity) > ml
    assert brine_recipe.vinegar_ml(water, ph, alkalinity + 10) > ml
    assert brine_recipe.vinegar_ml(water, ph, alkalinity, 10) == pytest.approx(ml / 2)
    # No more acid than the whole alkalinity takes, but for what is free at that pH.
    assert brine_recipe.acid_meq_per_l(alkalinity, ph) <= alkalinity / 50.04 + 1000 * 10**-ph


@given(amount, st.floats(1, 30), st.floats(1, 500), st.floats(1, 100))
def test_packets_go_with_milk_and_dose_and_against_what_they_hold(milk, dose, inside, left):
    units = culture_units.units_for_milk(milk, dose)
    count = culture_units.packets(units, inside, left)
    assert culture_units.packets(culture_units.units_for_milk(2 * milk, dose), inside, left) == (
        pytest.approx(2 * count)
    )
    assert count * inside * left / 100 == pytest.approx(units)
    assert culture_units.bulk_pct_by_units(dose, dose) == pytest.approx(1)


@given(amount, st.floats(1000, 100_000), st.floats(5, 60), st.floats(0.3, 1.2))
def test_rennet_by_parts_is_the_test_turned_round(milk, parts, minutes, activity):
    used = doses.rennet_by_parts(milk, parts, minutes, activity)
    assert doses.parts_from_test(milk, used * activity, minutes) == pytest.approx(parts)
    assert doses.rennet_by_parts(milk, parts, minutes * 2, activity) == pytest.approx(used / 2)
    assert doses.rennet_tablets(milk, milk / 3) == pytest.approx(3)


def test_what_lies_outside_what_was_published_is_warned_of():
    assert culture_units.units_warnings(6.25) == ()
    assert culture_units.units_warnings(50) == (Message("reckoning.units-unusual"),)
    assert culture_units.weighing_warnings(0.5) == ()
    assert culture_units.weighing_warnings(0.02)[0].id == "reckoning.too-little-to-weigh"
    assert brine_recipe.recipe_warnings(0.1, 5.3) == ()
    assert len(brine_recipe.recipe_warnings(1, 4.6)) == 2
