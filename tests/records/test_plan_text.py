"""Plans as text: what is written reads back the same, and each fault is named."""

from __future__ import annotations

import itertools
import subprocess
import sys
import tomllib
from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records.kinds import (
    ACIDITY_KINDS,
    ANIMALS,
    CARE_KINDS,
    CULTURE_TYPES,
    INGREDIENT_KINDS,
    STAGE_KINDS,
    TREATMENTS,
)
from journal.records.own_files import own_file
from journal.records.plan_text import (
    CARE_KEYS,
    DOSE_KEYS,
    PLAN_KEYS,
    STAGE_KEYS,
    acid_target_keys,
    builtin_plan,
    builtin_plans,
    read_plan,
    write_plan,
)
from journal.records.plan_values import AGE, LENGTH_OF_TIME, TEMPERATURE, VOLUME, quoted
from journal.records.plans import AcidTarget, CareRule, Dose, Plan, Stage
from journal.wording import text_of
from tests.refusals import refused

NAMES = [
    "alpine type",
    "blue type",
    "brined white",
    "brown whey cheese",
    "butter",
    "caerphilly type",
    "camembert type",
    "cheddar type",
    "colby type",
    "cream cheese",
    "cultured cream",
    "goat with ash",
    "grana type",
    "grill cheese",
    "jack type",
    "lactic",
    "mascarpone",
    "mozzarella type",
    "paneer",
    "pecorino type",
    "quark",
    "queso blanco",
    "smoked stretched curd",
    "strained yoghurt",
    "tomme",
    "washed rind",
    "washed-curd type",
    "wensleydale type",
    "whey cheese",
    "yoghurt",
]
# Poured into jars, drained in a cloth or worked: no mould shapes it.
POURED = ("butter", "cream cheese", "cultured cream", "mascarpone", "quark", "strained yoghurt",
          "yoghurt")  # fmt: skip
# What sets the milk where it is not a culture and rennet: heat and acid, rennet and heat, a culture
# alone; whey that is boiled down needs nothing.
SET_BY = {
    "brown whey cheese": (),
    "grill cheese": ("rennet",),
    **dict.fromkeys(("mascarpone", "paneer", "queso blanco", "whey cheese"), ("other",)),
    **dict.fromkeys(
        ("butter", "cream cheese", "cultured cream", "quark", "strained yoghurt", "yoghurt"),
        ("culture",),
    ),
}
UNSALTED = ("brown whey cheese", "cultured cream", "mascarpone", "quark", "strained yoghurt",
            "yoghurt")  # fmt: skip


