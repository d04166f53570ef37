"""Makes in the bin, and what was tasted of them: alone, beside another make, under codes."""

from __future__ import annotations

import itertools

import pytest

from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import SampleIdentity
from journal.message import Message
from journal.records.instants import DAY_MS
from journal.records.makes import Milk
from journal.records.panel_tests import PAIRED, PanelTest
from journal.records.plans import Plan
from journal.records.tastings import BY_SAMPLE, Tasting
from journal.records.verdicts import Verdict

AT = 1_790_000_000_000


def two_tasted_together(saved: Journal, plan: Plan) -> tuple[int, int]:
    """Two makes of a wheel each, at one blind session that is lifted and in one panel test."""
    makes = [saved.makes.begin(plan, Milk(10.0), AT + number * DAY_MS) for number in range(2)]
    wheels = [saved.makes.finish(m.id or 0, [1.2], m.started_ms + DAY_MS)[0] for m in makes]
    cheeses = [SampleIdentity(wheel.id) for wheel in wheels]
    later = AT + 60 * DAY_MS
    session = saved.sessions.set_up(
        Tasting(later, saved.zone, coding=BY_SAMPLE), cheeses, ["Fern"], [[0, 1]],
        [["314", "159"]], ["314", "159"],
    )  # fmt: skip
    for row in saved.sessions.servings(session.id or 0):
        saved.sessions.give(row.id, ScoredSample({"overall": 6.0}))
    saved.sessions.reveal(session.id or 0, later)
    test = PanelTest(later, saved.zone, PAIRED, "which is saltier")
    saved.tests.set_up(test, cheeses, ["Fern"], [((0, 1), ("271", "828"))])
    return makes[0].id or 0, makes[1].id or 0


def shown(saved: Journal) -> list[list[str]]:
    """The cheeses of each blind session, then of each panel test."""
    sessions = [
        [one.name for one in saved.sessions.revealed_rows(row.tasting.id or 0)]
        for row in saved.sessions.rows()
    ]
    return [*sessions, *(list(row.cheeses) for row in saved.tests.rows())]


def test_a_sitting_goes_with_its_last_cheese_and_a_test_with_its_first(
    saved: Journal, plan: Plan
) -> None:
    first, second = two_tasted_together(saved, plan)
    both = ["HL-0001-A", "HL-0002-A"]
    assert shown(saved) == [both, both]
    saved.outcomes.delete(first)
    assert shown(saved) == [["HL-0002-A"]]
    assert [score.cheese for score in saved.sessions.for_panel("overall")] == ["HL-0002-A"]
    saved.outcomes.delete(second)
    assert shown(saved) == []
    saved.outcomes.undelete("HL-0001")
    assert shown(saved) == [["HL-0001-A"]]
    saved.outcomes.undelete("HL-0002")
    assert shown(saved) == [both, both]
    assert saved.check() == []


@pytest.mark.parametrize("step_ms", [0, 1, DAY_MS])
def test_a_wheel_thrown_out_before_stays_out_when_its_make_comes_back(
    saved: Journal, plan: Plan, step_ms: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also one thrown out in the same millisecond, as a command's may be."""
    instants = itertools.count(AT + 2 * DAY_MS, step_ms)
    for module in ("keepers", "outcomes"):
        monkeypatch.setattr(f"journal.keeping.{module}.now_ms", lambda: next(instants))
    make = saved.makes.begin(plan, Milk(10.0), AT)
    wheels = saved.makes.finish(make.id or 0, [1.2, 1.1], AT + DAY_MS)
    saved.wheels.remove(wheels[0].id or 0)
    saved.outcomes.delete(make.id or 0)
    assert saved.wheels.all() == []
    saved.undo()
    assert [w.code for w in saved.wheels.all()] == ["HL-0001-B"]
    saved.redo()
    saved.outcomes.undelete("HL-0001")
    assert [w.code for w in saved.wheels.all()] == ["HL-0001-B"]


def test_undo_takes_no_verdict_back_and_the_first_one_stands(saved: Journal, plan: Plan) -> None:
    make = saved.makes.begin(plan, Milk(10.0), AT)
    saved.makes.end_stage(make.id or 0, AT + 60_000)
    first = Verdict(AT + 120_000, Message("Do not eat this cheese."))
    assert saved.outcomes.save_verdict(make, first) == first
    assert saved.outcomes.save_verdict(make, Verdict(AT + 180_000, Message("Later."))) == first
    saved.undo()
    assert saved.outcomes.verdict(make) == first
    assert saved.whole(make.id or 0).verdict == first
    assert [row.verdict for row in saved.makes.rows()] == [first]
