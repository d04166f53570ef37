"""A dose is written by one module: never rounded to nothing, in spoons where it was typed so."""

from __future__ import annotations

import ast
import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.quantities.typed import parse
from journal.quantities.written import SMALLEST_SPOON_ML, spoonfuls
from journal.records.dose_written import format_amount, format_dose, typed_amount
from journal.records.plan_text import read_plan, write_plan
from journal.records.plans import Plan, Stage
from journal.records.stage_typed import read_cell
from journal.records.stage_written import cell_text

ROOT = Path(__file__).resolve().parents[2]
RIPEN = Stage("ripen", 45)
PLAN = Plan("spoons", (RIPEN,), milk_l=12.0)


def typed(text: str, stage: Stage = RIPEN, litres: float = 12.0) -> Stage:
    return read_cell("what", text, stage, PLAN, litres).stage


@pytest.mark.parametrize(
    ("amount", "unit", "text"),
    [
        (0.004, "g", "0.004 g"),
        (0.00045, "g", "0.00045 g"),
        (0.0625, "g", "0.0625 g"),
        (2.4, "ml", "2.4 ml"),
        (19.26, "g", "19.3 g"),
        (1234.5, "g", "1234 g"),
        (0.0, "g", "0 g"),
        (9.996, "ml", "10 ml"),
    ],
)
def test_an_amount_keeps_the_digits_that_count(amount: float, unit: str, text: str) -> None:
    assert format_amount(amount, unit) == text


@given(st.floats(1e-7, 1e6), st.sampled_from(["g", "ml"]))
def test_an_amount_is_never_written_as_nothing_and_reads_back(amount: float, unit: str) -> None:
    quantity = "mass_g" if unit == "g" else "volume_ml"
    assert parse(format_amount(amount, unit), quantity).stored == pytest.approx(amount, rel=0.0051)
    assert parse(typed_amount(amount, unit), quantity).stored == pytest.approx(amount, rel=1e-5)


# The spoons of a set: common practice, no source. A teaspoon of 5 ml, a tablespoon of 15 ml as
# labels have them in 21 CFR 101.9(b)(5)(viii).
@pytest.mark.parametrize(
    ("ml", "text"),
    [
        (0.15625, "1/32 tsp"),
        (0.3125, "1/16 tsp"),
        (1.25, "1/4 tsp"),
        (1.3, "1/4 tsp"),
        (3.75, "1/2 + 1/4 tsp"),
        (6.25, "1 1/4 tsp"),
        (10.0, "2 tsp"),
        (15.0, "1 tbsp"),
        (20.0, "1 tbsp + 1 tsp"),
        (0.22, "about 1/32 tsp"),
        (105.0, "7 tbsp"),
    ],
)
def test_spoons_of_a_set(ml: float, text: str) -> None:
    assert spoonfuls(ml) == text


@given(st.floats(SMALLEST_SPOON_ML, 500))
@settings(max_examples=60, deadline=None)
def test_spoons_are_near_and_say_when_they_are_not(ml: float) -> None:
    words = spoonfuls(ml)
    stage = typed(f"culture {words}", litres=1.0)
    (dose,) = stage.doses
    assert dose.spoons
    off = abs(math.log(dose.per_litre / ml))
    assert words.startswith("about ") == (off > 0.05 + 1e-12)
    # 1/32 and 1/16 tsp are a factor of two apart, above them the sums of two spoons lie closer.
    assert off <= math.log(2) / 2 + 1e-9 if ml < 0.3125 else off <= math.log(1.5) / 2 + 1e-9