def test_the_plans_brought_along_are_these_in_order() -> None:
    plans = builtin_plans()
    assert [plan.name for plan in plans] == NAMES
    assert all(plan.builtin and plan.id is None for plan in plans)
    assert len({plan.uuid for plan in plans}) == len(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_brought_along_reads_back_the_same(name: str) -> None:
    plan = builtin_plan(name)
    assert plan.name == name
    assert read_plan(write_plan(plan)) == replace(plan, builtin=False)


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_brought_along_says_all_it_should(name: str) -> None:
    plan = builtin_plan(name)
    assert plan.source
    assert "local codes" in plan.caution
    assert plan.taste_at_days
    assert plan.care
    poured = name in POURED
    assert 1 <= plan.milk_l <= 4 or name == "quark" if poured else 10 <= plan.milk_l <= 12
    assert (plan.mould_mm is None) is poured
    assert plan.room_c is not None
    for stage in plan.stages:
        assert stage.instruction, stage.label
        assert stage.until, stage.label
    kinds = {dose.kind for stage in plan.stages for dose in stage.doses}
    assert kinds & {"culture", "rennet", "other"} == set(SET_BY.get(name, ("culture", "rennet")))
    assert plan.sours is ("culture" in kinds)
    salted = bool(kinds & {"salt"}) or any(stage.brine_pct for stage in plan.stages)
    assert salted is (name not in UNSALTED)


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_brought_along_keeps_its_own_limit(name: str) -> None:
    plan = builtin_plan(name)
    from_c = plan.milk_c
    for stage in plan.stages:
        knots = stage.knots(from_c)
        for (before, low), (at, high) in itertools.pairwise(knots):
            if stage.limit_c_per_min is not None:
                assert (high - low) / (at - before) <= stage.limit_c_per_min + 1e-9
        from_c = knots[-1][1] if knots else from_c


@pytest.mark.parametrize("name", NAMES)
def test_a_gate_lies_in_its_stage(name: str) -> None:
    for stage in builtin_plan(name).stages:
        if stage.acid_target is not None:
            assert (stage.acid_target.from_min or 0) < stage.minutes
            assert (stage.acid_target.to_min or 0) <= stage.minutes


def test_pressures_are_a_kitchens() -> None:
    # Thom & Fisk 1918, par. 189 and 267-271: 10 to 20 times the cheese's own weight, far below
    # factory figures. Load in kg = kPa x area in m2 x 1000 / 9.80665; milk at 1.030 kg/l.
    for name in ("alpine type", "cheddar type", "washed-curd type"):
        plan = builtin_plan(name)
        assert plan.mould_mm is not None
        area_m2 = 3.14159265 * (plan.mould_mm / 2000) ** 2
        wheel_kg = plan.milk_l * 1.030 * plan.yield_pct / 100
        full = max(s.pressure_kpa for s in plan.stages if s.pressure_kpa is not None)
        assert 10 <= full * area_m2 * 1000 / 9.80665 / wheel_kg <= 20, name


def test_a_name_is_found_however_it_is_typed() -> None:
    assert builtin_plan("  Cheddar  TYPE ").name == "cheddar type"


def test_an_unknown_name_lists_those_there_are() -> None:
    with refused(RecordError, "records.no-such-plan", known=tuple(NAMES)):
        builtin_plan("../cheddar type")


def test_reading_the_plans_loads_no_units_library() -> None:
    code = (
        "import sys; before = set(sys.modules); "  # a measure of the tests has some there
        "from journal.records.plan_text import builtin_plans; builtin_plans(); "
        "loaded = sys.modules.keys() - before; "
        "print(sorted(loaded & {'pint', 'scipy', 'sqlite3', 'PySide6'}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_every_field_of_a_plan_has_a_key() -> None:
    here = {"stages", "care", "acid_target", "doses", "id", "builtin"}
    here |= {"per_litre", "unit", "amount"}
    for record, keys in (
        (Plan, PLAN_KEYS),
        (Stage, STAGE_KEYS),
        (AcidTarget, acid_target_keys("curd-ph")),
        (Dose, DOSE_KEYS),
        (CareRule, CARE_KEYS),
    ):
        assert {f.name for f in fields(record)} - here == {key.field for key in keys} - here


# Plans nobody wrote

words = st.text(max_size=30)
positive = st.floats(0.001, 500)


def or_none(some: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | some


@st.composite
def acid_targets(draw: st.DrawFn) -> AcidTarget:
    low, high = sorted((draw(st.floats(0, 14)), draw(st.floats(0, 14))))
    opens, closes = sorted((draw(st.floats(0, 2000)), draw(st.floats(0, 2000))))
    return AcidTarget(
        draw(st.sampled_from(ACIDITY_KINDS)),
        low,
        high,
        draw(st.sampled_from([None, opens])),
        draw(st.sampled_from([None, closes])),
    )


doses = st.builds(
    Dose,
    st.sampled_from(INGREDIENT_KINDS),
    words,
    st.floats(0, 999),
    st.sampled_from(["g", "ml"]),
    words,
)


@st.composite
def stages(draw: st.DrawFn) -> Stage:
    minutes = draw(st.floats(0.01, 100_000) | st.integers(1, 90).map(lambda n: n * 1440.0))
    more: dict[str, Any] = {}
    if draw(st.booleans()):
        more["first_c_per_min"] = draw(st.floats(0.01, 5))
        more["first_min"] = minutes * draw(st.floats(0.01, 0.9))
    else:
        more["ramp_min"] = draw(or_none(st.floats(0, 5000)))
    return Stage(
        kind=draw(st.sampled_from(list(STAGE_KINDS))),
        minutes=minutes,
        name=draw(words),
        target_c=draw(or_none(st.floats(-5, 110))),
        limit_c_per_min=draw(or_none(st.floats(0.01, 5))),
        tolerance_c=draw(or_none(st.floats(0, 5))),
        size_mm=draw(or_none(st.floats(0.5, 100))),
        pressure_kpa=draw(or_none(st.floats(0, 200))),
        turns=draw(st.integers(0, 20)),
        whey_drawn_per_l=draw(st.floats(0, 1)),
        water_added_per_l=draw(st.floats(0, 2)),
        water_c=draw(or_none(st.floats(0, 100))),
        brine_pct=draw(or_none(st.floats(0, 26))),
        humidity_pct=draw(or_none(st.floats(0, 100))),
        alone=draw(st.booleans()),
        acid_target=draw(or_none(acid_targets())),
        doses=tuple(draw(st.lists(doses, max_size=3))),
        instruction=draw(words),
        until=draw(words),
        **more,
    )


@st.composite
def care_rules(draw: st.DrawFn) -> CareRule:
    first, last = sorted((draw(st.floats(0, 900)), draw(st.floats(0, 900))))
    return CareRule(
        draw(st.sampled_from(CARE_KINDS)),
        first,
        last,
        draw(positive),
        draw(words),
        draw(or_none(st.floats(-20, 50))),
        draw(or_none(st.floats(0, 100))),
    )


plans = st.builds(
    Plan,
    name=words.filter(str.strip),
    stages=st.lists(stages(), min_size=1, max_size=4).map(tuple),
    style=words,
    milk_l=st.floats(0.001, 10_000),
    animal=st.sampled_from(ANIMALS),
    treatment=st.sampled_from(TREATMENTS),
    milk_c=st.floats(-5, 60),
    protein_fat=or_none(st.floats(0.1, 5)),
    culture_type=st.sampled_from(CULTURE_TYPES),
    floc_multiplier=or_none(st.floats(1, 8)),
    mould_mm=or_none(st.floats(10, 500)),
    yield_pct=st.floats(0.1, 60),
    care=st.lists(care_rules(), max_size=3).map(tuple),
    room_c=or_none(st.floats(-20, 50)),
    room_humidity_pct=or_none(st.floats(0, 100)),
    taste_at_days=st.lists(st.floats(0, 900), max_size=4).map(tuple),
    eat_from_days=or_none(st.floats(0, 900)),
    source=words,
    caution=words,
    note=words,
    version=st.integers(1, 1000),
    uuid=st.uuids().map(str),
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(plans)
def test_any_plan_reads_back_the_same(plan: Plan) -> None:
    assert read_plan(write_plan(plan)) == plan


@given(st.text())
def test_any_text_reads_back_the_same(text: str) -> None:
    assert tomllib.loads(f"a = {quoted(text)}")["a"] == text


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(RecordError) as caught:
        read_plan(text + "\n[[stage]]\n")
    assert text_of(caught.value)


def test_an_id_and_being_built_in_stay_at_home() -> None:
    plan = Plan("p", (Stage("set", 40),), id=7, builtin=True)
    assert read_plan(write_plan(plan)) == replace(plan, id=None, builtin=False)


# Values with units


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("40 min", 40), ("1.5 h", 90), ("2 days", 2880), ("1 day", 1440), ("90 s", 1.5)],
)
def test_lengths_of_time(text: str, minutes: float) -> None:
    assert LENGTH_OF_TIME.read(text) == pytest.approx(minutes)


def test_other_units() -> None:
    # 88 °F is 31.1 °C, to the nearest tenth (common practice, no source)
    assert TEMPERATURE.read("88 degF") == pytest.approx(31.1, abs=0.05)
    assert TEMPERATURE.read("-2.5 degC") == -2.5
    assert VOLUME.read("500 ml") == pytest.approx(0.5)
    assert AGE.read("2 weeks") == 14
    assert AGE.read("12 h") == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("minutes", "text"),
    [(40, '"40 min"'), (60, '"1 h"'), (90, '"90 min"'), (1440, '"1 day"'), (0, '"0 min"'),
     (2880, '"2 days"'), (22.5, '"22.5 min"')],
)  # fmt: skip
def test_lengths_are_written_with_the_largest_fitting_unit(minutes: float, text: str) -> None:
    assert LENGTH_OF_TIME.write(minutes) == text


@pytest.mark.parametrize(
    "value", ["31.5", "31,5 degC", "degC", "31.5degC", "31.5 C", "1e999 degC", "nan degC", 31.5, ""]
)
def test_a_temperature_without_a_sound_unit_or_number_is_refused(value: object) -> None:
    with pytest.raises(RecordError) as caught:
        TEMPERATURE.read(value)
    assert "31.5 degC" in text_of(caught.value)


# Faults in a file

SOUND = """
name = "mine"
milk = "12 l"

[[stage]]
kind = "warm"
length = "30 min"
target = "31 degC"

[[stage]]
kind = "set"
name = "long set"
length = "1 day"
[stage.gate]
kind = "curd-ph"
low = "4.4 pH"
high = "4.6 pH"
[[stage.dose]]
kind = "rennet"
name = "rennet"
amount = "0.02 ml/l"

[[care]]
kind = "turn"
from = "2 days"
to = "10 days"
every = "1 day"
"""


def test_a_file_written_by_hand_is_read() -> None:
    plan = read_plan(SOUND)
    assert (plan.name, plan.milk_l, plan.minutes, plan.version) == ("mine", 12, 1470, 1)
    assert plan.stages[1].acid_target == AcidTarget("curd-ph", 4.4, 4.6)
    assert plan.stages[1].doses == (Dose("rennet", "rennet", 0.02, "ml"),)
    assert plan.care == (CareRule("turn", 2, 10, 1),)


@pytest.mark.parametrize(
    ("old", "new", "output"),
    [
        ('"31 degC"', "31", ["stage 1 (warm), key “target”", "31.5 degC"]),
        ('"31 degC"', '"31 kPa"', ["stage 1 (warm), key “target”", "degC, degF"]),
        ('"31 degC"', '"310 degC"', ["stage 1 (warm)", "not a temperature"]),
        ("target =", "taregt =", ["stage 1 (warm)", "no key “taregt”", "target"]),
        ('kind = "warm"', 'kind = "warmer"', ["stage 1 (warmer), key “kind”", "warm, ripen"]),
        ('kind = "warm"\n', "", ["stage 1", "“kind” is missing"]),
        ('length = "30 min"\n', "", ["stage 1 (warm)", "“length” is missing"]),
        ('"30 min"', '"30 mins"', ["stage 1 (warm), key “length”", "min, s, h, days, day"]),
        ('"4.4 pH"', '"4.4 %"', ["stage 2 (long set), acid target, key “low”", "6.2 pH"]),
        ('"4.6 pH"', '"4.2 pH"', ["stage 2 (long set), acid target", "high end"]),
        ('"curd-ph"', '"curd"', ["stage 2 (long set), acid target, key “kind”", "curd-ph"]),
        ('"0.02 ml/l"', '"0.02 ml"', ["stage 2 (long set), dose 1, key “amount”", "g/l or ml/l"]),
        ('amount = "0.02 ml/l"\n', "", ["dose 1", "“amount” is missing"]),
        ("[stage.gate]", "[[stage.gate]]", ["stage 2 (long set), acid target", "[stage.gate]"]),
        ("[[stage.dose]]", "[stage.dose]", ["stage 2 (long set), key “dose”", "[[stage.dose]]"]),
        ("[[care]]", "[care]", ["plan, key “care”", "[[care]]"]),
        ('every = "1 day"', 'every = "0 days"', ["care 1", "never falls due"]),
        ('every = "1 day"', 'every = "daily"', ["care 1, key “every”", "2 days"]),
        ('"12 l"', '"12 gal"', ["plan, key “milk”", "l, ml"]),
        ('name = "mine"\n', "", ["plan", "“name” is missing"]),
        ('name = "mine"', "name = 5", ["plan, key “name”", "quotation marks"]),
        ('name = "mine"', 'name = "mine"\nversion = true', ["plan, key “version”", "such as 4"]),
        ('name = "mine"', 'name = "mine"\nversion = 0', ["plan", "counted from 1"]),
        ('name = "mine"', 'name = "mine"\nuuid = "x"', ["plan, key “uuid”", "leave the key out"]),
        ('name = "mine"', 'name = "mine"\nform = 2', ["form 2", "form 1", "newer"]),
        ('name = "mine"', 'name = "mine"\ntaste_at = "9 days"', ["“taste_at”", "[ and ]"]),
        ('name = "mine"', 'name = "mine"\nfloc_multiplier = nan', ["“floc_multiplier”", "2.5"]),
        ('name = "mine"', 'name = "mine', ["cannot be read as a plan", "line 2"]),
        ('kind = "set"', 'kind = "set"\nalone = 1', ["stage 2 (long set), key “alone”", "true"]),
    ],
)  # fmt: skip
def test_a_fault_is_named_with_its_place_and_what_would_do(
    old: str, new: str, output: list[str]
) -> None:
    text = SOUND.replace(old, new, 1)
    assert text != SOUND
    with pytest.raises(RecordError) as refused:
        read_plan(text)
    for words_said in output:
        assert words_said in text_of(refused.value)


def test_a_plan_without_stages_is_refused() -> None:
    with pytest.raises(RecordError) as caught:
        read_plan('name = "mine"')
    assert text_of(caught.value) == "plan: A plan needs at least one stage."


def test_the_files_lie_on_the_shelf_under_their_names() -> None:
    stems = sorted(path.stem.replace("_", " ") for path in own_file("plans").glob("*.toml"))
    assert stems == NAMES
