"""Every plan brought along, by the program's own sums: `vatside reckon` warns of none of them.

The sums stand on their own published values (test_reckon_command.py); here each plan's figures go
through them as a maker would type them.
"""

from __future__ import annotations

import json
from datetime import datetime, timedelta

import pytest

from journal.command import main
from journal.records.plan_expected import expected
from journal.records.plan_text import builtin_plans
from journal.records.plans import Plan

PLANS = builtin_plans()
LACTIC = ("lactic", "goat with ash")
POURED = ["butter", "cream cheese", "cultured cream", "mascarpone", "quark", "strained yoghurt",
          "yoghurt"]  # fmt: skip
MOULDED = [plan for plan in PLANS if plan.mould_mm is not None]


def reckon(capsys, *words: str) -> dict:
    assert main(["reckon", *words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def quiet(capsys, *words: str) -> dict:
    output = reckon(capsys, *words)
    assert output["warnings"] == [], words
    return output


def doses(plan: Plan, kind: str) -> list[str]:
    found = [d for s in plan.stages for d in s.doses if d.kind == kind]
    return [f"dose={dose.per_litre:g} {dose.unit}/L" for dose in found]


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.name)
def test_what_goes_in(plan: Plan, capsys) -> None:
    milk = f"milk={plan.milk_l:g} L"
    for dose in doses(plan, "culture"):
        quiet(capsys, "culture", milk, dose)
    for stage in plan.stages:
        for dose in stage.doses:
            if dose.kind == "calcium chloride":
                output = f"dose={dose.per_litre:g} ml/L"
                assert quiet(capsys, "calcium-chloride", milk, output)["of_milk_pct"] <= 0.02
    rennets = doses(plan, "rennet")
    if rennets and plan.name not in LACTIC:  # a lactic cheese sets by acid, with a tenth of a set's
        quiet(capsys, "rennet", milk, rennets[0], "strength=250 IMCU/ml")


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.name)
def test_the_ramps(plan: Plan, capsys) -> None:
    now = plan.milk_c
    for stage in plan.stages:
        if stage.target_c is None or stage.target_c <= now or stage.limit_c_per_min is None:
            now = stage.target_c if stage.target_c is not None else now
            continue
        words = [f"from={now:g} °C", f"to={stage.target_c:g} °C",
                 f"minutes={stage.ramp_length_min:g} min",
                 f"limit_c_per_min={stage.limit_c_per_min:g} °C/min"]  # fmt: skip
        if stage.first_c_per_min is not None:
            words += [f"first_slope_c_per_min={stage.first_c_per_min:g} °C/min",
                      f"first_minutes={stage.first_min:g} min"]  # fmt: skip
        output = reckon(capsys, "ramp", *words)["warnings"]
        # The first slope is cheddar's; alpine curd is heated at once, as published (T&F 1918).
        assert not output or (
            plan.name == "alpine type" and "alpine curd is published" in output[0]
        )
        assert len(output) <= 1
        now = stage.target_c


def test_only_what_is_poured_or_worked_has_no_mould() -> None:
    assert [plan.name for plan in PLANS if plan.mould_mm is None] == POURED


@pytest.mark.parametrize("plan", MOULDED, ids=lambda plan: plan.name)
def test_the_mould_the_press_and_the_brine(plan: Plan, capsys) -> None:
    assert plan.mould_mm is not None
    found = expected(plan, plan.milk_l)
    wheel = found.cheese_kg / found.moulds
    quiet(capsys, "mould", f"milk={plan.milk_l:g} L", f"mould={plan.mould_mm:g} mm",
          f"yield={plan.yield_pct:g} %", f"wheels={found.moulds}")  # fmt: skip
    for stage in plan.stages:
        if stage.pressure_kpa:
            words = (f"pressure={stage.pressure_kpa:g} kPa", f"wheel_weight={wheel:.3f} kg")
            output = quiet(capsys, "press", f"mould={plan.mould_mm:g} mm", *words)
            assert output["multiple_of_weight"] <= 20.5  # the old rule, Thom & Fisk 1918, par. 189
        if stage.kind == "brine":
            words = (
                f"pct_w_w={stage.brine_pct:g} %", f"hours={stage.minutes / 60:g} h",
                f"diameter={plan.mould_mm:g} mm", f"height={found.height_mm:.1f} mm",
                "moisture_pct=42 %", "temp=12 °C",
            )  # fmt: skip
            output = quiet(capsys, "brine", *words)
            # a textbook: semi-hard cheese 1.6 to 2.2 %; the sum says somewhat more of small wheels
            assert 1.4 <= max(output["cheese_salt_pct"]) <= 2.6


def test_the_brine_white_cheese_is_kept_in_is_not_called_too_weak(capsys) -> None:
    """7 % advised (Pappas et al. 1996), 6.5 to 9.5 % tried (McMahon et al. 2009)."""
    for percent in (7, 8, 9.5):
        output = reckon(capsys, "brine", f"pct_w_w={percent} %")
        assert len(output["warnings"]) == 1
        assert "to keep white cheese in" in output["warnings"][0]
        assert "slim" not in output["warnings"][0]
    assert "slimy" in reckon(capsys, "brine", "pct_w_w=12 %")["warnings"][0]
    assert "slimy" in reckon(capsys, "brine", "pct_w_w=4 %")["warnings"][0]


GATED = [
    (plan, place)
    for plan in PLANS
    for place, stage in enumerate(plan.stages)
    if plan.sours and stage.acid_target is not None and stage.acid_target.kind.endswith("ph")
]


@pytest.mark.parametrize(
    ("plan", "place"), GATED, ids=lambda one: one.name if isinstance(one, Plan) else str(one)
)
def test_the_forecast_finds_every_gate_within_reach(plan: Plan, place: int, tmp_path, capsys):
    """Before any reading: the pH the acid target opens at is more likely reached than not, within
    its 80 % range not later than the acid target closes, and its lowest not before the acid target
    opens."""
    path, began = str(tmp_path / "k.vatside"), "2026-03-14T08:00+00:00"
    words = ["--plan", plan.name, "--milk", f"{plan.milk_l:g}l", "--at", began]
    assert main(["begin", path, *words]) == 0
    capsys.readouterr()
    acid_target, stage = plan.stages[place].acid_target, plan.stages[place]
    assert acid_target is not None
    start = datetime.fromisoformat(began) + timedelta(minutes=plan.starts()[place])
    opens = start + timedelta(minutes=acid_target.from_min or 0)
    closes = start + timedelta(minutes=acid_target.to_min or stage.minutes)
    where = "whey" if acid_target.kind == "whey-ph" else "curd"

    def forecast(ph: float) -> dict:
        asked = ["forecast", path, "latest", "--ph", f"{ph:g}", "--of", where, "--json"]
        assert main(asked) == 0
        return json.loads(capsys.readouterr().out)

    high, low = forecast(acid_target.high), forecast(acid_target.low)
    assert high["chance"] >= 0.5
    assert high["low_at"] is None or datetime.fromisoformat(high["low_at"]) <= closes
    assert low["high_at"] is None or datetime.fromisoformat(low["high_at"]) >= opens
