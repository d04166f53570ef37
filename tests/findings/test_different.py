"""What was different this time: robust distances, how often chance alone speaks, what is said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from journal.findings.different import (
    CHANCE,
    Fact,
    facts_of,
    far_from,
    robust_spread,
    standing_out,
    what_was_different,
)
from journal.message import Message
from journal.records.makes import Addition, Make, Milk, StageRun
from journal.records.plans import Dose, Plan, Stage
from journal.records.traces import Trace
from journal.records.wheels import Wheel
from journal.records.whole import WholeMake
from journal.wording import text_of
from journal.wording.compare import fact_text, range_text

BEGAN = 1_760_000_000_000
PLAN = Plan(
    "kitchen hard",
    (Stage("ripen", 30.0, target_c=31.0, ramp_min=0.0,
           doses=(Dose("culture", "culture", 0.02, "g"),)),
     Stage("set", 45.0, target_c=31.0, ramp_min=0.0),
     Stage("cook", 40.0, target_c=39.0),
     Stage("drain", 20.0, target_c=39.0, ramp_min=0.0)),
)  # fmt: skip


def made(number: int, *, set_min=45.0, ph=6.4, salt=36.0, lot="A1", animal="cow") -> WholeMake:
    """A make whose set took so long, its curd at that pH as the drain began."""
    lengths = [30.0, set_min, 40.0, 20.0]
    edges = np.r_[0.0, np.cumsum(lengths)]
    runs = tuple(
        StageRun(1, i, stage.kind, _at(start), _at(start + stage.minutes), _at(edges[i]),
                 _at(edges[i + 1]))
        for i, (stage, start) in enumerate(zip(PLAN.stages, PLAN.starts(), strict=True))
    )  # fmt: skip
    minutes = np.arange(0, edges[-1] + 1)
    milk = np.interp(minutes, [0, edges[2], edges[3]], [31.0, 31.0, 39.0])
    curd = np.array([edges[2], edges[3], edges[4]])
    traces = {
        "milk-temp": Trace("milk-temp", _ats(minutes), milk, np.zeros(len(minutes), np.uint8)),
        "curd-ph": Trace("curd-ph", _ats(curd), np.array([6.6, ph, ph - 0.1]),
                         np.zeros(3, np.uint8)),
    }  # fmt: skip
    make = Make(f"HL-{number:04d}", 1, Milk(12.0, animal), BEGAN, culture_lot=lot,
                finished_ms=_at(edges[-1]))  # fmt: skip
    added = (Addition(1, 3, "salt", "salt", salt, "g", _at(edges[3])),)
    wheels = (Wheel(1, f"HL-{number:04d}-A", 1.2),)
    return WholeMake(make, PLAN, runs, added, traces=traces, wheels=wheels)


def _at(minute: float) -> int:
    return BEGAN + round(minute * 60_000)


def _ats(minutes) -> np.ndarray:
    return BEGAN + np.round(np.asarray(minutes) * 60_000).astype(np.int64)


def others(count: int = 12) -> list:
    rng = np.random.default_rng(5)
    return [
        facts_of(made(i, set_min=45 + rng.normal(0, 2), ph=6.4 + rng.normal(0, 0.02),
                      salt=36 + rng.normal(0, 0.6)))
        for i in range(count)
    ]  # fmt: skip


def test_the_spread_is_scipys_with_the_published_correction() -> None:
    from scipy.stats import median_abs_deviation

    rng = np.random.default_rng(1)
    values = rng.normal(size=30)
    plain = median_abs_deviation(values, scale="normal")
    assert robust_spread(values) == pytest.approx(plain * 30 / 29.2, rel=1e-3)


@pytest.mark.parametrize("number", [3, 5, 8, 12, 25])
def test_the_correction_makes_the_mean_spread_right(number: int) -> None:
    """The factors are to make the estimate unbiased: over normal samples it is 1, to 2 %."""
    rng = np.random.default_rng(number)
    mean = np.mean([robust_spread(row) for row in rng.normal(size=(20_000, number))])
    assert mean == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("number", [8, 12, 24, 60])
def test_chance_alone_is_called_unusual_once_in_a_hundred(number: int) -> None:
    from scipy.stats import norm

    rng = np.random.default_rng(number)
    table = rng.normal(size=(20_000, number + 1))
    spreads = np.array([robust_spread(row) for row in table[:, 1:]])
    z = (table[:, 0] - np.median(table[:, 1:], axis=1)) / spreads
    assert np.mean(np.abs(z) >= far_from(number)) == pytest.approx(CHANCE, abs=0.006)
    assert far_from(100_000) == pytest.approx(norm.ppf(1 - CHANCE / 2), abs=0.01)


def test_what_stands_out_is_said_once_each_with_its_range() -> None:
    mine = facts_of(made(99, set_min=70, ph=6.1, salt=60.0))
    rows = what_was_different(mine, others())
    output = [(text_of(row.fact.what), row.z > 0) for row in standing_out(rows)]
    assert sorted(output) == [
        ("curd pH, drain begins", False),
        ("salt in curd", True),
        ("set", True),
    ]
    top = next(row for row in rows if row.fact.key == "length/set")
    assert fact_text(top.fact) == "70 min"
    assert range_text(top).startswith("usual 4")
    far = [abs(row.z) / row.far for row in rows if row.z is not None and row.unusual]
    assert far == sorted(far, reverse=True)


def test_as_usual_nothing_stands_out_and_three_are_needed_to_say() -> None:
    rows = what_was_different(facts_of(made(99)), others())
    assert standing_out(rows) == []
    few = what_was_different(facts_of(made(99, set_min=90)), others(2))
    assert all(row.z is None and not row.unusual for row in few)


def test_another_lot_or_milk_stands_out_where_all_others_have_one() -> None:
    rows = what_was_different(facts_of(made(99, lot="B7", animal="goat")), others())
    output = {row.fact.key: row.usual_kind for row in standing_out(rows)}
    assert output == {"animal": "cow", "culture lot": "A1"}
    mixed = [*others(6), *(facts_of(made(i, animal="sheep")) for i in range(4))]
    rows = what_was_different(facts_of(made(99, animal="goat")), mixed)
    assert [row for row in standing_out(rows) if row.fact.key == "animal"] == []


def test_facts_have_doses_yield_acid_and_figures() -> None:
    facts = facts_of(made(1))
    assert facts["yield"].value == pytest.approx(10.0)
    assert facts["salt_in_curd"].value == pytest.approx(3.0)
    assert facts["curd-ph/drain"].value == pytest.approx(6.4)
    assert facts["length/set"].value == pytest.approx(45.0)
    assert facts["temp/cook"].value == pytest.approx(39.0)
    assert facts_of(made(1, set_min=60.0))["delay"].value == pytest.approx(15.0)
    assert facts["findings.fact-degree-minutes"].value == pytest.approx(0.0, abs=0.01)
    assert sum(facts[f"culture/{part}"].value for part in ("cold", "slow", "well", "warm", "hot"))
    timed = [key.removeprefix("culture/") for key, fact in facts.items()
             if fact.what.id == "findings.fact-culture-time"]  # fmt: skip
    assert "set" in timed
    for key in timed:  # an hour in the culture's time is an hour at most
        assert 0 <= facts[f"culture/{key}"].value <= facts[f"length/{key}"].value + 1e-6
    judged = what_was_different(facts, [facts_of(made(n)) for n in range(2, 9)])
    known = {row.fact.key for row in judged if row.z is not None}
    assert {key for key in known if key.startswith("culture/")} == {"culture/well", "culture/warm"}
    assert facts["findings.fact-steepest"].value == pytest.approx(0.2, abs=1e-6)
    bare = replace(made(1), traces={}, additions=(), wheels=())
    assert "yield" not in facts_of(bare)
    cut = made(1)
    failed = facts_of(replace(cut, make=replace(cut.make, finished_ms=None, failed=True)))
    assert "findings.fact-degree-minutes" not in failed  # of a day that was not gone through
    assert fact_text(Fact("", Message("findings.fact-delay", of=""), "min", -3.6, "delay")) == (
        "−4 min"
    )
