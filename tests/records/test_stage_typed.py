"""Cells as typed: every unit of the trade, and every cell reads back what it was written from."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.message import Message
from journal.records import RecordError
from journal.records.drafts import COLUMNS
from journal.records.kinds import STAGE_KINDS
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import AcidTarget, Plan, Stage
from journal.records.stage_typed import read_cell, read_milk
from journal.records.stage_written import cell_text, milk_parts
from journal.wording import text_of
from tests.refusals import refused

CHEDDAR = builtin_plan("cheddar type")  # 150 mm mould, yield 10 %


def said_of(output: Sequence[Message]) -> str:
    return " · ".join(text_of(one) for one in output)


def _stage(kind: str, text: str, column: str = "what", minutes: float = 60) -> Stage:
    return read_cell(column, text, Stage(kind, minutes), CHEDDAR, 12.0).stage


@pytest.mark.parametrize("plan", builtin_plans(), ids=lambda plan: plan.name)
@pytest.mark.parametrize("litres", [7.3, 12.0])
def test_every_cell_reads_back_the_same(plan: Plan, litres: float) -> None:
    for stage in plan.stages:
        for column in COLUMNS:
            text = cell_text(plan, stage, column, litres)
            assert read_cell(column, text, stage, plan, litres).stage == stage


def test_units_as_people_type_them() -> None:
    assert _stage("set", "88 F", "temp").target_c == pytest.approx((88 - 32) / 1.8)
    assert _stage("cook", "1 h 15", "minutes").minutes == 75
    assert _stage("cut", "1/2 in").size_mm == pytest.approx(12.7)
    assert _stage("cut", "10").size_mm == 10
    assert _stage("press", "5 kPa").pressure_kpa == 5
    assert _stage("brine", "brine 20 %").brine_pct == 20


def test_a_weight_on_the_mould_is_a_pressure() -> None:
    # 30 lb = 13.608 kg; × 9.80665 over the area of 150 mm, 176.71 cm²: 7.55 kPa
    assert _stage("press", "30 lb").pressure_kpa == pytest.approx(7.5515, abs=1e-3)
    read = read_cell("what", "9 kg", Stage("press", 60), CHEDDAR, 12.0)
    assert said_of(read.message) == "9.0 kg on 150 mm is 5.0 kPa"
    bare = Plan("bare", (Stage("press", 60),))
    with refused(RecordError, "records.load-without-mould"):
        read_cell("what", "9 kg", Stage("press", 60), bare, 12.0)


@pytest.mark.parametrize(
    ("kind", "text", "column"),
    [
        ("press", "1,500 kg", "what"),
        ("press", "1,500", "what"),
        ("salt", "salt 1,500 g", "what"),
        ("brine", "brine 1,500 %", "what"),
        ("drain", "draw 1,500 ml", "what"),
        ("cook", "1,500 min", "minutes"),
    ],
)
def test_a_comma_that_can_be_read_in_two_ways_is_asked_about(kind, text, column) -> None:
    with refused(RecordError, "quantities.two-readings", decimal=1.5):
        read_cell(column, text, Stage(kind, 60), CHEDDAR, 12.0)


def test_doses_are_for_the_milk_there_is() -> None:
    rennet = _stage("set", "rennet 2.4 ml in 24 ml water").doses[0]
    assert (rennet.kind, rennet.per_litre, rennet.unit) == ("rennet", pytest.approx(0.2), "ml")
    assert rennet.note == "in 24 ml water"
    # 2.5 % of the curd of a litre: 1.03 kg × 10 %
    assert _stage("salt", "salt 2.5 %").doses[0].per_litre == pytest.approx(2.575)
    assert _stage("ripen", "culture 1 %").doses[0].per_litre == 10
    assert _stage("set", "rennet 0.2 ml/L").doses[0].per_litre == pytest.approx(0.2)
    assert _stage("set", "1/2 tsp rennet").doses[0].per_litre == pytest.approx(2.5 / 12)


def test_another_amount_leaves_a_doses_name_and_note() -> None:
    setting = CHEDDAR.stages[2]
    text = cell_text(CHEDDAR, setting, "what", 12.0).replace("2.35 ml", "3 ml")
    dose = read_cell("what", text, setting, CHEDDAR, 12.0).stage.doses[0]
    assert dose.name == setting.doses[0].name
    assert dose.note == setting.doses[0].note
    assert dose.per_litre == pytest.approx(0.25)


def test_gates_slopes_and_the_rest() -> None:
    assert _stage("cheddar", "mill at pH 5.35 to 5.5").acid_target == AcidTarget(
        "curd-ph", 5.35, 5.5
    )
    assert _stage("ripen", "pH 6.5-6.6 from 45 min").acid_target == AcidTarget(
        "milk-ph", 6.5, 6.6, 45
    )
    assert _stage("drain", "whey pH 6.2").acid_target == AcidTarget("whey-ph", 6.15, 6.25)
    cook = _stage("cook", "first 1 °C per 5 min for 10 min; limit 0.4 C/min; ramp 40; ± 1.5")
    assert (cook.first_c_per_min, cook.first_min) == (pytest.approx(0.2), 10)
    assert (cook.limit_c_per_min, cook.ramp_min, cook.tolerance_c) == (0.4, 40, 1.5)
    wash = _stage("wash", "draw 1/3; water 2.4 L at 140 F")
    assert wash.whey_drawn_per_l == pytest.approx(1 / 3)
    assert (wash.water_added_per_l, wash.water_c) == (pytest.approx(0.2), pytest.approx(60))
    assert _stage("cheddar", "turn every 15").turns == 3  # an hour: the fourth would be its end
    assert _stage("cheddar", "turn every 25").intervals_min == (25, 25, 10)
    assert _stage("drain", "alone; humidity 85").alone


def test_a_bare_per_cent_is_what_its_stage_is_about() -> None:
    assert _stage("brine", "20 %").brine_pct == 20
    assert not _stage("brine", "20 %").doses
    assert _stage("salt", "2 %").doses == _stage("salt", "salt 2 %").doses
    assert _stage("cheddar", "20 turns").turns == 20


def test_a_name_known_nowhere_is_marked_as_new() -> None:
    def output(text: str, names: tuple[str, ...] = ()) -> str:
        return said_of(read_cell("what", text, Stage("set", 40), CHEDDAR, 12.0, names).message)

    assert output("renet 2 ml").endswith("a new ingredient")
    assert "new" not in output("rennet 2 ml")
    assert "new" not in output("nettle 2 g", ("nettle",))


def test_commas_part_where_each_part_says_something() -> None:
    setting = _stage("set", "rennet 1/2 tsp, milk pH 6.5 to 6.6")
    assert setting.acid_target == AcidTarget("milk-ph", 6.5, 6.6)
    assert setting.doses[0].per_litre == pytest.approx(2.5 / 12)
    assert _stage("set", "rennet 2,4 ml").doses[0].per_litre == pytest.approx(0.2)
    noted = _stage("set", "rennet 2.4 ml in 24 ml water, cooled").doses[0]
    assert noted.note == "in 24 ml water, cooled"
    with refused(RecordError, "records.part-by-semicolon"):
        _stage("set", "rennet 1/2 tsp, some of it")


@pytest.mark.parametrize("text", ["acidity 16 D to 18 D", "acidity 16 to 18 D",
                                  "whey acidity 0.16 % to 0.18 %"])  # fmt: skip
def test_a_unit_said_twice_is_said_once(text: str) -> None:
    assert _stage("drain", text).acid_target == AcidTarget("whey-acidity", 0.16, 0.18)


def test_names_say_their_kind() -> None:
    def named(text: str, stage: Stage | None = None) -> tuple[str, str]:
        found = read_cell("stage", text, stage, CHEDDAR, 12.0).stage
        return found.kind, found.name

    assert named("cook") == ("cook", "")
    assert named("first press") == ("press", "first press")
    assert named("cut, heal") == ("cut", "cut, heal")
    assert named("ripen: culture in") == ("ripen", "culture in")
    assert named("settle", Stage("pitch", 10)) == ("pitch", "settle")
    with refused(RecordError, "records.no-stage-named", known=tuple(STAGE_KINDS)):
        named("settle")


@pytest.mark.parametrize(
    ("kind", "text", "refusal", "output"),
    [
        ("drain", "gibberish", "records.part-not-understood", "is not understood"),
        ("set", "20 %", "records.bare-percent", "Say what 20 % is"),
        ("set", "12 %", "records.bare-percent", "salt 12 %"),
        ("set", "31 C", "records.dose-is-temperature", "is a temperature"),
        ("set", "25 mins", "records.dose-is-time", "a length of time"),
        ("set", "floc × 3", "records.said-of-the-plan", "milk line"),
        ("set", "rennet -2 ml", "records.dose-of-nothing", "more than nothing"),
        ("set", "rennet −2 ml", "records.dose-of-nothing", "more than nothing"),
        ("set", "? 2 ml", "records.dose-without-name", "Say what"),
        ("press", "10", "records.bare-number", "Say what 10 is"),
        ("set", "rennet 2.4 kPa", "quantities.not-its-unit", "not a unit"),
        (
            "drain",
            "curd acidity 0.2",
            "records.acidity-of-curd",
            "Acidity is read of milk or of whey",
        ),
        ("cook", "first 0.2 C/min", "records.first-slope-without-length", "needs its length"),
        (
            "cook",
            "first 0.2 C/min for 90 min",
            "records.first-slope-too-long",
            "leave time after it",
        ),
        ("cheddar", "turn often", "records.turn-not-understood", "turn 4 times"),
        (
            "press",
            "turn after 10, 10, 15",
            "records.turn-not-understood",
            "or turn after 10, 10, 15 min",
        ),
    ],
)
def test_what_is_not_understood_says_why(kind: str, text: str, refusal: str, output: str) -> None:
    with refused(RecordError, refusal) as caught:
        _stage(kind, text)
    assert output in text_of(caught.value)


def test_the_line_of_the_milk() -> None:
    for plan in builtin_plans():
        text = "; ".join(part.text for part in milk_parts(plan))
        fields, _ = read_milk("what", text, plan)
        assert all(getattr(plan, name) == value for name, value in fields.items())
    fields, output = read_milk("what", "goat; raw; thermophilic; yield 12; mould 6 in", CHEDDAR)
    assert (fields["animal"], fields["treatment"], fields["culture_type"]) == (
        "goat", "raw", "thermophilic",
    )  # fmt: skip
    assert fields["mould_mm"] == pytest.approx(152.4)
    assert [one.id for one in output] == ["records.read-value"]
    assert said_of(output) == "6 in is 152.4 mm"
    with refused(RecordError, "records.milk-part-not-understood", text="camel"):
        read_milk("what", "camel", CHEDDAR)


@given(st.text(max_size=40), st.sampled_from(COLUMNS))
def test_whatever_is_typed_is_understood_or_refused_with_a_sentence(text: str, column: str) -> None:
    output, minutes = "", 0.0
    try:
        minutes = read_cell(column, text, Stage("cook", 60), CHEDDAR, 12.0).stage.minutes
    except RecordError as error:
        output = str(error).strip()
    assert output or minutes > 0
