"""Thirty plans that may hurt who eats of them, each named by the faults of a plan, with its limit.

Sources of the limits stand with them: US Pasteurized Milk Ordinance (MCL 288.697); 21 CFR 133;
FDA Food Code 3-501.14; Australia, CHE 07-2016; UK Food Standards Agency on sealed packs; US FDA
handbook on growth limits; Delbes et al. 2006; Dairy Food Safety Victoria 2013 on cheese in oil; and
the schedules that tests/outside/data/kind_schedules.csv names.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from journal.curves.plan_faults import faults
from journal.curves.plan_safety import is_soft, lets_listeria_grow
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage
from journal.wording import text_of


def output(plan: Plan) -> list[str]:
    return [text_of(fault.message) for fault in faults(plan)]


def with_stage(name: str, label: str, **changed) -> Plan:
    """A plan brought along with one stage of it changed."""
    plan = builtin_plan(name)
    stages = list(plan.stages)
    place = next(i for i, stage in enumerate(stages) if stage.label == label)
    stages[place] = replace(stages[place], **changed)
    return replace(plan, stages=tuple(stages))


def without(name: str, *labels: str) -> Plan:
    plan = builtin_plan(name)
    return replace(plan, stages=tuple(s for s in plan.stages if s.label not in labels))


def cared(name: str, *rules: CareRule, **changed) -> Plan:
    """A plan with other care."""
    return replace(builtin_plan(name), care=rules, **changed)


def more_care(name: str, *rules: CareRule, **changed) -> Plan:
    plan = builtin_plan(name)
    return replace(plan, care=(*plan.care, *rules), **changed)


def lukewarm(name: str, *labels: str) -> Plan:
    """A plan whose heat goes no further than 40 °C."""
    plan = builtin_plan(name)
    stages = (replace(s, target_c=40.0) if s.label in labels else s for s in plan.stages)
    return replace(plan, stages=tuple(stages))


WARM = CareRule("move", 1, 1, 1, "Onto the kitchen shelf.", 18.0)
STALE = (1.0, 12.0)
OIL = "Balls of it under olive oil, with garlic and herbs."
DANGERS = [
    # milk and heat
    ("raw milk in paneer that is hardly warmed",
     replace(with_stage("paneer", "heat the milk", target_c=60.0), treatment="raw"),
     "Raw milk in a soft cheese"),
    ("raw milk in mozzarella", replace(builtin_plan("mozzarella type"), treatment="raw"),
     "Raw milk in a soft cheese"),
    ("thermised milk under ash", replace(builtin_plan("goat with ash"), treatment="thermised"),
     "50 to 160 times the risk"),
    ("raw milk on a washed rind", replace(builtin_plan("washed rind"), treatment="raw"),
     "Listeria grows in it even in the cold"),
    ("raw milk in caerphilly at four weeks",
     replace(builtin_plan("caerphilly type"), treatment="raw"), "at least 60 days"),
    ("raw milk in grana tasted in a month",
     replace(builtin_plan("grana type"), treatment="raw", taste_at_days=(30.0,)),
     "at least 60 days"),
    ("raw cream in butter",
     replace(without("butter", "pasteurise"), treatment="raw"), "Raw cream in butter"),
    ("quark's milk held ten minutes", with_stage("quark", "pasteurise", minutes=50.0),
     "must stand at 62.8 °C for 30 min or at 71.7 °C for 15 s"),
    ("cream heated as milk is", with_stage("cream cheese", "pasteurise", target_c=63.5),
     "must stand at 65.6 °C for 30 min"),
    ("cream for butter heated as other cream is", with_stage("butter", "pasteurise", target_c=66.0),
     "must stand at 73.9 °C for 30 min"),
    ("acid into cold milk", lukewarm("queso blanco", "heat the milk", "sour and settle"),
     "never above"),
    # without a culture
    ("paneer on the shelf", more_care("paneer", WARM), "Cool it to 5 °C"),
    ("paneer for twelve days", replace(builtin_plan("paneer"), taste_at_days=STALE),
     "Eat it within 5 days"),
    ("queso blanco at 12 °C", replace(builtin_plan("queso blanco"), room_c=12.0),
     "Listeria, staphylococci and Clostridium botulinum can grow"),
    ("mascarpone for two weeks", replace(builtin_plan("mascarpone"), taste_at_days=(14.0,)),
     "even in the cold, from pH 4.4 up"),
    ("mascarpone cooled all night", with_stage("mascarpone", "cool", minutes=600.0),
     "At most 2 h, and 6 h down to 5 °C"),
    ("grill cheese without its brine",
     cared("grill cheese", CareRule("weigh", 1, 1, 1), taste_at_days=(3.0, 30.0)),
     "under a brine of 10 % salt or more"),
    ("grill cheese never scalded", without("grill cheese", "scald"), "US FDA"),
    ("grill cheese scalded for a moment", with_stage("grill cheese", "scald", minutes=52.0),
     "at least 20 min at 80 to 90 °C"),
    ("whey cheese sealed for a month",
     more_care("whey cheese", CareRule("vacuum", 1, 1, 1), taste_at_days=(30.0,)),
     "At most 10 days at 3 to 8 °C"),
    # stretched, churned, smoked, sealed, ashed, in oil
    ("curd stretched sweet",
     with_stage("mozzarella type", "ripen the mat",
                acid_target=AcidTarget("curd-ph", 5.7, 6.0, 60)), "does not stretch"),
    ("curd stretched unread", with_stage("mozzarella type", "ripen the mat", acid_target=None),
     "no pasteurising"),
    ("cream churned warm", with_stage("butter", "churn", target_c=24.0), "12 to 18 °C"),
    ("smoked hot", with_stage("smoked stretched curd", "smoke", target_c=45.0), "7 to 48 °C"),
    ("camembert sealed for two months",
     more_care("camembert type", CareRule("vacuum", 14, 14, 1), taste_at_days=(70.0,)),
     "the US Food Code lets only firm cheese be sealed"),
    ("ash on sweet curd",
     more_care("washed rind", CareRule("ash", 5, 5, 1)), "below pH 5.0 first"),
    ("yoghurt in oil with garlic", more_care("strained yoghurt", CareRule("move", 2, 2, 1, OIL)),
     "above pH 4.6 and below 10 % salt"),
    ("brined white in oil",
     more_care("brined white", CareRule("move", 20, 20, 1, "Into a jar, under oil.")),
     "Cheese under oil has no air"),
    # culture, salt, brine
    ("cooked beyond its culture", replace(builtin_plan("grana type"), culture_type="mesophilic"),
     "kills a mesophilic culture"),
    ("a brine of 3 %", with_stage("caerphilly type", "brine", brine_pct=3.0), "6.5 %"),
]  # fmt: skip


def test_there_are_thirty() -> None:
    assert len(DANGERS) == 30
    assert len({name for name, _, _ in DANGERS}) == 30


@pytest.mark.parametrize(("plan", "named"), [d[1:] for d in DANGERS], ids=[d[0] for d in DANGERS])
def test_a_dangerous_plan_is_named(plan: Plan, named: str) -> None:
    assert any(named in one for one in output(plan)), output(plan)


@pytest.mark.parametrize("plan", builtin_plans(), ids=lambda plan: plan.name)
def test_every_plan_defers_to_local_codes(plan: Plan) -> None:
    assert "local codes" in plan.caution
    assert plan.sours or re.search(r"[45] °C|keep it cold", plan.caution)


# Further ones beside the thirty.
MORE = [
    ("queso blanco pressed for a day", with_stage("queso blanco", "press", minutes=1440.0),
     "At most 4 h (FDA Food Code)"),
    ("whey cheese left to drain overnight",
     with_stage("whey cheese", "drain in the baskets", minutes=600.0), "between hot and cold"),
    ("quark soured by nothing", with_stage("quark", "sour", doses=()), "Add a culture"),
    ("yoghurt eaten half sour",
     with_stage("yoghurt", "keep warm", acid_target=AcidTarget("milk-ph", 5.3, 5.6, 120)),
     "Published are 4.6 for yoghurt"),
    ("quark under wax for two months",
     more_care("quark", CareRule("wax", 2, 2, 1), taste_at_days=(60.0,)),
     "Clostridium botulinum of the cold kinds"),
]  # fmt: skip


@pytest.mark.parametrize(("plan", "named"), [d[1:] for d in MORE], ids=[d[0] for d in MORE])
def test_a_further_dangerous_plan_is_named(plan: Plan, named: str) -> None:
    assert any(named in one for one in output(plan)), output(plan)


@pytest.mark.parametrize(
    "words",
    [
        "Balls of it in a good olive oil.",
        "Put them in a jar and cover them with rapeseed oil.",
        "Fill the jar up with oil.",
        "Marinate it with thyme for a week.",
        "Herbs and garlic in a marinade of the maker's own.",
    ],
)
def test_oil_is_found_however_it_is_said(words) -> None:
    plan = more_care("strained yoghurt", CareRule("move", 2, 2, 1, words))
    assert any("oil has no air" in one or "under oil" in one for one in output(plan)), output(plan)


@pytest.mark.parametrize("words", ["Rub the rind with a little oil.", "Oil it once it cracks."])
def test_an_oiled_rind_is_no_danger(words) -> None:
    assert output(more_care("grana type", CareRule("oil", 30, 30, 1, words))) == []


# Soured to pH 4.6 and eaten as they are, boiled down for hours, or churned: no cheese in which the
# sources name Listeria.
NOT_NAMED = {"butter", "brown whey cheese", "cultured cream", "strained yoghurt", "yoghurt"}


@pytest.mark.parametrize("plan", builtin_plans(), ids=lambda plan: plan.name)
def test_soft_kinds_name_listeria_and_who_is_at_risk(plan: Plan) -> None:
    if (is_soft(plan) or not plan.sours) and plan.name not in NOT_NAMED:
        assert "Listeria" in plan.caution
        assert "pregnant" in plan.caution
        assert lets_listeria_grow(plan)
    assert not lets_listeria_grow(builtin_plan("butter"))
    assert lets_listeria_grow(builtin_plan("grill cheese"))  # pressed and firm, but sweet


def test_milk_that_the_plan_itself_pasteurises_is_not_raw() -> None:
    assert faults(replace(builtin_plan("quark"), treatment="raw")) == []
    assert faults(replace(builtin_plan("yoghurt"), treatment="raw")) == []


def test_a_culture_where_the_plan_says_there_is_none() -> None:
    heat = builtin_plan("paneer").stages[0]
    dose = Dose("culture", "yoghurt", 20.0, "ml")
    plan = with_stage("paneer", "heat the milk", doses=(*heat.doses, dose))
    assert any("the plan says that it has none" in one for one in output(plan))


def left_warm(minutes: float) -> Plan:
    """Paneer that lies between hot and cold for so long."""
    plan = builtin_plan("paneer")
    hot = next(i for i, s in enumerate(plan.stages) if (s.target_c or 0.0) >= 57.0)
    return replace(plan, stages=(plan.stages[hot], Stage("drain", minutes)))


def stretched(at_c: float) -> Plan:
    return with_stage("mozzarella type", "stretch", target_c=at_c)


@pytest.mark.parametrize(
    ("sound", "dangerous", "fault"),
    [
        (left_warm(240.0), left_warm(241.0), "curves.sweet-left-warm"),  # 4 h: Food Code 3-501.19
        (stretched(60.0), stretched(59.5), "curves.stretch-temperature"),
        (stretched(90.0), stretched(90.5), "curves.stretch-temperature"),
    ],
)
def test_a_limit_itself_is_no_danger_and_what_lies_beyond_it_is(sound, dangerous, fault) -> None:
    assert fault not in [one.message.id for one in faults(sound)]
    assert fault in [one.message.id for one in faults(dangerous)]
