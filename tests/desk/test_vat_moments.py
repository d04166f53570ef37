"""The clock and the chart of the vat: the night in the press, days on end, a moment picked out."""

from __future__ import annotations

from itertools import combinations

import pytest
from pyqtgraph import TextItem
from PySide6.QtCore import QPointF, QRect, QSize, Qt
from PySide6.QtTest import QTest

from journal.curves.stretch import shared
from journal.desk.buttons import LEAST_TARGET
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans
from journal.records.plans import Plan, Stage
from journal.wording.at_the_vat import PageText, QuietLine
from journal.wording.durations import countdown
from journal.wording.vat_stage import stage_ends_words, to_go
from tests.desk.hands import Hands

ENTER, ESC = Qt.Key.Key_Return, Qt.Key.Key_Escape
CTRL = Qt.KeyboardModifier.ControlModifier
HOUR = 3_600_000
SLOW = Plan(
    "slow", (Stage("ripen", 60), Stage("set", 60), Stage("press", 600), Stage("brine", 5 * 1440))
)


def minutes_shown(vat) -> tuple[float, float]:
    return tuple(vat.chart.temp.viewRange()[0])


# The clock


@pytest.mark.parametrize(
    ("ms", "figures"),
    [
        (0, "0:00"), (59_999, "0:59"), (59 * 60_000 + 59_000, "59:59"), (HOUR, "1:00:00"),
        (HOUR + 23 * 60_000 + 45_000, "1:23:45"), (26 * HOUR + 5_000, "26:00:05"),
        (48 * HOUR, "2 d 0 h"), (76 * HOUR + 59 * 60_000, "3 d 4 h"),
    ],
)  # fmt: skip
def test_a_clock_is_right_to_the_second(ms, figures):
    assert countdown(ms) == figures


def test_an_hour_and_more_to_go_counts_its_seconds(kitchen, vat, hands):
    for minutes in (152, 166):
        kitchen.after(minutes)
        hands.press(ENTER, CTRL)
    assert vat.page.clock.text() == "14:00:00"
    kitchen.now_ms += 1_000
    vat.desk.alarm.tick()
    assert vat.page.clock.text() == "13:59:59"
    assert to_go(0, HOUR + 1_000) == ("1:00:01", "over")


@pytest.mark.parametrize("size", [QSize(1280, 720), QSize(1440, 900), QSize(900, 560)])
def test_the_figures_always_fit_beside_their_words(qtbot, kitchen, vat, hands, size):
    for minutes in (152, 166):
        kitchen.after(minutes)
        hands.press(ENTER, CTRL)
    vat.window().resize(size)
    qtbot.waitUntil(lambda: vat.window().size() == size)
    head = vat.page.vat_head
    assert head.clock.width() >= head.clock.minimumSizeHint().width()
    assert head.to_go.geometry().left() >= head.clock.geometry().right()
    assert head.ends.geometry().right() <= head.clock_box.width()


# The stretch that is shown


def test_now_stays_in_the_chart_through_the_night_in_the_press(kitchen, vat, hands):
    for minutes in (152, 166):
        kitchen.after(minutes)
        hands.press(ENTER, CTRL)
    for minutes in (170, 400, 800, 1005, 1100):
        kitchen.after(minutes)
        vat.desk.alarm.tick()
        low, high = minutes_shown(vat)
        assert low == 0.0
        assert low < minutes < high
    assert high < 1200


def test_of_days_on_end_a_day_is_shown_with_now_in_it(qtbot, journal, kitchen, window_on):
    make = journal.makes.begin(SLOW, Milk(8.0), kitchen.after(0))
    for minutes in (60, 120, 720):
        journal.makes.end_stage(make.id, kitchen.after(minutes))
    window = window_on(journal, clock=kitchen.clock, place="vat")
    window.go("vat", make.id)
    for hours in (14, 40, 90, 130):
        kitchen.after(hours * 60)
        window.desk.alarm.tick()
        low, high = minutes_shown(window.current)
        assert low < hours * 60 < high
        assert high - low <= 24 * 60 + 1
    assert window.current.page.clock.text() == "2:00:00"
    assert "19 Mar" in window.current.chart.hover_text(window.current.chart.temp, 130 * 60, 20)


