"""What was taken over from Calculate is taken back a week later, in a second opening, by keys."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from journal.desk.history import HistoryDialog
from journal.keeping import Journal
from journal.records.instants import DAY_MS, from_iso
from journal.records.makes import Make, Milk
from journal.records.plans import Plan, Stage
from tests.desk.conftest import START, cheddar_like
from tests.desk.hands import Hands
from tests.desk.test_calculate_taking import fill, opened_from, take

SPACE, CTRL_SHIFT = (
    Qt.Key.Key_Space,
    Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier,
)


@pytest.fixture
def a_week_later(qtbot, window_on):
    """Closes the window and its journal, opens the file again a week later, takes the newest act
    back in its history by keys, and gives what another opening reads."""

    def back(window, dialog, journal: Journal, now_ms: int) -> Journal:
        dialog.close()
        window.close()
        path = journal.path
        journal.close()
        again = Journal.open(path)
        later = window_on(again, clock=lambda: now_ms + 7 * DAY_MS, place="today")
        Hands(later).press(Qt.Key.Key_H, CTRL_SHIFT)
        history = later.findChild(HistoryDialog)
        qtbot.waitUntil(history.isActiveWindow)
        qtbot.waitUntil(later.settled)
        history.back.setFocus()
        Hands(later).press(SPACE)
        qtbot.waitUntil(later.settled)
        history.close()
        later.close()
        again.close()
        return Journal.open(path, read_only=True)

    return back


def brined() -> Plan:
    """A plan that ends in a brine."""
    stages = (*cheddar_like().stages, Stage("brine", 600, target_c=13.0, brine_pct=20.0))
    return replace(cheddar_like(), stages=stages, mould_mm=120.0)


def begun(journal: Journal, plan: Plan, to: int) -> tuple[Make, int]:
    """A make that has come to a stage, and the instant."""
    now = from_iso(START, journal.zone)
    make = journal.makes.begin(plan, Milk(12.0), now)
    for position in range(to):
        now = from_iso(START, journal.zone) + round(60_000 * plan.starts()[position + 1])
        journal.makes.end_stage(make.id, now)
    return make, now


BRINING = {"height": "100 mm", "moisture_pct": "42 %", "diameter": "120 mm", "target": "2 %",
           "pct_w_w": "20 %"}  # fmt: skip


def test_hours_of_the_brine_into_a_plan(journal, window_on, a_week_later) -> None:
    plan = journal.plans.save(brined())
    now = from_iso(START, journal.zone)
    window = window_on(journal, clock=lambda: now, place="plans")
    window.place("plans").show_plan(plan.name)
    dialog = opened_from(window)
    fill(dialog, "brining-time", BRINING)
    (hours,) = [one.text for one in dialog.answer.lines if one.key == "brining_h"]
    assert take(dialog).startswith(f"{plan.name} was saved as version 2.")
    minutes = journal.plans.by_name(plan.name).stages[-1].minutes
    assert minutes / 60 == pytest.approx(float(hours.split()[0]), rel=0.01)
    assert minutes != 600
    with a_week_later(window, dialog, journal, now) as later:
        assert later.plans.by_name(plan.name).stages[-1].minutes == 600
        assert [one.version for one in later.plans.versions(plan.name)] == [1]


def test_a_warming_schedule_into_a_plan(journal, window_on, a_week_later) -> None:
    plan = journal.plans.save(cheddar_like())
    now = from_iso(START, journal.zone)
    window = window_on(journal, clock=lambda: now, place="plans")
    window.place("plans").show_plan(plan.name)
    dialog = opened_from(window)
    fill(dialog, "ramp", {"to": "39 C", "minutes": "55 min"})
    assert take(dialog).startswith(f"{plan.name} was saved as version 2.")
    cook = journal.plans.by_name(plan.name).stages[4]
    assert (cook.target_c, cook.ramp_min, cook.minutes) == (39.0, 55.0, 55.0)
    with a_week_later(window, dialog, journal, now) as later:
        cook = later.plans.by_name(plan.name).stages[4]
        assert (cook.target_c, cook.minutes) == (38.5, 40)


def test_the_length_of_a_running_stage(journal, window_on, a_week_later) -> None:
    """Of the set by the flecks, in the make: its plan stays, and so does the plan's length."""
    plan = cheddar_like()
    make, now = begun(journal, plan, 2)
    window = window_on(journal, clock=lambda: now, place="vat")
    dialog = opened_from(window)
    fill(dialog, "set", {"flocculation": "17 min", "multiplier": "3"})
    assert take(dialog).startswith(f"The set of {make.code} has this length now.")
    assert journal.whole(make.id).minutes_of(2) == pytest.approx(51)
    with a_week_later(window, dialog, journal, now) as later:
        assert later.whole(make.id).minutes_of(2) == plan.stages[2].minutes


def test_the_length_of_a_running_brine(journal, window_on, a_week_later) -> None:
    plan = brined()
    make, now = begun(journal, plan, len(plan.stages) - 1)
    before = journal.whole(make.id).minutes_of(7)
    window = window_on(journal, clock=lambda: now, place="vat")
    dialog = opened_from(window)
    assert dialog.form.topic.name == "brining-time"
    fill(dialog, "brining-time", BRINING)
    assert take(dialog).startswith(f"The brine of {make.code} has this length now.")
    assert journal.whole(make.id).minutes_of(7) != pytest.approx(before)
    with a_week_later(window, dialog, journal, now) as later:
        assert later.whole(make.id).minutes_of(7) == pytest.approx(before)


def test_the_fat_of_a_mix_into_a_make(journal, window_on, a_week_later) -> None:
    make, now = begun(journal, cheddar_like(), 1)
    window = window_on(journal, clock=lambda: now, place="vat")
    dialog = opened_from(window)
    mix = {"have_pct": "3.5 %", "with_pct": "35 %", "want_pct": "4.2 %"}
    fill(dialog, "standardise", mix)
    assert take(dialog).startswith(f"The milk of {make.code} has 4.20 % fat now.")
    assert journal.makes.get(make.id).milk.fat_pct == pytest.approx(4.2)
    with a_week_later(window, dialog, journal, now) as later:
        assert later.makes.get(make.id).milk == make.milk
