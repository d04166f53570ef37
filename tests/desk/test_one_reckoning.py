"""What two screens say of one make is the same: minutes outside, which stage runs, what was noted,
what a line or a wash on a chart means."""

from __future__ import annotations

import re

import numpy as np
import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGraphicsPathItem

from journal.curves.day import every_begin, stage_times
from journal.curves.deviation import deviation
from journal.curves.events import events
from journal.curves.page_state import page_state
from journal.curves.snapshot import Ahead, EarlierMakes, day_of
from journal.desk.charts.plot import ChartPlot
from journal.desk.sheets import make_record
from journal.desk.timeline import life_of
from journal.desk.vat.happened import rows_of
from journal.keeping import Journal
from journal.keeping.scored_samples import ScoredSample
from journal.keeping.session_rows import OpenServing, SampleIdentity
from journal.records.coming import coming
from journal.records.due import step_of
from journal.records.instants import DAY_MS, MINUTE_MS
from journal.records.makes import Milk, Note
from journal.records.plans import Plan, Stage
from journal.records.tastings import BY_SAMPLE, Tasting
from journal.wording import text_of
from journal.wording.makes import strayed_words

HOLD = Plan("held", (Stage("ripen", 240, target_c=31.0, ramp_min=0),), milk_c=31.0)


@pytest.mark.parametrize("lasts", [False, True])
def test_the_vat_and_makes_say_the_same_minutes_outside(journal: Journal, lasts: bool) -> None:
    make = journal.makes.begin(HOLD, Milk(12.0), 1_790_000_000_000)
    # Outside from half a minute after 60 on; then nothing is read for half an hour.
    at = [*range(50, 61, 2), 62, 64, 66, 68, *([] if lasts else [98, 100])]
    value = [31.0] * 6 + [32.5] * 4 + ([] if lasts else [31.0, 31.0])
    for minutes, celsius in zip(at, value, strict=True):
        journal.readings.log(
            make.id or 0, "milk-temp", celsius, make.started_ms + minutes * MINUTE_MS
        )
    now_ms = make.started_ms + 96 * MINUTE_MS
    whole = journal.whole(make.id or 0)
    found = deviation(whole, "day", 96.0)
    (event,) = events(whole, now_ms if lasts else now_ms + 5 * MINUTE_MS)
    how_long = text_of(event.how_long)
    assert how_long == f"{found.minutes_outside:.0f} min"
    in_makes = re.search(r", (\d+ min) outside", strayed_words(whole, found))
    assert in_makes is not None
    assert in_makes[1] == how_long
    assert how_long in text_of(event.message)


def test_every_reckoning_names_the_same_stage_that_runs(journal: Journal, kitchen) -> None:
    kitchen.to_stage(2)
    runs = {run.position: run for run in journal.runs.where(make_id=kitchen.make.id)}
    journal.runs.save(type(runs[0])(**{**vars(runs[0]), "ended_ms": None}))  # nobody ended it
    whole = journal.whole(kitchen.make.id)
    ordered = list(whole.runs)
    names = {
        page_state(whole, kitchen.now_ms).stage.label,
        step_of(whole.make, whole.plan, ordered).stage.label,
        coming(whole.make, whole.plan, ordered, ())[0].words,
        journal.day.running(kitchen.make.id).kind,
        next(span.label for span in life_of(whole, kitchen.now_ms).spans if span.state == "now"),
        journal.makes.end_stage(kitchen.make.id, kitchen.now_ms)[0].kind,
    }
    assert names == {"set"}


def test_stages_begin_at_one_time_whoever_asks(journal: Journal, kitchen) -> None:
    kitchen.to_stage(1)
    journal.day.skip_next(kitchen.make.id)
    journal.day.lengthen(kitchen.make.id, 12)
    journal.makes.end_stage(kitchen.make.id, kitchen.after(50))
    whole = journal.whole(kitchen.make.id)
    begins, _end = stage_times(whole)
    assert every_begin(whole)[: len(begins)] == begins
    journal.makes.finish(kitchen.make.id, [], kitchen.after(60))
    whole = journal.whole(kitchen.make.id)
    begins, _end = stage_times(whole)
    assert every_begin(whole)[: len(begins)] == begins
    assert len(every_begin(whole)) == len(whole.plan.stages)
    spans = life_of(whole, kitchen.now_ms).spans
    assert spans[0].from_min == begins[0]