def test_two_days_share_a_clock_only_where_neither_grows_small():
    hour = 60 * 60_000
    assert shared([(0.0, 420.0), (0.0, 360.0)], [0, 4 * hour]) == [(0.0, 600.0), (-240.0, 360.0)]
    apart = [(0.0, 1000.0), (0.0, 200.0)]
    assert shared(apart, [0, 15 * hour]) == apart


# A moment of the timeline


def click_life(vat, at_ms: int) -> None:
    """Click the timeline where an instant lies on it."""
    timeline = vat.timeline
    minutes = (at_ms - timeline.life.zero_ms) / 60_000
    QTest.mouseClick(
        timeline,
        Qt.MouseButton.LeftButton,
        pos=QPointF(timeline.axis().at(minutes), timeline.height() / 2).toPoint(),
    )


def test_a_click_on_the_life_line_goes_there_and_esc_comes_back(kitchen, vat, hands):
    hands.press(Qt.Key.Key_T, CTRL).type("10:10").press(ENTER).type("31.2").press(ENTER)
    hands.press(ESC)
    click_life(vat, kitchen.start_ms + 70 * 60_000)
    output = vat.chart.shown_moment()
    assert output in vat.chart.accessibleDescription()
    assert "set" in output
    assert "31.2 °C" in output
    assert abs(vat.days.moment_ms - (kitchen.start_ms + 70 * 60_000)) < 3 * 60_000
    hands.press(ESC)
    assert vat.days.moment_ms is None
    assert vat.chart.shown_moment() == ""


def test_a_moment_outside_of_what_is_shown_moves_the_chart(qtbot, journal, kitchen, window_on):
    journal.makes.finish(kitchen.make.id, [], kitchen.after(0))  # nothing else rings
    make = journal.makes.begin(SLOW, Milk(8.0), kitchen.after(0))
    for minutes in (60, 120, 720):
        journal.makes.end_stage(make.id, kitchen.after(minutes))
    kitchen.after(100 * 60)
    window = window_on(journal, clock=kitchen.clock, place="vat")
    window.go("vat", make.id)
    vat = window.current
    assert minutes_shown(vat)[0] > 90
    click_life(vat, kitchen.start_ms + 90 * 60_000)
    low, high = minutes_shown(vat)
    assert low < 90 < high
    assert vat.chart.shown_moment().partition("  ")[2].startswith("set")
    Hands(window).press(ESC)
    assert minutes_shown(vat)[0] > 90


def test_a_moment_after_the_day_is_looked_at_where_it_is_written(kitchen, vat):
    click_life(vat, kitchen.start_ms + 60 * 24 * HOUR)
    assert vat.window().current.key == "makes"
    assert vat.days.moment_ms is None


# Five readings


def test_five_readings_are_in_sight_in_a_busy_moment_of_a_small_window(qtbot, kitchen, vat, hands):
    window = vat.window()
    window.resize(1280, 720)
    kitchen.journal.makes.begin(SLOW, Milk(8.0), kitchen.after(119))
    for length, what in (("5", "stir"), ("20", "kettle")):
        hands.press(Qt.Key.Key_F9).type(length).press(ENTER).type(what).press(ENTER)
    for minute, value in enumerate(("31.1", "31.2", "31.3", "31.2", "31.4"), start=121):
        kitchen.after(minute)
        hands.type(value).press(ENTER)
    kitchen.after(140)
    hands.type("31.2").press(ENTER)
    qtbot.waitUntil(window.settled)
    vat.desk.alarm.tick()
    assert "“stir” and “kettle” are up" in vat.page.vat_head.due.text()
    assert vat.page.advice.more.isVisible()
    shown = vat.page.readings
    assert len(shown.readings) == 5
    inside = vat.page._scroll.viewport().rect()
    for row in range(5):
        box = shown.visualRect(shown.rows_model.index(*shown._place(row)))
        assert shown.viewport().rect().contains(box)
        assert inside.contains(shown.viewport().mapTo(vat.page._scroll.viewport(), box.center()))
    assert not vat.page.mark.isHidden()


