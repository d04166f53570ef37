"""What findings read out of whole makes: doses, milk, pH by the hour, figures, kinds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.curves.figures import MakeFigures, StageFigures
from journal.findings import ScoreTable
from journal.findings.categories import category_columns
from journal.findings.doses import per_litre
from journal.findings.further import FIGURES, left_out
from journal.findings.readers import MAKE_VARIABLES
from journal.findings.setting_up import set_up_session
from journal.findings.trade_values import measured
from journal.findings.variables import value_of
from journal.message import Message
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.makes import Addition, Make, Milk, StageRun
from journal.records.milk_lots import MilkLot
from journal.records.plans import Plan, Stage
from journal.records.tastings import BY_ASSESSOR
from journal.records.traces import Trace
from journal.records.wheels import Wheel
from journal.records.whole import WholeMake

BEGAN, HOUR_MS = 1_760_000_000_000, 3_600_000


def made(number: int = 1, *added: tuple[str, float, str], animal: str = "cow") -> WholeMake:
    """A make of ten litres with what went in: (kind, amount, unit)."""
    make = Make(f"HL-{number:04d}", 1, Milk(10.0, animal), BEGAN)
    return WholeMake(
        make, Plan("hard", (Stage("set", 40.0),)),
        additions=tuple(Addition(1, 0, kind, kind, amount, unit, BEGAN)
                        for kind, amount, unit in added),
    )  # fmt: skip


def read(name: str):
    return next(one for one in MAKE_VARIABLES if one.variable.name == name)


def test_what_is_weighed_and_what_is_measured_are_read_apart():
    both = made(1, ("culture", 0.2, "g"), ("culture", 30.0, "ml"), ("rennet", 2.0, "ml"))
    assert per_litre("culture", "g")(both) == pytest.approx(0.02)
    assert per_litre("culture", "ml")(both) == pytest.approx(3.0)
    assert np.isnan(per_litre("rennet", "g")(both))


def test_milk_of_two_days_has_the_mean_age_by_its_litres():
    poured = ((MilkLot("Hill", BEGAN - DAY_MS), 7.5), (MilkLot("Dale", BEGAN - 3 * DAY_MS), 2.5))
    age = read("age of the milk")
    assert value_of(replace(made(), milk_lots=poured), age)[0] == pytest.approx(1.5)
    later = ((MilkLot("Hill", BEGAN + HOUR_MS), 10.0),)  # a clock that was wrong: no age below 0
    assert value_of(replace(made(), milk_lots=later), age)[0] == 0.0


def test_milk_ripens_from_its_first_culture_to_the_rennet():
    whole = made(1, ("culture", 0.2, "g"))
    later = replace(whole.additions[0], at_ms=BEGAN + 10 * MINUTE_MS)
    set_at = StageRun(1, 0, "set", BEGAN, BEGAN, BEGAN + 45 * MINUTE_MS, None)
    whole = replace(whole, additions=(later, *whole.additions), runs=(set_at,))
    assert value_of(whole, read("milk ripened"))[0] == pytest.approx(45)


def test_the_acidity_of_milk_is_that_before_the_culture():
    (acidity,) = measured()["milk_acidity_at_start"]
    whole = made(1, ("rennet", 2.0, "ml"), ("culture", 0.2, "g"))
    rennet, culture = whole.additions
    whole = replace(whole, additions=(replace(rennet, at_ms=BEGAN + HOUR_MS), culture))
    for minute, known in ((-5, 0.16), (5, None)):
        at_ms = BEGAN + np.array([minute, 30], dtype=np.int64) * MINUTE_MS
        trace = Trace("milk-acidity", at_ms, np.array([0.16, 0.18]), np.zeros(2, np.uint8))
        found = acidity.read(replace(whole, traces={"milk-acidity": trace}), "", 0.0)
        assert (None if found is None else found.value) == known


@pytest.mark.parametrize(
    ("variable", "first_h", "last_h"), [("ph_day_1", 18, 48), ("ph_day_3", 60, 108)]
)
def test_the_ph_of_a_day_is_the_median_of_its_hours(variable, first_h, last_h):
    (read,) = measured()[variable]
    hours = np.array([first_h - 0.01, first_h, last_h, last_h + 0.01])
    trace = Trace("curd-ph", BEGAN + np.round(hours * HOUR_MS).astype(np.int64),
                  np.array([6.0, 5.1, 5.3, 4.2]), np.zeros(4, np.uint8))  # fmt: skip
    found = read.read(replace(made(), traces={"curd-ph": trace}), "", 90.0)
    assert found.value == pytest.approx(5.2)
    outside = trace.between(BEGAN, int(trace.at_ms[0]))
    assert read.read(replace(made(), traces={"curd-ph": outside}), "", 90.0) is None


def test_what_a_wheel_is_made_of_needs_its_weight_and_for_salt_in_moisture_the_salt():
    bare, salted = (
        replace(one, make=replace(one.make, milk=Milk(10.0, fat_pct=3.75, protein_pct=3.2)),
                wheels=(Wheel(1, "HL-0001-A", 1.05),))
        for one in (made(), made(1, ("salt", 25.0, "g")))
    )  # fmt: skip
    moisture, salt = (measured()[key][0] for key in ("moisture", "salt_in_moisture"))
    assert 35 < moisture.read(bare, "HL-0001-A", 0.0).value < 55
    assert salt.read(bare, "HL-0001-A", 0.0) is None
    assert 1 < salt.read(salted, "HL-0001-A", 0.0).value < 8
    assert moisture.read(replace(bare, wheels=()), "", 0.0) is None


@pytest.mark.parametrize(("acid", "ph", "titrated"), [
    ("curd-ph", 0.5, None), ("whey-acidity", None, 0.5), (None, None, None),
])  # fmt: skip
def test_gains_of_ph_and_of_titrated_acid_never_share_a_column(acid, ph, titrated):
    gain = {one.variable.name: one.read for one in FIGURES}
    stages = tuple(StageFigures(key, "", 10.0, gain)
                   for key, gain in (("set", 0.1), ("drain", 0.2), ("drain 2", 0.3)))  # fmt: skip
    found = MakeFigures(None, None, None, None, None, acid, stages)
    assert gain["acid gain in draining"](found) == (ph and pytest.approx(ph))
    assert gain["titrated acid gain in draining"](found) == (titrated and pytest.approx(titrated))


def test_only_kinds_with_too_few_makes_of_each_are_noted():
    few = [made(i, animal=kind) for i, kind in enumerate(["cow"] * 6 + ["goat"])]
    columns, notes = category_columns(few)
    assert notes == [Message("findings.too-few-of-a-kind", category="animal", kinds=2, makes=7)]
    assert not [v for v, _ in columns if v.name.startswith("animal")]
    columns, notes = category_columns([*few, made(9, animal="goat")])
    assert notes == []
    assert [v.name for v, _ in columns if v.name.startswith("animal")] == ["animal: goat"]


@pytest.mark.parametrize("seed", range(3))
def test_a_cheese_served_twice_is_not_tasted_twice_running(seed):
    design = set_up_session(["a", "a", "b", "c", "d", "e"], 2, BY_ASSESSOR, seed)
    for order in design.orders:
        assert abs(order.index(0) - order.index(1)) > 1


def test_what_was_ticked_and_is_known_of_no_make_is_named():
    table = ScoreTable("overall", ["m1"], ["A"], np.array([6.0]), np.array([np.nan]), [],
                       np.empty((1, 0)))  # fmt: skip
    found = left_out(table, frozenset(["days_out_of_range"]))
    assert [(one.key, one.ticked) for one in found] == [("days_out_of_range", True)]
    assert found[0].why == Message("findings.left-unknown")
