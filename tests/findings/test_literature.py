"""What the books expect beside a finding, and composition by grade beside an estimate."""

from __future__ import annotations

from dataclasses import replace

import pytest

from journal.findings import Finding
from journal.findings.grades import graded
from journal.findings.literature import literature_on
from journal.findings.trade import PRESSED, effects, family_of_all
from journal.findings.trade_values import measured
from journal.records.kinds import ATTRIBUTES
from journal.records.makes import Addition, Make, Milk
from journal.records.plan_text import builtin_plans
from journal.records.wheels import Wheel
from journal.records.whole import WholeMake
from journal.wording.why import books_words, dispute_words

NAN = float("nan")
PLANS = {plan.name: plan for plan in builtin_plans()}


def finding(key: str, effect: float, evidence: str = "clear") -> Finding:
    name = key.replace("_", " ")
    numbers = dict.fromkeys(("low80", "high80", "low95", "high95", "chance_positive", "ols_effect",
                             "slope", "rho", "p", "q", "partial_r"), NAN)  # fmt: skip
    return Finding(variable=name, key=key, step=1.0, unit="", step_label=None, effect=effect,
                   evidence=evidence, moved_with=[], makes_to_settle=None, **numbers)  # fmt: skip


@pytest.mark.parametrize(
    ("key", "effect", "score", "family", "says", "expects", "trials"),
    [
        # Schroeder 1988, Moller 2012 and 2013, Banks 1993: less salt, more bitter.
        ("salt_in_curd", -0.3, "bitter", "cheddar-type", "same", "less", 4),
        ("salt_in_curd", +0.3, "bitter", "cheddar-type", "opposite", "less", 4),
        # Morris 1962: salt lost a little at 3 weeks and won by 6 months.
        ("salt_in_curd", +0.3, "overall", "cheddar-type", "disagree", "", 3),
        # Robertson 1966: pressed harder, under vacuum, closer.
        ("press_pressure", +0.3, "consistency", "", "same", "more", 1),
        # Guinee 1998: milled at 5.35 or 5.75, the same marks.
        ("ph_at_milling", -0.3, "overall", "cheddar-type", "open", "none_found", 1),
        # A Gouda trial: 48 h of brine best of 12 to 60.
        ("time_in_brine", +0.3, "overall", "washed-curd", "open", "middle", 1),
        ("time_in_brine", +0.3, "overall", "blue", "none", "", 0),
        ("curd_size", +0.3, "overall", "", "none", "", 0),
        # Rehman 2000: fruity rose with the share of raw milk.
        ("treatment_raw", +20.0, "fruity", "cheddar-type", "same", "more", 1),
    ],
)
def test_the_books_are_told_beside_a_finding(key, effect, score, family, says, expects, trials):
    found = literature_on(finding(key, effect), score, family)
    assert (found.says, found.expects, found.trials) == (says, expects, trials)
    assert bool(found.rows) == (says != "none")
    assert books_words(found, key).endswith(".")


def test_a_finding_that_cannot_be_told_yet_is_neither_the_same_nor_the_opposite():
    undecided = finding("salt_in_curd", -0.3, "can't tell yet")
    found = literature_on(undecided, "bitter", "cheddar-type")
    assert (found.says, found.expects) == ("open", "less")
    assert found.as_json() == {
        "says": "none", "expects": "less", "trials": 4, "family": "cheddar-type",
    }  # fmt: skip


def test_what_the_books_disagree_about_is_named_and_told():
    found = literature_on(finding("salt_in_curd", 0.3), "overall", "cheddar-type")
    assert "salt by age" in books_words(found, "salt_in_curd")
    assert "won by 6 months" in dispute_words("salt_in_curd")
    assert dispute_words("curd_size") == ""


def test_effects_are_of_scores_and_ways_that_are_known():
    for row in effects():
        assert row.score in ("", *ATTRIBUTES), row
        assert row.expects in ("", "less", "more", "middle", "none_found"), row
        assert bool(row.score) == bool(row.expects), row
    output = [row for row in effects() if row.expects and row.variable in measured()]
    assert len(output) >= 25
    assert {"cheddar-type", "washed-curd"} <= set(PRESSED)
    assert family_of_all([PLANS["cheddar type"]] * 2) == "cheddar-type"
    assert family_of_all([PLANS["cheddar type"], PLANS["tomme"]]) == ""


def made(**milk) -> WholeMake:
    """12 L of milk of 3.6 % fat, 1.3 kg out of the press, 30 g of salt."""
    day = Make("HL-0001", 1, Milk(12.0, **{"fat_pct": 3.6, **milk}), 0, id=1)
    salt = Addition(1, 0, "salt", "salt", 30.0, "g", 0)
    wheel = Wheel(1, "HL-0001-A", 1.3)
    return WholeMake(day, PLANS["cheddar type"], additions=(salt,), wheels=(wheel,))


def test_composition_stands_beside_the_published_ranges_of_its_family():
    found = {one.name: one for one in graded(made(), "cheddar-type")}
    assert set(found) == {"moisture_pct", "fdm_pct", "fat_pct", "salt_pct", "s_m_pct"}
    moisture = found["moisture_pct"]
    assert moisture.low80 < moisture.value < moisture.high80
    assert [row.row for row in moisture.ranges] == ["G015", "G027", "G030"]
    beside = {row.row: moisture.beside(row) for row in moisture.ranges}
    assert beside["G030"] in ("inside", "open")
    wet = replace(moisture, value=44.0, low80=42.0, high80=46.0)
    assert {wet.beside(row) for row in wet.ranges if row.high} == {"above"}
    dry = replace(found["fdm_pct"], value=40.0, low80=38.0, high80=42.0)
    assert {dry.beside(row) for row in dry.ranges} == {"below"}
    assert graded(made(), "lactic")[0].ranges == ()
    assert graded(made(fat_pct=None), "cheddar-type") == ()
    assert graded(made(animal="goat"), "cheddar-type") == ()