def test_what_was_typed_in_spoons_is_written_in_spoons_and_in_ml() -> None:
    stage = typed("1/4 tsp culture; rennet 2.4 ml; mould 1/32 tsp")
    assert [dose.spoons for dose in stage.doses] == [True, False, True]
    assert [format_dose(dose, 12.0) for dose in stage.doses] == [
        "1/4 tsp (1.2 ml)", "2.4 ml", "1/32 tsp (0.16 ml)"
    ]  # fmt: skip
    assert format_dose(stage.doses[0], 24.0) == "1/2 tsp (2.5 ml)"
    assert format_dose(stage.doses[2], 1.0) == "0.013 ml (less than the smallest spoon)"


@given(st.sampled_from(["1/4 tsp", "1 1/2 tsp", "2 tbsp", "1/16 tsp"]), st.floats(6, 40))
@settings(max_examples=30, deadline=None)
def test_a_cell_in_spoons_reads_back_the_same(measure: str, litres: float) -> None:
    stage = typed(f"culture {measure}")
    text = cell_text(PLAN, stage, "what", litres)
    assert typed(text, stage, litres) == stage
    again = typed(f"{text} ; salt 20 g", replace(stage, doses=stage.doses), litres).doses[0]
    assert again == stage.doses[0]
    fresh = typed(text, RIPEN, litres).doses[0]  # as if typed by hand, what stands in brackets too
    assert fresh.spoons
    assert fresh.per_litre == pytest.approx(
        stage.doses[0].per_litre, rel=0.4143
    )  # two spoons are a factor of two apart


def test_spoons_go_through_the_file_of_a_plan() -> None:
    plan = replace(PLAN, stages=(typed("1/4 tsp culture; salt 30 g"),))
    text = write_plan(plan)
    assert text.count("spoons = true") == 1
    assert read_plan(text) == plan


def test_no_other_module_writes_a_dose() -> None:
    """None but this one, and its like for the eye alone, turns grams or millilitres of an
    ingredient, or a dose, into text."""
    found = []
    for path in sorted((ROOT / "journal").rglob("*.py")):
        index = path.relative_to(ROOT).as_posix()
        if index in WRITING or index.startswith("journal/quantities/"):
            continue
        text = path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)) if TELLING.search(text) else ():
            if _writes_a_dose(node):
                found.append(f"{index}:{node.lineno}")
    # A jug of under a litre of milk; what the trade's sums answer is no dose of a plan.
    assert [one for one in found if not one.startswith(ALLOWED)] == []


def test_no_other_module_arranges_doses() -> None:
    """What makes words of a dose is called by the module of doses alone, which gives the doses of a
    stage and of a make, and by the one that writes the cell in which they are typed."""
    makers = {"format_dose", "format_measured", "dose_text", "kitchen_words", "direct_set_sentence"}
    calls = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "journal").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Name) and node.id in makers
    }
    assert calls == {*WRITING, "journal/records/stage_written.py"}


WRITING = ("journal/records/dose_written.py", "journal/wording/doses.py")
TELLING = re.compile(
    r"mass_g|volume_ml|kitchen\(|spoonfuls\(|per_litre|for_milk|amount_left|per_make"
)
ALLOWED = ("journal/wording/drafts.py", "journal/topics/written.py", "journal/records/plans.py",
           "journal/records/makes.py", "journal/curves/plan_faults.py",
           "journal/findings/plan_variables.py")  # fmt: skip


def _writes_a_dose(node: ast.AST) -> bool:
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        if node.func.id in ("kitchen", "spoonfuls"):
            return True
        words = {n.value for n in ast.walk(node) if isinstance(n, ast.Constant)}
        return node.func.id == "write" and bool(words & {"mass_g", "volume_ml"})
    if not isinstance(node, ast.FormattedValue):
        return False
    names = {n.attr for n in ast.walk(node.value) if isinstance(n, ast.Attribute)}
    calls = {n.func.id for n in ast.walk(node.value)
             if isinstance(n, ast.Call) and isinstance(n.func, ast.Name)}  # fmt: skip
    written = any(call.startswith(("format_", "typed_")) for call in calls)
    return not written and bool(names & {"per_litre", "for_milk", "amount_left", "per_make"})
