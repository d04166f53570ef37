"""Why a cheddar is bitter or crumbly, by hand-made makes: what departs from what, what to do next.

Published: S/M 4.5 to 5.5 and salt from 1.7 % (sources stand in the trade's tables, which
`test_trade.py` reads).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from journal.findings.plan_variables import plan_variable_of
from journal.findings.trade import LESS, MORE
from journal.findings.why import (
    AIM,
    ALONE,
    CHANGE,
    DOUBTFUL,
    KEEP,
    LIKELY,
    OUT,
    PLAN,
    PUBLISHED,
    USUAL,
    SuspectedCause,
    Why,
    next_plan,
    why,
)
from journal.records.makes import Addition, Make, Milk
from journal.records.plan_text import builtin_plans
from journal.records.wheels import Wheel
from journal.records.whole import WholeMake

BEGAN, NAN = 1_760_000_000_000, float("nan")
CHEDDAR = next(plan for plan in builtin_plans() if plan.name == "cheddar type")
RENNET = plan_variable_of("rennet_dose")
LITRES, GREEN_KG = 12.0, 1.2


def made(rennet=0.1957, salt=30.0, treatment="pasteurised", plan=CHEDDAR) -> WholeMake:
    """A make with so much rennet in a litre and so much salt on its curd, g."""
    milk = Milk(LITRES, fat_pct=3.75, protein_pct=3.2, treatment=treatment)
    make = Make("HL-0001", 1, milk, BEGAN)
    added = (Addition(1, 2, "rennet", "rennet", rennet * LITRES, "ml", BEGAN),
             Addition(1, 10, "salt", "salt", salt, "g", BEGAN))  # fmt: skip
    return WholeMake(make, plan, additions=added, wheels=(Wheel(1, "HL-0001-A", GREEN_KG),))


def others(**more) -> list[WholeMake]:
    return [made(rennet, **more) for rennet in (0.19, 0.195, 0.20, 0.205, 0.21)]


def cause(found: Why, variable: str, direction: str) -> SuspectedCause:
    asked = (variable, direction)
    return next(one for one in found.suspects if (one.variable, one.direction) == asked)


def test_rennet_beyond_the_usual_and_the_plan_is_likely_and_goes_back_to_the_plan():
    found = why(made(0.26), "", "bitter", others(), {}, NAN)
    rennet = cause(found, "rennet_dose", MORE)
    assert (rennet.likelihood, rennet.key) == (LIKELY, "rennet_dose")
    assert rennet.reasons == (USUAL, PLAN)
    assert (rennet.usual.makes, rennet.usual.middle) == (5, pytest.approx(0.20))
    assert 0.19 < rennet.usual.low < rennet.usual.middle < rennet.usual.high < 0.21
    step = found.next_time[0]
    assert (step.do, step.suspect.key) == (KEEP, "rennet_dose")
    assert step.value == pytest.approx(RENNET.planned(CHEDDAR))
    assert next_plan(CHEDDAR, found) == (CHEDDAR, -1)


def test_rennet_as_its_own_plan_had_it_is_changed_to_the_usual_in_the_next_plan():
    strong = RENNET.changed(CHEDDAR, 0.26)
    found = why(made(0.26, plan=strong), "", "bitter", others(), {}, NAN)
    assert cause(found, "rennet_dose", MORE).reasons == (USUAL,)
    step = found.next_time[0]
    assert (step.do, step.value) == (CHANGE, pytest.approx(0.20))
    new, stage = next_plan(strong, found)
    assert RENNET.planned(new) == pytest.approx(0.20, abs=0.001)
    assert new.stages[stage].kind == "set"


def test_salt_as_usual_is_out_and_says_beside_what():
    salt = cause(why(made(), "", "bitter", others(), {}, NAN), "salt_in_curd", LESS)
    assert (salt.likelihood, salt.reasons) == (OUT, (USUAL, PLAN, PUBLISHED))
    alone = cause(why(made(), "", "bitter", [], {}, NAN), "rennet_dose", MORE)
    assert (alone.usual, alone.reasons) == (None, (PLAN,))


@pytest.mark.parametrize(("defect", "salt", "direction", "end"), [
    ("crumbly", 80.0, MORE, 5.5), ("bitter", 14.0, LESS, 4.5),
])  # fmt: skip
def test_without_other_makes_the_published_end_is_aimed_at(defect, salt, direction, end):
    found = why(made(salt=salt), "", defect, [], {}, NAN)
    moist = cause(found, "salt_in_moisture", direction)
    assert (moist.likelihood, moist.reasons) == (LIKELY, (PUBLISHED,))
    aims = [(one.suspect.key, one.value) for one in found.next_time if one.do == AIM]
    assert aims == [("salt_in_moisture", end)]


@pytest.mark.parametrize(("usual", "reasons"), [("raw", (ALONE,)), ("pasteurised", (USUAL,))])
def test_raw_milk_is_doubtful_and_told_where_it_is_not_the_usual(usual, reasons):
    found = why(made(treatment="raw"), "", "bitter", others(treatment=usual), {}, NAN)
    milk = cause(found, "treatment_pasteurised", LESS)
    assert (milk.likelihood, milk.reasons) == (DOUBTFUL, reasons)
    boiled = why(made(), "", "bitter", others(treatment=usual), {}, NAN)
    assert cause(boiled, "treatment_pasteurised", LESS).likelihood == OUT
    assert replace(milk, read=None).key == "treatment_pasteurised"
