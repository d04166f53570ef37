"""How far the acid must have come by which hour: published where it is, else the plan's own.

Source of the published limits: rows D001 and D012 in data/danger_acid.csv, C297 in
data/causes_slow_acid.csv.
"""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from journal.command import main
from journal.curves.acid_limits import family_of, limits_of, target_of
from journal.curves.acidity import fit, forecast
from journal.curves.culture_time import culture_in_min
from journal.curves.events import events
from journal.curves.plan_acid import planned_make
from journal.curves.plan_faults import faults
from journal.records.makes import Make, Milk
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import AcidTarget, Plan, Stage
from journal.records.tables import table
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.sample.plans import plan_of
from journal.wording import text_of, worded
from tests.even_makes import versions

DATA = Path(__file__).parent / "data"
START_MS = 1_760_000_000_000
SOURED = [p for p in builtin_plans() if any(d.kind == "culture" for s in p.stages for d in s.doses)]


def published(row: str, file_name: str = "danger_acid.csv") -> dict[str, str]:
    with (DATA / file_name).open(encoding="utf-8", newline="") as file:
        return next(r for r in csv.DictReader(file) if r["id"] == row)


def read(plan: Plan, kind: str, hours, values) -> WholeMake:
    """A make of the plan as planned, read so many hours after its culture went in."""
    zero = culture_in_min(planned_make(plan))
    at = START_MS + np.round((np.asarray(hours) * 60 + zero) * 60_000).astype(np.int64)
    trace = Trace(kind, at, np.asarray(values, float), np.zeros(len(at), np.uint8))
    return WholeMake(Make("HL-0001", 1, Milk(plan.milk_l), START_MS), plan, traces={kind: trace})


def slow_words(whole: WholeMake) -> str:
    last = max(int(trace.at_ms[-1]) for trace in whole.traces.values())
    found = [text_of(e.message) for e in events(whole, last + 60_000) if e.kind == "slow acid"]
    return found[0] if found else ""


def test_the_table_says_what_was_published_and_where() -> None:
    rows, pressed, lactic = table("acid_limits"), published("D001"), published("D012")
    assert rows["family"] == ["uncooked pressed", "lactic", "lactic", "any other"]
    assert pressed["limit"].startswith(rows["good"][0])
    assert f"tolerated {rows['slow'][0]}" in pressed["note"]
    assert "6 h" in pressed["what"]
    assert rows["hours"] == ["6", "12", "24", ""]
    assert lactic["limit"].startswith(f"{float(rows['good'][2]) * 100:.0f}-65 D at 24 h")
    slow = published("C297", "causes_slow_acid.csv")
    assert f"-{float(rows['slow'][2]) * 100:.0f} D instead of 55-65 D" in slow["threshold_or_range"]
    assert rows["source"][1] == rows["source"][3] == "common practice, no source"
    assert rows["good"][3] == rows["slow"][3] == ""


@pytest.mark.parametrize("plan", SOURED, ids=lambda plan: plan.name)
def test_each_plan_goes_by_its_own_family_and_else_by_its_own_target(plan: Plan) -> None:
    known = {"tomme": "uncooked pressed", "lactic": "lactic", "goat with ash": "lactic"}
    family = known.get(plan.name, "")
    assert family_of(plan) == family
    limits = limits_of(plan)
    assert {limit.family for limit in limits} <= {family}
    assert all(("no source" in text_of(limit.message)) != limit.published for limit in limits)
    assert any(limit.published for limit in limits) == bool(family)
    if not family:
        acid_targets = [
            s.acid_target.high
            for s in plan.stages
            if s.acid_target and s.acid_target.kind.endswith("-ph")
        ]
        assert {limit.good for limit in limits} <= set(acid_targets)
        assert not any(
            name in text_of(limit.message) for limit in limits for name in ("Saint", "Salers")
        )


def test_a_plan_without_family_and_target_has_no_limit() -> None:
    plan = Plan("My own", (Stage("ripen", 600, target_c=31.0),))
    assert limits_of(plan) == ()
    assert target_of(plan) is None


