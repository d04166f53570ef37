"""Today: what is due, in order, on a real journal; Enter goes where it is done."""

from __future__ import annotations

import subprocess
import sys
from datetime import date

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from journal.desk.buttons import Button
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso
from journal.records.makes import Addition, Ingredient, Milk
from journal.records.plans import CareRule, Plan, Stage
from journal.records.wheels import Care
from journal.reports.agenda import agenda_of
from journal.wording.today import next_due_words, today_headline
from tests.desk.test_others import command

ZONE = "Europe/London"
BEGUN = from_iso("2026-03-02T09:00", ZONE)
PLAN = Plan(
    "kitchen hard",
    (Stage("warm", 30.0, target_c=31.0), Stage("set", 45.0, target_c=31.0)),
    care=(CareRule("turn", 1, 14, 2, "and look underneath"), CareRule("wax", 11, 11, 1)),
    taste_at_days=(60.0,),
)


def days(count: float) -> int:
    return BEGUN + round(count * DAY_MS)


@pytest.fixture
def with_wheels(journal):
    """A finished make of two wheels, begun on 2 March."""
    make = journal.makes.begin(PLAN, Milk(12), BEGUN)
    journal.makes.finish(make.id, [1.2, 1.1], BEGUN + 75 * MINUTE_MS)
    return journal


def output(journal, now_ms):
    return [(i.group, i.title, i.when, i.late) for i in agenda_of(journal, now_ms).now]


def test_the_vat_comes_first_with_the_time_its_stage_ends(with_wheels):
    running = with_wheels.makes.begin(PLAN, Milk(12), days(2))
    now = days(2) + 20 * MINUTE_MS
    assert output(with_wheels, now)[:2] == [
        ("vat", "Warm until 09:30", "in 10 min", False),
        ("wheels", "Turn 2 wheels", "1 day late", True),
    ]
    assert agenda_of(with_wheels, now).now[0].make_id == running.id
    late = output(with_wheels, now + 25 * MINUTE_MS)[0]
    assert late == ("vat", "Warming should have ended at 09:30", "15 min over", True)


def test_a_make_whose_stages_are_over_waits_for_its_wheels(journal):
    make = journal.makes.begin(PLAN, Milk(12), BEGUN)
    for minutes in (30, 75):
        journal.makes.end_stage(make.id, BEGUN + minutes * MINUTE_MS)
    assert output(journal, days(0.1))[0][1] == f"Weigh the wheels and finish {make.code}"


def test_care_that_was_given_is_not_asked_for(with_wheels):
    first, second = with_wheels.wheels.all()
    with_wheels.cares.save(Care(first.id, "turn", days(1)))
    assert output(with_wheels, days(1)) == [("wheels", f"Turn {second.code}", "today", False)]
    with_wheels.cares.save(Care(second.id, "turn", days(1)))
    agenda = agenda_of(with_wheels, days(1))
    assert today_headline(len(agenda.now)) == "Nothing is due today."
    assert (
        next_due_words(agenda.coming[0].title, agenda.coming[0].when)
        == "Next: turn 2 wheels, Thu 5 Mar."
    )


def test_a_tasting_falls_due_for_the_make(with_wheels):
    found = [row for row in output(with_wheels, days(62)) if row[0] == "tastings"]
    assert found == [("tastings", "Taste HL-0001 at 60 days", "2 days late", True)]


def test_what_is_low_or_past_its_date_is_told_last(with_wheels):
    with_wheels.ingredients.save_many(
        [
            Ingredient("salt", "dairy salt", amount_left=40.0),
            Ingredient("rennet", "calf", lot="R-1", expires_ms=days(-1), amount_left=9, unit="ml"),
            Ingredient("culture", "mix", lot="M-2", expires_ms=days(20), amount_left=3.0),
        ]
    )
    with_wheels.additions.save(Addition(1, 0, "salt", "dairy salt", 30.0, "g", BEGUN))
    agenda = agenda_of(with_wheels, days(0.5))
    assert [(i.title, i.detail) for i in agenda.now] == [
        ("Calf is past its date", "1 March 2026, lot R-1; 9 ml left"),
        ("Dairy salt is low", "40 g left; the last make took 30 g"),
    ]
    assert (date(2026, 3, 22), "Use-by date of mix, lot M-2") in [
        (c.on, c.title) for c in agenda.coming
    ]


