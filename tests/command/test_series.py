"""series: what was laid out, what became of it, what it says."""

from __future__ import annotations

import pytest

from journal.findings.series import design
from journal.findings.series_plans import ends, offers, rounded, variants
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans
from journal.records.series import Series

KEYS = ("salt_in_curd", "curd_size")


@pytest.fixture
def full_series(tmp_path):
    """A journal with a series of eight from a plan that comes along."""
    path = tmp_path / "kitchen.vatside"
    plan = next(p for p in builtin_plans() if p.name == "cheddar type")
    found = {offer.key: offer for offer in offers(plan)}
    both = [ends(plan, found[key]) for key in KEYS]
    planned = design([found[k].factor(*e) for k, e in zip(KEYS, both, strict=True)], 8, blocks=2)
    with Journal.create(path, letters="HL", zone="Europe/London") as journal:
        journal.designs.set_up(
            Series("salt and size", 0, KEYS, *zip(*both, strict=True), planned.kind),
            plan, variants(plan, KEYS, planned), rounded(KEYS, planned), planned.block.tolist(),
        )  # fmt: skip
    return path


def make(path, count: int) -> None:
    began = from_iso("2026-03-14T09:00", "Europe/London")
    with Journal.open(path) as journal:
        [series] = journal.designs.all()
        for i, one in enumerate(series.makes[:count]):
            at = began + 7 * i * DAY_MS
            made = journal.makes.begin(journal.designs.plan_of(one.one), Milk(12.0), at)
            wheel = journal.makes.finish(made.id, [1.2], at + DAY_MS)[0]
            high = one.one.wanted[0] == series.series.high[0]
            card = ScoredSample({"overall": (8.0 if high else 5.0) + 0.5 * (i % 2)})
            journal.sessions.give(OpenServing(wheel.id, "Moss", at + 60 * DAY_MS), card)


def test_a_series_just_laid_out_waits_for_its_makes(full_series, run):
    done = run("series", full_series, "--json")
    assert done.code == 0, done
    [report] = done.data
    assert (report["kind"], report["plan"], report["made"]) == ("full factorial", "cheddar type", 0)
    assert report["efficiency"] == pytest.approx(1.0)
    assert [m["season"] for m in report["makes"]] == [1] * 4 + [2] * 4
    assert all(m["code"] is None and m["score"] is None for m in report["makes"])
    assert report["effects"] == []
    assert "0 of 8 makes made" in run("series", full_series).out


def test_its_next_make_begins_by_the_plan_laid_out_for_it(full_series, run, refused):
    begun = run("begin", full_series, "--series", "Salt and Size", "--milk", "12l", "--json").data
    again = run("begin", full_series, "--series", "latest", "--milk", "12l", "--json").data
    [report] = run("series", full_series, "--json").data
    assert [m["code"] for m in report["makes"][:3]] == [begun["code"], again["code"], None]
    with Journal.open(full_series) as journal:
        [series] = journal.designs.all()
        made = journal.makes.by_code(begun["code"])
        assert made.plan_id == journal.designs.plan_of(series.makes[0].one).id
    assert "no series rind" in refused("begin", full_series, "--series", "rind", "--milk", "12l")
    assert "either" in refused("begin", full_series, "--milk", "12l")
    make(full_series, 8)
    assert "are made" in refused("begin", full_series, "--series", "latest", "--milk", "12l")


def test_its_answer_has_ranges_from_five_scores_on(full_series, run):
    make(full_series, 4)
    [report] = run("series", full_series, "--json").data
    assert report["made"] == 4
    assert report["effects"] == []
    assert report["why"] == "4 makes of the series have a score: ranges need at least 5."
    make_rest(full_series)
    [report] = run("series", full_series, "--json").data
    salt, size = report["effects"]
    assert salt["low95"] < 3 < salt["high95"]
    assert salt["evidence"] == "clear"
    assert size["low95"] < 0 < size["high95"]
    assert "clear" in run("series", full_series).out


def make_rest(path) -> None:
    began = from_iso("2026-06-14T09:00", "Europe/London")
    with Journal.open(path) as journal:
        [series] = journal.designs.all()
        for i, one in enumerate(series.makes[4:]):
            at = began + 7 * i * DAY_MS
            made = journal.makes.begin(journal.designs.plan_of(one.one), Milk(12.0), at)
            wheel = journal.makes.finish(made.id, [1.2], at + DAY_MS)[0]
            high = one.one.wanted[0] == series.series.high[0]
            card = ScoredSample({"overall": (7.5 if high else 4.5) + 0.5 * (i % 2)})
            journal.sessions.give(OpenServing(wheel.id, "Moss", at + 60 * DAY_MS), card)


def test_without_one_it_says_how_to_begin(tmp_path, run):
    path = tmp_path / "kitchen.vatside"
    Journal.create(path, letters="HL", zone="Europe/London").close()
    done = run("series", path)
    assert done.code == 0
    assert "There is no series yet" in done.out
    assert run("series", path, "--json").data == []


def test_a_make_begun_by_the_plans_name_alone_joins_no_series(full_series, run):
    done = run("begin", full_series, "--plan", "cheddar type", "--milk", "12l")
    assert done.code == 0, done
    [report] = run("series", full_series, "--json").data
    assert report["made"] == 0
    with Journal.open(full_series, read_only=True) as journal:
        made = journal.makes.by_code("latest")
        assert journal.plans.get(made.plan_id) == journal.plans.by_name("cheddar type")
