"""The parts of a press between its turns: as typed, as a file, as kept, and when turns fall."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.keeping import Journal
from journal.message import Message
from journal.records import RecordError
from journal.records.coming import coming, next_turn_ms, turn_of
from journal.records.makes import Make, Milk, StageRun
from journal.records.plan_columns import dose_packed, dose_unpacked, stage_packed, stage_unpacked
from journal.records.plan_text import read_plan, write_plan
from journal.records.plans import Dose, Plan, Stage
from journal.records.stage_typed import read_cell
from journal.records.stage_written import cell_text
from journal.wording import text_of
from journal.wording.stages import press_words
from tests.refusals import refused

PRESS = Stage("press", 45)
PLAN = Plan("pressed", (PRESS,), milk_l=12.0, mould_mm=150.0)


def typed(text: str, stage: Stage = PRESS, plan: Plan = PLAN) -> Stage:
    return read_cell("what", text, stage, plan, plan.milk_l).stage


@pytest.mark.parametrize(
    "text",
    ["10, 10, 10, 15 min", "press 10, 10, 10, 15 min", "intervals 10, 10, 10 and 15 min",
     "10 min, 10 min, 10 min, 15 min", "10,10,10,15 min", "10, then 10, then 10, then 15 min"],
)  # fmt: skip
def test_unequal_intervals_can_be_typed(text: str) -> None:
    stage = typed(text.replace(" and ", ", "))
    assert stage.intervals_min == (10, 10, 10, 15)
    assert (stage.turns, stage.minutes, stage.pressures_kpa) == (3, 45, ())


def test_intervals_with_a_load_each() -> None:
    stage = typed("10 min at 4 kg, 10 min at 6 kg, 10 min at 20 lb, 15 min at 12 kPa; alone")
    # 4 kg × 9.80665 over the area of 150 mm, 176.71 cm², is 2.220 kPa; 20 lb are 9.072 kg.
    assert stage.pressures_kpa == pytest.approx((2.2198, 3.3297, 5.0343, 12.0), abs=1e-3)
    assert (stage.pressure_kpa, stage.turns, stage.alone) == (12.0, 3, True)
    assert press_words(PLAN, stage) == (
        "press with 4.0 kg, then 6.0 kg, then 9.1 kg, then 22 kg on each mould of 150 mm "
        "(2.2, 3.3, 5.0, 12.0 kPa)"
    )
    one = typed("10, 10, 25 min at 9 kg")
    assert (one.pressures_kpa, one.turns) == ((), 2)
    assert one.pressure_kpa == pytest.approx(4.9945, abs=1e-3)


def test_the_stage_takes_the_length_of_its_intervals() -> None:
    read = read_cell("what", "20, 40, 60 min", PRESS, PLAN, 12.0)
    assert read.stage.minutes == 120
    assert read.message == (Message("records.read-intervals", turns=2, minutes=120.0),)
    assert text_of(read.message[0]) == "2 turns between, 2 h in all"
    longer = read_cell("minutes", "240", read.stage, PLAN, 12.0).stage
    assert longer.intervals_min == (40, 80, 120)


@pytest.mark.parametrize(
    ("text", "refusal", "output"),
    [
        ("10 min at 4 kg, 10 min", "loads-of-some-parts", "its load"),
        ("10, 0, 10 min", "interval-of-nothing", "above 0"),
        ("10 min at 4 kg, 15 min at much", "part-by-semicolon", "not"),
    ],
)
def test_intervals_that_cannot_be_say_why(text: str, refusal: str, output: str) -> None:
    with refused(RecordError, f"records.{refusal}") as caught:
        typed(text)
    assert output in text_of(caught.value)


def test_parts_that_do_not_agree_are_refused() -> None:
    for wrong, refusal in (
        ({"intervals_min": (10.0, 20.0), "turns": 1}, "intervals-sum"),
        ({"intervals_min": (25.0, 20.0), "turns": 2}, "turns-between-intervals"),
        ({"intervals_min": (45.0, 0.0), "turns": 1}, "interval-of-nothing"),
        ({"pressures_kpa": (5.0, 6.0), "pressure_kpa": 6.0}, "pressures-of-parts"),
        ({"pressures_kpa": (5.0, 6.0), "pressure_kpa": 5.0, "turns": 1}, "pressure-is-greatest"),
    ):
        with refused(RecordError, f"records.{refusal}"):
            replace(PRESS, **wrong)


def test_what_does_not_agree_is_named_in_numbers() -> None:
    wrong = {"intervals_min": (25.0, 20.0), "turns": 2}
    with refused(RecordError, "records.turns-between-intervals", between=1, turns=2) as caught:
        replace(PRESS, **wrong)
    assert text_of(caught.value) == "Between 2 intervals lies 1 turn, not 2."


lengths = st.lists(st.floats(1, 300).map(lambda x: round(x, 1)), min_size=2, max_size=6)
loads = st.floats(0.5, 60).map(lambda x: round(x, 3))


@st.composite
def pressed(draw: st.DrawFn) -> Stage:
    """A press with unequal parts, each with a load or none."""
    parts = draw(lengths)
    kpa = [draw(loads) for _ in parts] if draw(st.booleans()) else []
    return Stage(
        "press", sum(parts), turns=len(parts) - 1, intervals_min=tuple(parts),
        pressures_kpa=tuple(kpa), pressure_kpa=max(kpa) if kpa else draw(st.none() | loads),
        instruction=draw(st.sampled_from(["", "Turn it.", "One.\nTwo."])),
        doses=(Dose("culture", "any", 0.1, "ml", draw(st.sampled_from(["", "in water"])), True),),
    )  # fmt: skip


@given(pressed(), st.sampled_from([None, 150.0]))
@settings(max_examples=40, deadline=None)
def test_a_cell_a_file_and_a_row_read_back_the_same(stage: Stage, mould: float | None) -> None:
    plan = Plan("pressed", (stage,), milk_l=12.0, mould_mm=mould)
    text = cell_text(plan, stage, "what", 12.0)
    assert typed(text, stage, plan) == stage
    again = typed(text, replace(PRESS, doses=stage.doses), plan)  # typed by another hand
    assert again.intervals_min == pytest.approx(stage.intervals_min)
    assert again.pressures_kpa == pytest.approx(stage.pressures_kpa, rel=0.12)
    assert read_plan(write_plan(plan)) == plan
    assert stage_unpacked(stage_packed(stage)) == stage
    assert dose_unpacked(dose_packed(stage.doses[0])) == stage.doses[0]


def test_a_file_may_leave_out_what_the_intervals_say() -> None:
    plan = read_plan(
        'name = "p"\n[[stage]]\nkind = "press"\nlength = "45 min"\n'
        'intervals = ["10 min", "10 min", "10 min", "15 min"]\n'
        'pressures = ["3 kPa", "5 kPa", "7 kPa", "9 kPa"]\n'
    )
    assert (plan.stages[0].turns, plan.stages[0].pressure_kpa) == (3, 9)
    with refused(RecordError, "records.at-line", line=5) as caught:
        read_plan(
            'name = "p"\n[[stage]]\nkind = "press"\nlength = "45 min"\n'
            'intervals = ["20 min", "20 min"]\n'
        )
    why = caught.value.values["why"].values["why"]
    assert (why.id, why.values) == ("records.intervals-sum", {"total": 40.0, "minutes": 45.0})


def test_words_that_only_look_like_parts_stay_words() -> None:
    stage = replace(PRESS, instruction="Parts between turns: 10.0, 10.0 min.")
    assert stage_unpacked(stage) == stage
    dose = Dose("salt", "salt", 2.0, "g", "by the spoon")
    assert dose_unpacked(dose) == dose


def test_spoons_and_parts_are_kept(tmp_path: Path) -> None:
    stage = typed("10 min at 4 kg, 35 min at 9 kg; culture 1/4 tsp in 24 ml water")
    plan = replace(PLAN, stages=(stage,))
    path = tmp_path / "kitchen.vatside"
    with Journal.create(path) as journal:
        assert journal.plans.save(plan).stages == (stage,)
    with Journal.open(path) as journal:
        assert journal.plans.by_name("pressed").stages == (stage,)


def run(stage: Stage, turned: int, **more: object) -> StageRun:
    return StageRun(1, 0, stage.kind, 0, 0, began_ms=0, turned_ms=(1,) * turned, **more)


def test_turns_part_a_stage_and_none_falls_on_its_end() -> None:
    even = replace(PRESS, turns=3)
    due = [next_turn_ms(run(even, n), even) for n in range(4)]
    assert due == [675_000, 1_350_000, 2_025_000, None]  # 45 min in quarters
    uneven = typed("10, 10, 10, 15 min")
    due = [next_turn_ms(run(uneven, n), uneven) for n in range(4)]
    assert due == [600_000, 1_200_000, 1_800_000, None]
    longer = next_turn_ms(run(uneven, 0, extra_min=45.0), uneven)
    assert longer == 1_200_000  # twice as long, so each part is


def test_a_turn_says_the_load_that_follows_it() -> None:
    stage = typed("10 min at 4 kg, 10 min at 6 kg, 25 min at 6 kg")
    make = Make("HL-0001", 1, Milk(12.0), 0, id=1)
    for done, words in ((0, "turn 1 of 2, then 6.0 kg"), (1, "turn 2 of 2")):
        found = coming(make, replace(PLAN, stages=(stage,)), [run(stage, done, id=1)], ())
        assert text_of(found[0].words) == words
    first, second = (turn_of(PLAN, stage, done) for done in (0, 1))
    assert (first.id, first.values["turn"], first.values["turns"]) == (
        "records.turn-then-load", 1, 2,
    )  # fmt: skip
    assert first.values["load_kg"] == pytest.approx(6.0)
    assert (second.id, second.values) == ("records.turn", {"turn": 2, "turns": 2})