def test_a_sound_lactic_make_is_not_called_slow() -> None:
    plan = builtin_plan("lactic")
    sound = read(plan, "curd-ph", [0, 6, 9, 12, 18, 24], [6.62, 6.4, 6.1, 5.7, 4.9, 4.55])
    for readings in range(1, 7):
        trace = sound.trace("curd-ph")
        some = Trace("curd-ph", *(c[:readings] for c in (trace.at_ms, trace.value, trace.flags)))
        assert slow_words(replace(sound, traces={"curd-ph": some})) == ""


@pytest.mark.parametrize(
    "ph", [[6.62, 6.58, 6.52, 6.45], [6.62, 6.6, 6.58, 6.5], [6.6, 6.5, 6.45, 6.43]]
)
def test_a_lactic_vat_above_64_at_twelve_hours_is_named(ph) -> None:
    output = slow_words(read(builtin_plan("lactic"), "curd-ph", [0, 4, 8, 12], ph))
    assert "for lactic cheese after" in output
    assert "do not eat it, do not age it" in output
    assert "Saint-Nectaire" not in output


def test_uncooked_pressed_curd_above_63_at_six_hours_is_named_with_its_limit() -> None:
    plan = builtin_plan("tomme")
    output = slow_words(read(plan, "curd-ph", [0, 1, 3, 5, 6], [6.62, 6.6, 6.55, 6.5, 6.48]))
    assert "pH 5.8 or below" in output
    assert "6.3 was tolerated" in output
    sound = read(plan, "curd-ph", [0, 1, 3, 5, 6], [6.62, 6.55, 6.3, 5.8, 5.6])
    assert slow_words(sound) == ""


def test_another_cheese_is_named_by_its_own_target_alone() -> None:
    plan = builtin_plan("cheddar type")
    output = slow_words(read(plan, "curd-ph", [0, 1, 3, 5, 6], [6.62, 6.6, 6.55, 6.5, 6.48]))
    assert "the plan's own acid target is curd at pH" in output
    assert "common practice, no source" in output
    assert "Saint-Nectaire" not in output


def test_no_word_of_slow_or_stalled_once_the_target_is_met() -> None:
    """A curd that hangs above its target for hours and then has come down to it."""
    plan = builtin_plan("cheddar type")
    hours, ph = [0, 1, 2, 3, 4, 5, 6, 7], [6.62, 6.6, 6.58, 6.55, 6.53, 6.52, 6.5, 6.49]
    slow = read(plan, "curd-ph", hours, ph)
    assert forecast(slow, 5.4).called
    met = read(plan, "curd-ph", [*hours, 12, 14], [*ph, 5.5, 5.38])
    found = forecast(met, 5.2)
    assert not found.called
    assert found.message is None
    assert slow_words(met) == ""
    assert fit(met).met


def test_a_plan_that_lets_uncooked_pressed_curd_stay_sweet_is_a_fault() -> None:
    plan = builtin_plan("tomme")
    assert faults(plan) == []
    late = next(i for i, s in enumerate(plan.stages) if s.kind == "brine")
    stages = list(plan.stages)
    stages[late] = replace(stages[late], acid_target=AcidTarget("curd-ph", 6.35, 6.45))
    found = [text_of(f.message) for f in faults(replace(plan, stages=tuple(stages)))]
    assert any("leaves the curd too sweet" in s and "6 hours" in s for s in found)


@pytest.mark.parametrize("topic", ["culture"])
def test_the_sum_of_the_culture_names_each_family_and_condemns_no_sound_lactic(capsys, topic):
    assert main(["reckon", topic, "milk=10L", "--json"]) == 0
    output = " ".join(json.loads(capsys.readouterr().out)["cautions"])
    assert "uncooked pressed cheese 6 hours after the culture: pH 5.8 or below" in output
    assert "lactic cheese 24 hours after the culture: whey of 55 to 65 °D" in output
    assert "any other cheese: the plan's own acid target" in output
    assert "do not eat such a cheese, do not age it" in output
    assert "Milk that stays above pH 5.8" not in output


def test_no_number_of_another_family_stands_elsewhere() -> None:
    for version in versions(7)[:3]:
        caution = plan_of(version, 1, "plan-1").caution
        assert "6.2" not in caution
        assert "do not eat it, do not age it" in caution


def test_the_short_caution_says_the_one_thing_that_protects() -> None:
    assert "do not eat this cheese and do not age it" in worded("desk.slow-acid-in-short")
