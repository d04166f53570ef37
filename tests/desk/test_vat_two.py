"""Two makes at once, side by side in the vat: both steps, both clocks, both days."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.vat.days import HERE
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage

CTRL = Qt.KeyboardModifier.ControlModifier
ENTER, F3 = Qt.Key.Key_Return, Qt.Key.Key_F3
SECOND = Plan("second", (Stage("ripen", 45, target_c=30.0), Stage("set", 40), Stage("drain", 60)))


@pytest.fixture
def cook_min() -> float:
    return 122.0


@pytest.fixture
def other(qtbot, kitchen, vat):
    """A second make, begun while the first is in its cook."""
    made = kitchen.journal.makes.begin(SECOND, Milk(6.0), kitchen.after(122))
    qtbot.waitUntil(vat.window().settled)
    return made


def heads(vat) -> list[tuple[str, str, str, bool]]:
    """The lines over the charts from top to bottom."""
    shown = [head for head in (vat.days.head, *vat.days.heads) if head.isVisible()]
    shown.sort(key=lambda head: head.mapTo(vat, QPoint(0, 0)).y())
    return [(h.face.code, h.face.step, h.face.figures, h.face.is_current) for h in shown]


def test_one_make_alone_has_no_line_over_its_chart(kitchen, vat):
    assert heads(vat) == []
    assert not any(chart.isVisible() for chart in vat.days.beside)


def test_both_steps_both_clocks_and_both_days_are_there(kitchen, vat, other):
    assert heads(vat) == [
        (kitchen.make.code, "Cook", "30:00", True),
        (other.code, "Ripen", "45:00", False),
    ]
    mine, beside = vat.chart, vat.days.beside[0]
    assert beside.isVisible()
    assert beside._day.whole.make.id == other.id
    assert mine._day.whole.make.id == kitchen.make.id
    assert mine.height() > 1.3 * beside.height() > 1.3 * 150


def test_both_clocks_go_on_each_second(kitchen, vat, other):
    kitchen.now_ms += 61_000
    vat.desk.alarm.tick()
    assert [figures for _, _, figures, _ in heads(vat)] == ["28:59", "43:59"]


def test_the_two_days_stand_over_one_clock(kitchen, vat, other):
    mine, beside = vat.chart, vat.days.beside[0]
    now = kitchen.now_ms
    spots = []
    for chart in (mine, beside):
        minutes = (now - chart._day.whole.make.started_ms) / 60_000
        (low, high), _ = chart.temp.viewRange()
        spots.append((minutes - low) / (high - low))
    assert spots[0] == pytest.approx(spots[1])
    # The first make began 122 minutes earlier, and both are seen from there on.
    assert beside.temp.viewRange()[0][0] == pytest.approx(-122.0)


def test_typing_goes_to_the_current_one_and_it_says_so(qtbot, kitchen, vat, hands, other):
    assert vat.days.head.accessibleName().endswith(HERE)
    assert vat.page.entry.temp.line.accessibleName() == f"Milk of {kitchen.make.code}"
    hands.type("32.4").press(ENTER).press(F3)
    assert [(code, is_current) for code, _, _, is_current in heads(vat)] == [
        (kitchen.make.code, False), (other.code, True),
    ]  # fmt: skip
    assert vat.page.entry.temp.line.accessibleName() == f"Milk of {other.code}"
    assert vat.chart.height() > vat.days.beside[0].height()
    hands.type("30.5").press(ENTER)
    assert kitchen.journal.readings.count(kitchen.make.id) == 1
    assert kitchen.journal.readings.count(other.id) == 1
    assert vat.chart._day.whole.trace("milk-temp").value.tolist() == [30.5]
    qtbot.waitUntil(vat.window().settled)
    assert vat.days.beside[0]._day.whole.trace("milk-temp").value.tolist() == [32.4]


def test_half_typed_digits_never_change_makes(kitchen, vat, hands, other):
    """What stands in a field belongs to the make it was typed for."""
    hands.type("32").press(F3)
    assert vat.page.entry.temp.line.text() == ""
    hands.type("30.5").press(ENTER).press(F3)
    assert vat.page.entry.temp.line.text() == "32"
    hands.type(".4").press(ENTER)
    assert kitchen.journal.readings.last(kitchen.make.id, 1)[0].value == 32.4
    assert kitchen.journal.readings.last(other.id, 1)[0].value == 30.5


def test_a_question_and_a_correction_stay_with_their_make(kitchen, vat, hands, other):
    hands.type("31.3").press(ENTER).type("42.1").press(ENTER)
    assert "right after" in vat.page.entry.temp.message.text()
    hands.press(F3).press(ENTER)
    assert kitchen.journal.readings.count(other.id) == 0
    hands.press(F3).press(ENTER)
    assert "42.1 °C right after 31.3 °C?" in vat.page.entry.temp.message.text()
    hands.press(Qt.Key.Key_Escape).press(Qt.Key.Key_F2)
    hands.press(F3).type("30").press(ENTER)
    assert kitchen.journal.readings.trace(other.id, "milk-temp").value.tolist() == [30.0]
    assert kitchen.journal.readings.trace(kitchen.make.id, "milk-temp").flags.tolist() == [0]


def test_what_is_asked_of_one_make_is_not_answered_for_the_other(kitchen, vat, hands, other):
    hands.press(Qt.Key.Key_L, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert vat.page.ask.asking
    vat.makes.turn_to(other.id)
    assert not vat.page.ask.asking
    assert kitchen.journal.runs.where(make_id=other.id)[0].extra_min == 0.0


def test_a_click_on_the_line_or_the_chart_takes_it_to_hand(kitchen, vat, other):
    QTest.mouseClick(vat.days.heads[0], Qt.MouseButton.LeftButton)
    assert vat.page.code.text().startswith(other.code)
    QTest.mouseClick(vat.days.beside[0].viewport(), Qt.MouseButton.LeftButton)
    assert vat.page.code.text().startswith(kitchen.make.code)


def test_a_change_of_the_other_make_is_seen_at_once(qtbot, kitchen, vat, other):
    kitchen.journal.readings.log(other.id, "milk-temp", 29.7, kitchen.after(123))
    assert vat.days.beside[0]._day.whole.trace("milk-temp").value.tolist() == [29.7]
    kitchen.journal.makes.end_stage(other.id, kitchen.after(160))
    assert heads(vat)[1][1] == "Set"
    kitchen.journal.makes.finish(other.id, [], kitchen.after(170))
    assert heads(vat) == []


def test_the_current_one_stays_when_the_other_is_at_its_end(kitchen, vat, hands, other):
    kitchen.after(122 + 46)
    vat.desk.alarm.tick()
    assert f"{other.code}: ripening was due to end" in vat.page.vat_head.due.text()
    assert vat.days.heads[0].face.over
    assert vat.page.code.text().startswith(kitchen.make.code)


def test_one_in_the_press_since_yesterday_and_one_at_the_vat(qtbot, kitchen, window_on):
    """Days too far apart for one clock stand each over its own, and now is in both."""
    journal = kitchen.journal
    kitchen.to_stage(6)
    young = journal.makes.begin(SECOND, Milk(6.0), kitchen.after(16 * 60))
    kitchen.after(16 * 60 + 20)
    window = window_on(journal, clock=kitchen.clock, place="vat")
    window.go("vat", young.id)
    vat = window.current
    qtbot.waitUntil(window.settled)
    assert heads(vat) == [
        (kitchen.make.code, "Press", "26:00", False), (young.code, "Ripen", "25:00", True),
    ]  # fmt: skip
    assert vat.chart.temp.viewRange()[0][0] == pytest.approx(0.0)
    for chart in (vat.chart, vat.days.beside[0]):
        (low, high), _ = chart.temp.viewRange()
        assert low < (kitchen.now_ms - chart._day.whole.make.started_ms) / 60_000 < high


def test_across_the_room_each_make_has_its_values_under_its_own_clock(kitchen, vat, hands, other):
    kitchen.journal.readings.log(kitchen.make.id, "milk-temp", 32.4, kitchen.now_ms)
    kitchen.journal.readings.log(other.id, "milk-temp", 29.7, kitchen.now_ms)
    hands.press(Qt.Key.Key_F11)
    across = vat._across
    image = across.grab().toImage()
    ink = [0, 0]
    for y in range(int(0.71 * image.height()), image.height(), 3):
        for x in range(0, image.width(), 3):
            colour = image.pixelColor(x, y)
            if colour.red() - colour.blue() > 80:  # madder, and nothing else here
                ink[x >= image.width() / 2] += 1
    assert min(ink) > 50
    assert [day.whole.make.id for day in across.neighbours] == [other.id]


def test_a_low_window_has_two_charts_and_the_other_clocks_as_rows(qtbot, kitchen, vat, other):
    third = kitchen.journal.makes.begin(SECOND, Milk(4.0), kitchen.after(124))
    window = vat.window()
    window.resize(1280, 720)
    qtbot.waitUntil(lambda: len(heads(vat)) == 2)
    assert [row.name for row in vat.page.vat_head.others.rows] == [third.code]
    row = vat.page.vat_head.others.rect().center()
    QTest.mouseClick(vat.page.vat_head.others, Qt.MouseButton.LeftButton, pos=row)
    assert vat.page.code.text().startswith(third.code)
    vat.makes.turn_to(kitchen.make.id)
    assert vat.chart.height() > 1.3 * vat.days.beside[0].height()
    window.resize(1440, 900)
    qtbot.waitUntil(lambda: len(heads(vat)) == 3)
    assert vat.page.vat_head.others.rows == ()


def test_more_than_three_have_their_clock_if_no_chart(qtbot, kitchen, vat, other):
    vat.window().resize(1440, 900)
    qtbot.waitUntil(lambda: vat.days.height() > 700)
    for minutes in (124, 126, 128):
        kitchen.journal.makes.begin(SECOND, Milk(4.0), kitchen.after(minutes))
    qtbot.waitUntil(vat.window().settled)
    charted = {code for code, *_ in heads(vat)}
    rows = [row.name for row in vat.page.vat_head.others.rows]
    assert len(charted) == 3
    assert len(rows) == 2
    assert charted.isdisjoint(rows)
    assert QApplication.focusWidget() is not None
