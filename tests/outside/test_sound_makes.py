"""A sound make at the middle of its plan's own acid targets is never told that it will not get
there.

Its pH falls as the published activity test does (University of Guelph, Fig. 3.1: 6.62 to 4.87 in
nine hours), as far as the plan's last acid target and a little below it, and so fast that it
passes the middle of that acid target when the plan wants it. The acid targets themselves are the
plans' own.
"""

from __future__ import annotations

import numpy as np
import pytest

from journal.curves.acid_limits import family_of
from journal.curves.acidity import fit, forecast
from journal.curves.culture_time import culture_in_min
from journal.curves.plan_acid import planned_make
from journal.curves.verdict import verdict_of
from journal.records.kinds import PH_KINDS
from journal.records.makes import Make, Milk
from journal.records.plan_text import builtin_plan, builtin_plans
from journal.records.plans import AcidTarget, Plan
from journal.records.traces import Trace
from journal.records.whole import WholeMake
from journal.wording.vat import doubt_text

START_MS = 1_760_000_000_000
GUELPH_PH = np.array([6.62, 6.59, 6.50, 6.40, 6.15, 5.74, 5.39, 5.08, 4.92, 4.87])
BELOW_PH = 0.12  # so far below the middle of its last acid target the course ends


def last_gate(plan: Plan) -> tuple[float, AcidTarget] | None:
    """The minute of the plan at which its last acid target of pH stands open midway, and the acid
    target."""
    found = None
    for begin, stage in zip(plan.starts(), plan.stages, strict=True):
        acid_target = stage.acid_target
        if acid_target is not None and acid_target.kind in PH_KINDS:
            until = stage.minutes if acid_target.to_min is None else acid_target.to_min
            found = begin + ((acid_target.from_min or 0.0) + until) / 2, acid_target
    return found


# Alpine curd cools while it sours, so the shape of a milk that is kept warm is not its own: below.
# What is soured by acid alone has no culture to wait for.
ASIDE = ("alpine type", "grana type")
GATED = [
    p for p in builtin_plans()
    if last_gate(p) is not None and p.name not in ASIDE and p.culture_type != "none"
]  # fmt: skip
# Their last target is met in a night's press, 17 hours and more after the culture. Of a course that
# first passes it then, at 0.6 of the pace (grana at any), the published limit is long missed: it is
# no sound one, and is held to below.
OVERNIGHT = ("caerphilly type", "colby type", "grana type", "jack type", "wensleydale type")
# Staphylococcus aureus: curd up to 6.3 at six hours was tolerated, toxin was found at 6.5 to 6.6
# (Delbes et al., J. Food Prot. 69, 2161-2167, 2006, abstract read).
TOLERATED_PH, TOLERATED_H = 6.3, 6.0


def sound_make(plan: Plan, hours: float, pace: float = 1.0) -> WholeMake:
    """The make, read each half hour at first and each hour from the eighth on, of a culture so
    many times as quick as passes the last target at its middle."""
    due, acid_target = last_gate(plan)
    zero, middle = culture_in_min(planned_make(plan)), (acid_target.low + acid_target.high) / 2
    share = (GUELPH_PH[0] - GUELPH_PH) / (GUELPH_PH[0] - GUELPH_PH[-1])
    ph = GUELPH_PH[0] - share * (GUELPH_PH[0] - (middle - BELOW_PH))
    stretch = (due - zero) / np.interp(-middle, -ph, np.arange(10) * 60.0) / pace
    at = np.array([h for h in [*np.arange(0, 8, 0.5), *np.arange(8, 60)] if h <= hours]) * 60
    read = np.round(np.interp(at, np.arange(10) * 60 * stretch, ph), 2)
    kind = acid_target.kind if acid_target.kind == "whey-ph" else "curd-ph"
    ms = START_MS + np.round((at + zero) * 60_000).astype(np.int64)
    trace = Trace(kind, ms, read, np.zeros(len(ms), np.uint8))
    return WholeMake(Make("HL-0001", 1, Milk(plan.milk_l), START_MS), plan, traces={kind: trace})


@pytest.mark.parametrize("plan", GATED, ids=lambda plan: plan.name)
@pytest.mark.parametrize("share", [0.25, 0.5, 0.75, 0.95])
def test_a_sound_make_is_never_told_that_its_gate_will_not_be_reached(plan: Plan, share) -> None:
    due, acid_target = last_gate(plan)
    hours = share * (due - culture_in_min(planned_make(plan))) / 60
    whole = sound_make(plan, hours)
    fitted = fit(whole)
    of = "whey" if acid_target.kind == "whey-ph" else "curd"
    for ph in {acid_target.high, (acid_target.low + acid_target.high) / 2}:
        found = forecast(whole, ph, of, fitted=fitted)
        assert found.chance > 0.1
        assert "will not" not in doubt_text(found, "14:00")
    found = forecast(whole, acid_target.high, of, fitted=fitted)
    assert found.chance >= 0.5
    if keeps_its_gates(plan):
        assert not found.called
        assert found.message is None