def test_notes_and_the_reasons_for_more_minutes_stand_in_the_day_and_the_record(
    journal: Journal, kitchen, tmp_path
) -> None:
    kitchen.to_stage(2)
    journal.day.lengthen(kitchen.make.id, 12, "the break is soft")
    journal.notes.save(Note(kitchen.after(66), "the milk smells of grass", kitchen.make.id))
    journal.makes.end_stage(kitchen.make.id, kitchen.after(112))
    journal.day.lengthen(kitchen.make.id, 3)
    whole = journal.whole(kitchen.make.id)
    report = [what for _, what in rows_of(day_of(whole, kitchen.now_ms, EarlierMakes(), Ahead()))]
    wanted = (
        "the milk smells of grass", "set: 12 min longer: the break is soft", "cut: 3 min longer"
    )  # fmt: skip
    assert set(wanted) <= set(report)
    make_record(whole, tmp_path / "record.pdf")
    text = " ".join(p.extract_text() for p in PdfReader(tmp_path / "record.pdf").pages)
    for words in wanted:
        assert words in " ".join(text.split())


def test_a_defect_named_at_another_cup_or_sitting_is_not_said_to_be_named_by_nobody(
    qtbot, journal: Journal, kitchen, window_on
) -> None:
    wheels = journal.makes.finish(kitchen.make.id, [1.2, 1.1], kitchen.after(900))
    early = kitchen.start_ms + 60 * DAY_MS
    bitter = (("taste", "bitter", "slight"),)
    journal.sessions.give(OpenServing(wheels[0].id, "Moss", early), ScoredSample(defects=bitter))
    later = kitchen.now_ms = kitchen.start_ms + 90 * DAY_MS
    cheeses = [SampleIdentity(w.id) for w in wheels]
    coded = Tasting(later, journal.zone, coding=BY_SAMPLE)
    coded = journal.sessions.set_up(
        coded, cheeses, ["Fern"], [[0, 1]], [["314", "159"]], ["314", "159"]
    )
    for row in journal.sessions.servings(coded.id):
        journal.sessions.give(row.id, ScoredSample({"overall": 6.0}))
    revealed = journal.sessions.reveal(coded.id, later + MINUTE_MS)
    window = window_on(journal, clock=kitchen.clock, place="tastings")
    qtbot.waitUntil(window.settled)
    window.current.show_part("blind")
    revealing = window.current.shown_part().revealing
    revealing.show_session(revealed)
    output = {}
    for sample in journal.sessions.revealed_rows(revealed.id):
        output[sample.name] = [card.defects for _, card in revealing._scored(revealed, sample)]
    assert bitter in output["HL-0001-A"]
    assert output["HL-0001-B"] == [()]


def washes(panel: ChartPlot) -> int:
    return sum(isinstance(item, QGraphicsPathItem) for item in panel.items)


def test_the_grey_wash_is_for_past_makes_and_the_allowed_range_is_dotted(
    qtbot, journal: Journal, window_on
) -> None:
    for number in range(3):
        at = 1_790_000_000_000 + number * 10 * DAY_MS
        make = journal.makes.begin(HOLD, Milk(12.0), at)
        minutes = np.arange(0, 120, 2)
        values = 31.0 + 0.1 * number + 0 * minutes
        journal.readings.add_many(make.id, "milk-temp", at + minutes * MINUTE_MS, values)
        if number < 2:
            journal.makes.finish(make.id, [1.2], at + 240 * MINUTE_MS)
    now = at + 120 * MINUTE_MS
    window = window_on(journal, place="vat", clock=lambda: now)
    qtbot.waitUntil(window.settled)
    vat = window.current
    qtbot.waitUntil(lambda: vat.makes.day.past.temp is not None)
    qtbot.waitUntil(window.settled)
    assert washes(vat.chart.temp) == 1  # the band of the past makes, with its name
    window.go("makes")
    qtbot.waitUntil(window.settled)
    makes = window.current.page.chart
    assert washes(makes.temp) == 0
    dotted = [
        item.opts["pen"] for item in makes.temp._drawn
        if hasattr(item, "opts") and item.opts["pen"].style() == Qt.PenStyle.CustomDashLine
    ]  # fmt: skip
    assert len(dotted) == 3  # the plan, and the allowed range either side of it
    names = [item.toPlainText() for item in makes.temp._drawn if hasattr(item, "toPlainText")]
    assert "planned, dotted: its allowed range" in names
