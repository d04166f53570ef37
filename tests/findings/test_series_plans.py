"""What a plan lets a series vary: within bounds, safe, as plans that hold what was asked."""

from __future__ import annotations

import numpy as np
import pytest

from journal.curves.plan_faults import faults
from journal.findings import FindingError
from journal.findings.doses import CULTURES
from journal.findings.plan_variables import plan_variable_of
from journal.findings.series import Factor, design
from journal.findings.series_plans import (
    begin_with,
    ends,
    factors_of,
    offers,
    rounded,
    variant,
    variants,
)
from journal.records.plan_text import builtin_plans
from journal.wording.series import change_words, variable_value_words
from tests.refusals import refused

PLANS = {plan.name: plan for plan in builtin_plans()}
CHEDDAR = PLANS["cheddar type"]


@pytest.mark.parametrize("name", sorted(PLANS))
def test_every_offer_lies_inside_its_bounds_and_its_ends_bring_no_fault(name):
    plan = PLANS[name]
    for offer in offers(plan):
        plan_variable = plan_variable_of(offer.key)
        low, high = plan_variable.bounds
        assert low - 1e-9 <= offer.least <= offer.most <= high + 1e-9
        own = round(offer.own, offer.digits)
        steps = [round(own + n * offer.step, offer.digits) for n in (-1, 1, 2)]
        inside = [v for v in steps if offer.least <= v <= offer.most]
        if all(plan_variable.try_plan(plan, value) is None for value in inside):
            with refused(FindingError, "findings.no-step-is-safe", variable=offer.name):
                ends(plan, offer)
            continue
        low, high = ends(plan, offer)
        assert offer.least - 1e-9 <= low < high <= offer.most + 1e-9
        for value in (low, high):
            if value != round(offer.own, offer.digits):
                assert len(faults(variant(plan, [offer.key], [value]))) <= len(faults(plan))


def test_less_culture_than_the_plans_own_is_never_offered_unless_it_was_made_with_before():
    for plan in PLANS.values():
        for key in CULTURES:
            own = plan_variable_of(key).planned(plan)
            for offer in offers(plan):
                if offer.key == key:
                    assert offer.least >= own - 1e-4
            used = {o.key: o for o in offers(plan, {key: 0.9 * (own or 0)})}.get(key)
            if used is not None:
                assert 0.9 * own - 1e-4 <= used.least < own


def test_the_plans_of_a_design_hold_its_values_whatever_goes_with_what():
    keys = ("cook_temperature", "salt_in_curd", "curd_size")
    found = {offer.key: offer for offer in offers(CHEDDAR)}
    planned = design([found[k].factor(*ends(CHEDDAR, found[k])) for k in keys], 11)
    for plan, wanted in zip(variants(CHEDDAR, keys, planned), rounded(keys, planned), strict=True):
        for key, value in zip(keys, wanted, strict=True):
            assert plan_variable_of(key).planned(plan) == pytest.approx(value, abs=0.02)
        assert plan.name == CHEDDAR.name


def test_the_pace_and_the_heat_of_the_cook_are_set_together():
    plan = PLANS["tomme"]
    heat, pace = (plan_variable_of(k).planned(plan) for k in ("cook_temperature", "cook_rate"))
    if heat is None or pace is None:
        pytest.skip("the plan has no cook that climbs")
    new = variant(plan, ("cook_rate", "cook_temperature"), (round(pace * 0.8, 3), heat - 0.5))
    assert plan_variable_of("cook_temperature").planned(new) == pytest.approx(heat - 0.5)
    assert plan_variable_of("cook_rate").planned(new) == pytest.approx(0.8 * pace, abs=0.015)


def test_values_that_are_not_safe_are_refused_with_the_bounds():
    salt = next(o for o in offers(CHEDDAR) if o.key == "salt_in_curd")
    with refused(FindingError, "findings.outside-bounds", variable="salt in curd", unit="%"):
        salt.factor(0.2, salt.own)
    with refused(FindingError, "findings.low-not-below-high"):
        salt.factor(salt.own, salt.own)
    with refused(FindingError, "findings.too-hot", celsius=58.0):
        variant(CHEDDAR, ["cook_temperature"], [58.0])
    with refused(FindingError, "findings.no-plan-settles", key="milk_fat"):
        variant(CHEDDAR, ["milk_fat"], [3.5])


def test_what_is_not_known_comes_first_and_the_usual_where_nothing_is():
    found = offers(CHEDDAR)
    assert [o.key for o in begin_with(found, None, None)][:2] == ["salt_in_curd", "curd_size"]
    assert sorted(o.key for o in begin_with(found, None, None)) == sorted(o.key for o in found)


def test_values_are_said_as_a_cheesemaker_would():
    assert variable_value_words("salt_in_curd", 2.9) == "salt in curd 2.9 %"
    assert variable_value_words("ph_at_drain", 6.3) == "pH at drain 6.3"
    assert change_words(("curd_size", "milk_ripened"), (8.0, 40.0)) == (
        "curd size 8 mm, milk ripened 40 min"
    )
    one, two = factors_of(("curd_size", "milk_ripened"), (8.0, 30.0), (12.0, 50.0))
    assert one == Factor("curd size", 8.0, 12.0, "mm")
    assert np.isclose(two.at(0), 40.0)


def test_a_series_set_up_by_its_load_has_the_load_of_the_greatest_pressure():
    """Load is pressure by the mould's area: kPa · cm² / 98.0665 is kg (standard gravity)."""
    load = plan_variable_of("press_load")
    most = max(stage.pressure_kpa or 0.0 for stage in CHEDDAR.stages)
    area_cm2 = np.pi / 4 * (CHEDDAR.mould_mm / 10) ** 2
    assert load.planned(CHEDDAR) == pytest.approx(most * area_cm2 / 98.0665, rel=1e-3)
    assert load.planned(PLANS["lactic"]) is None