def test_enter_goes_where_it_is_done(with_wheels, window_on, qtbot):
    with_wheels.makes.begin(PLAN, Milk(12), days(1))
    window = window_on(with_wheels, place="today", clock=lambda: days(1) + MINUTE_MS)
    place = window.current
    assert place.head.text() == "Two things to do"
    assert place.go_there.text() == "Go to the vat"
    qtbot.keyClick(place.list, Qt.Key.Key_Down)
    assert place.go_there.text() == "Go to Ageing"
    place.goes.disconnect(window.go)
    with qtbot.waitSignal(place.goes) as gone:
        qtbot.keyClick(place.list, Qt.Key.Key_Return)
    assert gone.args == ["room", 1]


def test_a_care_kept_elsewhere_is_gone_from_the_page(with_wheels, window_on):
    window = window_on(with_wheels, place="today", clock=lambda: days(1))
    place = window.current
    assert place.head.text() == "One thing to do"
    with_wheels.cares.save_many([Care(w.id, "turn", days(1)) for w in with_wheels.wheels.all()])
    assert place.head.text() == "Nothing is due today."
    assert place.next.text().startswith("Next: turn 2 wheels")
    with_wheels.undo()
    assert place.head.text() == "One thing to do"


def test_an_empty_journal_says_how_to_begin(journal, window_on, qtbot):
    window = window_on(journal, place="today")
    place = window.current
    assert place.pages.currentIndex() == 1
    place.goes.disconnect(window.go)
    with qtbot.waitSignal(place.goes) as gone:
        place.pages.currentWidget().findChild(Button).click()
    assert gone.args == ["plans", None]


def test_today_loads_nothing_heavy():
    code = (
        "import sys, journal.desk.today.place\n"
        "print(*sorted({'pyqtgraph', 'scipy', 'pint', 'sqlite_utils', 'journal.curves.day'}"
        " & set(sys.modules)))"
    )
    report = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert report.stdout.split() == []


def test_the_week_stands_in_seven_columns_and_a_click_goes_to_a_day(with_wheels, qtbot, window_on):
    now = days(0.1)
    window = window_on(with_wheels, clock=lambda: now, place="today")
    today, week = window.current, window.current.week
    agenda = agenda_of(with_wheels, now)
    assert [day.on for day in agenda.week] == [date(2026, 3, 2 + n) for n in range(7)]
    assert list(agenda.week[0].words) == [item.title for item in agenda.now]
    due = [n for n, day in enumerate(agenda.week) if n and day.words]
    assert agenda.week[due[0]].on == today.coming.rows_model.rows[0].on
    wide = (week.width() - 24) / 7
    spot = QPoint(round(12 + (due[0] + 0.5) * wide), week.height() // 2)
    QTest.mouseClick(week, Qt.MouseButton.LeftButton, pos=spot)
    assert today.coming.hasFocus()
    assert today.coming.current().on == agenda.week[due[0]].on


def test_the_running_make_is_a_small_curve_that_follows_another_process(qtbot, kitchen, window_on):
    kitchen.journal.readings.log(kitchen.make.id, "milk-temp", 12.0, kitchen.start_ms)
    kitchen.after(10)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="today")
    today = window.current
    qtbot.waitUntil(lambda: today.live is not None and today.settled(), timeout=30_000)
    assert today.live.isVisible()
    assert today.live.values.y.tolist() == [12.0]
    command(kitchen, "log", "latest", "milk-temp", "21.5", "--at", "2026-03-14T09:08")
    qtbot.waitUntil(lambda: 21.5 in today.live.values.y.tolist(), timeout=30_000)
    kitchen.journal.makes.finish(kitchen.make.id, [1.2], kitchen.now_ms)
    assert not today.live.isVisible()