# 0.6 is the slowest kitchen that the forecast is held to (tests/pace/forecast_kitchens.py). A
# family with a published limit goes by that, whatever its kitchen's pace.
@pytest.mark.parametrize(
    "plan",
    [p for p in GATED if not family_of(p) and p.name not in OVERNIGHT],
    ids=lambda plan: plan.name,
)
def test_a_sound_culture_in_a_slow_kitchen_is_not_condemned(plan: Plan) -> None:
    due, _ = last_gate(plan)
    whole_way = (due - culture_in_min(planned_make(plan))) / 60 / 0.6
    for hours in (2.5, 4.0, 5.0, 11.0, whole_way):
        whole = sound_make(plan, hours, pace=0.6)
        fitted = fit(whole)
        assert not fitted.called, hours
        assert verdict_of(whole, fitted) is None, hours


@pytest.mark.parametrize("name", OVERNIGHT)
def test_what_is_slow_by_the_published_limit_is_named_though_its_own_target_is_far(name) -> None:
    plan = builtin_plan(name)
    for hours in (2.5, 4.0, 5.0):
        whole = sound_make(plan, hours, pace=0.6)
        fitted = fit(whole)
        assert not fitted.called, hours
        assert verdict_of(whole, fitted) is None, hours
    whole = sound_make(plan, 11.0, pace=0.6)
    (trace,) = whole.traces.values()
    since_h = (trace.at_ms[-1] - START_MS) / 3_600_000 - culture_in_min(planned_make(plan)) / 60
    assert since_h > TOLERATED_H
    assert trace.value[-1] > TOLERATED_PH
    assert fit(whole).called
    assert verdict_of(whole, fit(whole)) is not None


def keeps_its_gates(plan: Plan) -> bool:
    """Whether one course of that shape passes all acid targets of curd and whey within an hour or
    two of their time: acid targets far from that contradict each other, and then slow acid may be
    named."""
    trace = next(iter(sound_make(plan, 48).traces.values()))
    minutes = (trace.at_ms - START_MS) / 60_000
    for begin, stage in zip(plan.starts(), plan.stages, strict=True):
        acid_target = stage.acid_target
        if acid_target is None or acid_target.kind not in ("curd-ph", "whey-ph"):
            continue
        high = acid_target.high - 0.15 * (acid_target.kind == "whey-ph" and trace.kind == "curd-ph")
        closes = begin + (stage.minutes if acid_target.to_min is None else acid_target.to_min)
        if np.interp(-high, -trace.value, minutes) > closes + 120:
            return False
    return True


@pytest.mark.parametrize("hours", [8, 9, 12, 16, 20])
def test_an_alpine_make_from_the_eighth_hour_on(hours) -> None:
    """Swiss: 6.00 to 6.09 at 3 h in the press, under 5.2 at 21 h, best 5.0 to 5.15 (J. Dairy Sci.,
    abstract). The press begins some 2 h 40 min after the culture; in between from memory."""
    plan = builtin_plan("alpine type")
    zero = culture_in_min(planned_make(plan))
    known = [0, 2, 5.7, 8, 11, 16, 24]
    ph = [6.6, 6.52, 6.05, 5.65, 5.4, 5.22, 5.1]
    at = np.arange(0, hours + 0.1, 1.0)
    ms = START_MS + np.round((at * 60 + zero) * 60_000).astype(np.int64)
    trace = Trace("curd-ph", ms, np.interp(at, known, ph), np.zeros(len(ms), np.uint8))
    whole = WholeMake(Make("HL-0001", 1, Milk(12), START_MS), plan, traces={"curd-ph": trace})
    found = forecast(whole, 5.2)
    assert found.chance > 0.1
    assert not found.called


@pytest.mark.parametrize("hours", [4, 6, 8, 9, 12, 16, 20, 24])
def test_a_grana_make_in_its_press(hours) -> None:
    """Cooked as high and pressed as warm as the Swiss cheese above, it falls as that does in the
    press (6.00 to 6.09 at 3 h), to 5.2 at 24 h (a makers' page on the safety of the protected
    kind; all that lies between the two from memory). It is never told that it fails."""
    plan = builtin_plan("grana type")
    zero = culture_in_min(planned_make(plan))
    known = [0, 2, 5.4, 8, 11, 16, 24]
    ph = [6.6, 6.52, 6.05, 5.7, 5.45, 5.3, 5.2]
    at = np.arange(0, hours + 0.1, 1.0)
    ms = START_MS + np.round((at * 60 + zero) * 60_000).astype(np.int64)
    trace = Trace("curd-ph", ms, np.interp(at, known, ph), np.zeros(len(ms), np.uint8))
    whole = WholeMake(Make("HL-0001", 1, Milk(12), START_MS), plan, traces={"curd-ph": trace})
    fitted = fit(whole)
    found = forecast(whole, 5.3, fitted=fitted)
    assert found.chance > 0.1
    assert "will not" not in doubt_text(found, "14:00")
    assert not found.called
    assert verdict_of(whole, fitted) is None