def test_readings_go_row_by_row_where_even_three_have_no_room(kitchen, vat, hands):
    """A long instruction leaves room for some of the five: they stay, not none."""
    kitchen.after(135)
    for value in ("31.2", "31.4", "31.1", "31.3", "31.2"):
        hands.type(value).press(ENTER)
    vat.window().resize(1280, 720)
    vat.page.doing.show()
    counts = []
    for length in range(2, 30):
        vat.page.doing.setText("Stir slowly and lift the curd. " * length)
        vat.page.refit()
        counts.append(readings_seen(vat))
    assert counts == sorted(counts, reverse=True)
    assert counts[0] == 5
    assert 3 in counts  # the first of two rows of three


def test_readings_that_are_not_there_take_no_room(qtbot, kitchen, vat, hands):
    vat.window().resize(1280, 720)
    vat.page.readings.fit_rows(3)
    assert vat.page.readings.height() == 1
    for minute, rows in ((121, 1), (122, 1), (123, 1), (124, 2), (125, 2)):
        kitchen.after(minute)
        hands.type("31.2").press(ENTER)
        vat.page.readings.fit_rows(3)
        assert vat.page.readings.height() // LEAST_TARGET == rows
        assert readings_seen(vat) == minute - 120


def readings_seen(vat) -> int:
    """How many of the last readings are whole in their list."""
    shown = vat.page.readings
    room = shown.viewport().rect() if shown.isVisible() else QRect()
    places = (shown.rows_model.index(*shown._place(i)) for i in range(len(shown.readings)))
    return sum(room.contains(shown.visualRect(place)) for place in places)


def test_what_has_the_mark_is_the_last_line_to_go(vat):
    lines = (QuietLine("quiet"), QuietLine("still quiet"), QuietLine("look here", attention=True))
    box = vat.page.advice
    box.show_text(PageText("A head.", lines=lines))
    box.give_way(whole=False, lines=1, noted=False)
    assert [label.text() for label in box.lines if not label.isHidden()] == ["▲ look here"]
    box.give_way(whole=False, lines=2, noted=False)
    assert [label.text() for label in box.lines if not label.isHidden()] == ["quiet", "▲ look here"]


def test_the_arrows_go_from_column_to_column(qtbot, kitchen, vat, hands):
    for minute, value in enumerate(("31.1", "31.2", "31.3", "31.2", "31.4"), start=121):
        kitchen.after(minute)
        hands.type(value).press(ENTER)
    vat.page.readings.fit_rows(3)
    hands.press(Qt.Key.Key_Down)
    for _ in range(6):
        hands.press(Qt.Key.Key_Down)
    assert vat.page.readings.number == 4
    for _ in range(4):
        hands.press(Qt.Key.Key_Up)
    assert vat.page.readings.number == 0


def test_one_reading_is_one_reading(kitchen, vat, hands):
    hands.type("31.2").press(ENTER)
    assert "1 reading," in vat.chart.accessibleDescription()


def test_a_stage_that_ends_a_day_on_or_later_says_the_date():
    """A clock alone would name a time that comes twice."""
    hour, now = 3_600_000, 1_773_475_200_000  # 2026-03-14T08:00 in London
    assert stage_ends_words(now + 20 * hour, now, "Europe/London") == "ends 04:00"
    assert stage_ends_words(now + 24 * hour, now, "Europe/London") == "ends 15 March, 08:00"
    assert stage_ends_words(now + 36 * hour, now, "Europe/London") == "ends 15 March, 20:00"


@pytest.mark.parametrize("beside", [False, True])
def test_the_names_of_gates_keep_out_of_each_other(qtbot, journal, window_on, beside):
    """In the cheddar type the drain's acid target begins where that of the stir out ends, just
    above."""
    now = 1_773_475_200_000
    plans = {plan.name: plan for plan in builtin_plans()}
    make = journal.makes.begin(plans["cheddar type"], Milk(12.0), now)
    if beside:
        make = journal.makes.begin(SLOW, Milk(8.0), now + 60_000)
    window = window_on(journal, clock=lambda: now + 120_000, place="vat")
    window.resize(1280, 720)
    window.go("vat", make.id)
    qtbot.waitUntil(window.settled)
    days = window.current.days
    panel = (days.beside[0] if beside else days.chart).acid
    named = {
        item.toPlainText(): item.mapRectToScene(item.boundingRect())
        for item in panel.items
        if isinstance(item, TextItem)
    }
    names = [named[name] for name in ("stir out", "drain", "cheddar") if name in named]
    assert len(names) >= 2
    assert not any(a.intersects(b) for a, b in combinations(names, 2))
