"""What must not be overlooked at the vat keeps its place, driven by keys on a real file."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import QApplication, QDialog

from journal.desk.labels import Label
from journal.desk.vat.before import BeforeStart
from journal.desk.vat.happened import Happened
from journal.records.instants import MINUTE_MS, from_iso
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans
from tests.desk.hands import Hands

COOK = 112  # min from the start in the plan of the kitchen
DOUBTED = COOK + 125  # so slow a culture is in doubt by then and is not yet called slow
ENTER, F12, TAB = Qt.Key.Key_Return, Qt.Key.Key_F12, Qt.Key.Key_Tab
LOW, HIGH = (1280, 720), (1440, 900)


@pytest.fixture
def cook_min() -> float:
    return COOK + 1


@pytest.fixture
def doubted(qtbot, kitchen, vat, hands):
    """A cook that is behind, and a pH that hardly falls."""
    vat.page.entry.set_acid_kind("curd-ph")
    for minutes in range(COOK + 5, DOUBTED + 1, 15):
        kitchen.after(minutes)
        vat.desk.alarm.tick()
        hands.type(f"{31 + 0.03 * (minutes - COOK):.1f}").press(ENTER)
        hands.press(TAB).type(f"{6.60 - 0.00027 * (minutes - COOK - 5):.3f}").press(ENTER)
        hands.press(Qt.Key.Key_Backtab)
    qtbot.waitUntil(hands.window.settled)
    assert vat.makes.day.ahead.doubt
    assert not vat.makes.day.ahead.slow
    return vat


def in_sight(vat, start: str) -> bool:
    """Whether a line of what the numbers say stands whole within what is to be seen."""
    found = [line for line in vat.page.advice.lines if line.text().startswith(start)]
    if not found or not found[0].isVisible():
        return False
    line, port = found[0], vat.page._scroll.viewport()
    whole = line.heightForWidth(line.width()) <= line.height()
    at = QRect(line.mapTo(port, QPoint(0, 0)), line.size())
    return whole and port.rect().contains(at)


def test_a_culture_in_doubt_stays_in_sight_beside_clocks_and_an_advice(qtbot, kitchen, doubted):
    """With no timer, one and two, in a low window and in a high one."""
    for timers in (0, 1, 2):
        if timers:
            words = f"turn {timers}"
            kitchen.journal.day.start_timer(kitchen.make.id, words, kitchen.now_ms, 20.0)
        for size in (LOW, HIGH):
            doubted.window().resize(*size)
            qtbot.waitUntil(doubted.window().settled)
            QApplication.processEvents()
            assert "behind the plan" in doubted.page.head.text()
            assert not doubted.page.mark.isHidden()
            assert len(doubted.page.vat_head.beside.rows) == timers
            assert in_sight(doubted, "▲ The culture may be slow or stalling"), (size, timers)


def test_a_culture_in_doubt_stays_in_sight_while_a_timer_rings(qtbot, kitchen, doubted):
    doubted.window().resize(*LOW)
    kitchen.journal.day.start_timer(kitchen.make.id, "turn", kitchen.now_ms, 1.0)
    kitchen.after(DOUBTED + 1.5)
    doubted.desk.alarm.tick()
    qtbot.waitUntil(doubted.window().settled)
    QApplication.processEvents()
    assert doubted.page.vat_head.turned
    assert in_sight(doubted, "▲ The culture may be slow or stalling")


def test_what_is_said_is_whole_in_a_window_that_was_made_lower_meanwhile(qtbot, doubted):
    window = doubted.window()
    window.resize(*HIGH)
    window.go("makes")
    qtbot.waitUntil(window.settled)
    window.resize(*LOW)
    window.go("vat")
    qtbot.waitUntil(window.settled)
    QApplication.processEvents()
    shown = [line.text() for line in doubted.page.advice.lines if not line.isHidden()]
    assert shown
    assert all(in_sight(doubted, text) for text in shown)


# The plan's own caution


def begun(qtbot, journal, window_on, name: str, size=HIGH):
    """The vat a minute into a make of a built-in plan."""
    plan = next(plan for plan in builtin_plans() if plan.name == name)
    start_ms = from_iso("2026-03-14T09:00", journal.zone)
    journal.makes.begin(plan, Milk(12.0), start_ms)
    window = window_on(journal, clock=lambda: start_ms + MINUTE_MS, place="vat")
    window.resize(*size)
    qtbot.waitUntil(window.settled)
    return window.current


@pytest.mark.parametrize("name", ["whey cheese", "lactic"])
def test_the_page_says_that_the_plan_warns_and_a_click_shows_of_what(
    qtbot, journal, window_on, name
):
    vat = begun(qtbot, journal, window_on, name)
    words = vat.page.advice.noted
    assert words.isVisible()
    assert words.text() == "Warnings in the plan  F12"
    qtbot.mouseClick(words, Qt.MouseButton.LeftButton)
    shown = vat.window().findChild(Happened)
    assert vat.makes.day.whole.plan.caution in [label.text() for label in shown.findChildren(Label)]


def test_the_list_before_the_start_shows_what_the_plan_warns_of(qtbot, journal, window_on):
    vat = begun(qtbot, journal, window_on, "whey cheese", LOW)
    Hands(vat.window()).press(Qt.Key.Key_B, Qt.KeyboardModifier.ControlModifier)
    shown = vat.window().findChild(BeforeStart)
    qtbot.waitUntil(shown.isVisible)
    caution = shown.caution
    assert caution.text() == f"▲ {vat.makes.day.whole.plan.caution}"
    assert caution.height() >= caution.heightForWidth(caution.width())
    assert caution.mapTo(shown, caution.rect().bottomLeft()).y() < shown.height()


def test_a_plan_without_a_caution_is_not_said_to_warn(vat, hands):
    assert vat.page.advice.noted.isHidden()
    hands.press(F12)
    shown = next(d for d in vat.window().findChildren(QDialog) if isinstance(d, Happened))
    assert "Warnings in the plan" not in [label.text() for label in shown.findChildren(Label)]


def test_the_list_is_as_high_as_its_words(qtbot, journal, window_on):
    vat = begun(qtbot, journal, window_on, "lactic")
    Hands(vat.window()).press(F12)
    shown = vat.window().findChild(Happened)
    qtbot.waitUntil(shown.isVisible)
    last = shown.findChildren(Label)[-1]
    below = shown.height() - last.mapTo(shown, QPoint(0, last.height())).y()
    assert 0 < below < 2 * last.height() + 24  # the margin of the page


# Warmth that comes with water


def washing(qtbot, journal, window_on, steps: dict[int, float], size=HIGH):
    """The vat in the wash of the built-in plan, °C read at minutes after its begin."""
    plan = next(plan for plan in builtin_plans() if plan.name == "washed-curd type")
    place = next(i for i, stage in enumerate(plan.stages) if stage.kind == "wash")
    now = start_ms = from_iso("2026-03-14T09:00", journal.zone)
    make = journal.makes.begin(plan, Milk(12.0), start_ms)
    for i in range(place):
        now = start_ms + round(plan.starts()[i + 1] * MINUTE_MS)
        journal.makes.end_stage(make.id, now)
    window = window_on(journal, clock=lambda: now, place="vat")
    window.resize(*size)
    hands, begins = Hands(window), now
    for minutes, celsius in steps.items():
        now = begins + minutes * MINUTE_MS
        hands.type(f"{celsius}").press(ENTER)
        qtbot.waitUntil(window.settled)
    return window.current


def test_a_wash_that_is_ahead_is_told_of_the_water_not_of_the_heat(qtbot, journal, window_on):
    vat = washing(qtbot, journal, window_on, {2: 32.5, 4: 34.2, 6: 35.9})
    assert "ahead of the plan" in vat.page.head.text()
    assert vat.page.says.text() == "Add the water more slowly or cooler."


def test_a_wash_is_not_told_to_turn_a_heat_down(qtbot, journal, window_on):
    vat = washing(qtbot, journal, window_on, {2: 31.7, 4: 32.3, 6: 33.0, 8: 33.7, 10: 34.3})
    heard = [vat.page.head.text(), vat.page.says.text(), vat.page.vat_head.due.text()]
    assert any(heard)
    assert not any("heat" in words.lower() for words in heard)
