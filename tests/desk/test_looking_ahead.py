"""What the vat says of what is to come, and of what happened, driven by keys on a real file."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog

from journal.curves.heating import NEAR
from journal.curves.slow_acid import CAUTION
from journal.curves.vessel_fit import response
from journal.desk.labels import Label
from journal.desk.vat.before import BeforeStart
from journal.records.instants import from_iso
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plans
from journal.records.plans import Stage
from journal.wording import text_of
from journal.wording.at_the_vat import PageText, QuietLine, acid_lines
from journal.wording.vat_day import forecast_words
from tests.desk.conftest import cheddar_like

ENTER, ESC = Qt.Key.Key_Return, Qt.Key.Key_Escape
F11, F12 = Qt.Key.Key_F11, Qt.Key.Key_F12
COOK, TARGET = 112.0, 38.5
LAG, LOSS = 3.0, 0.003


@pytest.fixture
def cook_min() -> float:
    return COOK + 1


@pytest.fixture
def at(qtbot, kitchen, vat):
    """Let it be so many minutes from the start; the clock has ticked and all is calculated."""

    def moved(minutes: float) -> None:
        kitchen.after(minutes)
        vat.desk.alarm.tick()
        qtbot.waitUntil(vat.window().settled)

    return moved


def climbing(minutes, rate):
    """°C of milk held at 31 °C and warmed by `rate` at first from the cook's begin on."""
    return 31.0 + rate * response(np.asarray(minutes, float) - COOK, LOSS, LAG)


def cook(qtbot, at, hands, rate, until, every=3.0):
    """Type a reading every few minutes of the cook."""
    for minutes in np.arange(COOK + 2, until + 0.01, every):
        at(float(minutes))
        hands.type(f"{float(climbing(minutes, rate)):.1f}").press(ENTER)
    qtbot.waitUntil(hands.window.settled)


def output(vat) -> list[str]:
    """What stands below the head, line by line, that is to be seen."""
    box = vat.page.advice
    return [line.text().replace("\u00a0", " ") for line in box.lines if not line.isHidden()]


def minute_of(kitchen, text: str, pattern: str) -> float:
    """The clock in a text as minutes from the start (the make began at 9:00)."""
    found = re.search(pattern, text)
    assert found, text
    return (int(found[1]) - 9) * 60 + int(found[2])


# A ramp


def test_a_ramp_says_when_it_arrives_and_when_to_turn_the_heat_down(qtbot, kitchen, vat, hands, at):
    cook(qtbot, at, hands, 0.21, COOK + 26)
    fine = np.arange(COOK, COOK + 80, 0.05)
    true = float(fine[np.argmax(climbing(fine, 0.21) >= TARGET - NEAR)])
    head = vat.page.head.text()
    assert head.startswith("Nearly 38.5 °C ")
    assert re.search(r"(\d+ min late|\d+ min early|on time)\.$", head), head
    heating = vat.makes.day.ahead.heating
    assert (heating.arrives_ms - kitchen.start_ms) / 60_000 == pytest.approx(true, abs=2.0)
    says = vat.page.says.text().replace("\u00a0", " ")
    down = minute_of(kitchen, says, r"^Heat down at (\d\d):(\d\d), \d\d\.\d °C: it warms on")
    assert climbing(down, 0.21) == pytest.approx(heating.down_c, abs=0.4)
    assert heating.down_c + heating.coast_c == pytest.approx(TARGET, abs=0.6)
    assert not vat.page.vat_head.turned


def test_the_moment_to_turn_it_down_turns_the_page_and_esc_says_it_is_done(
    qtbot, kitchen, vat, hands, at
):
    cook(qtbot, at, hands, 0.21, COOK + 29)
    down_ms = vat.makes.day.ahead.heating.turn_down_ms
    at((down_ms - kitchen.start_ms) / 60_000 - 1.5)
    assert not vat.page.vat_head.turned
    down_min = (down_ms - kitchen.start_ms) / 60_000 + 1.5
    at(down_min)  # the last reading is over five minutes old: one thing is asked first
    assert vat.page.vat_head.turned
    assert vat.page.vat_head.due.text().startswith("Read the milk now")
    hands.press(F11)
    assert "Read the milk" in vat._across.accessibleDescription()
    hands.press(ESC).press(ESC)
    assert not vat.page.vat_head.turned  # asked once a reading
    hands.type(f"{float(climbing(down_min, 0.21)):.1f}").press(ENTER)
    qtbot.waitUntil(vat.window().settled)
    assert vat.page.vat_head.due.text().startswith("Turn the heat down now")
    hands.press(F11)
    assert "Turn the heat down" in vat._across.accessibleDescription()
    hands.press(ESC).press(ESC)
    assert not vat.page.vat_head.turned
    assert vat.page.head.text().startswith("Heat turned down at 11:")
    at((down_ms - kitchen.start_ms) / 60_000 + 3.5)
    assert "heat down" not in vat.page.vat_head.due.text()


def test_a_cook_far_behind_says_that_first_and_the_arrival_below(qtbot, vat, hands, at):
    cook(qtbot, at, hands, 0.10, COOK + 20)
    assert "behind the plan" in vat.page.head.text()
    assert not vat.page.mark.isHidden()
    assert any(line.startswith("At this rate 38.5 °C ") for line in output(vat))


def test_a_cook_that_begins_slowly_as_planned_is_not_foretold_to_be_late(qtbot, journal, window_on):
    """The plan asks for 0.2 °C/min at first and 0.5 after a quarter of an hour."""
    plan = replace(
        cheddar_like(),
        stages=(
            Stage("cut", 5, target_c=31.0),
            Stage("cook", 25, target_c=39.0, first_c_per_min=0.2, first_min=15.0),
        ),
    )
    start_ms = now = from_iso("2026-03-14T09:00", journal.zone)
    make = journal.makes.begin(plan, Milk(12.0), start_ms)
    journal.makes.end_stage(make.id, start_ms + 5 * 60_000)
    for minute in range(5, 18, 3):
        now = start_ms + minute * 60_000
        journal.readings.log(make.id, "milk-temp", 31.0 + 0.2 * (minute - 5), now)
    window = window_on(journal, clock=lambda: now, place="vat")
    qtbot.waitUntil(window.settled)
    vat = window.current
    assert vat.makes.day.ahead.heating.late_min > 3
    assert re.match(r"At this rate 39\.0 °C .* min late\.$", vat.page.head.text())
    assert any("arrives on time" in line for line in output(vat))


# Acidity


def sour(qtbot, at, hands, rows):
    """Type acidities at minutes from the start."""
    for minutes, ph in rows:
        at(minutes)
        hands.press(Qt.Key.Key_Tab).type(f"{ph:.2f}").press(ENTER).press(Qt.Key.Key_Backtab)
    qtbot.waitUntil(hands.window.settled)


STALLED = [(COOK + 5 + 15 * i, 6.60 - 0.004 * i) for i in range(16)]


@pytest.fixture
def stalling(qtbot, kitchen, vat, hands, at):
    """A make whose acid does not come, read until it is said."""
    vat.page.entry.set_acid_kind("curd-ph")
    for i, row in enumerate(STALLED):
        sour(qtbot, at, hands, [row])
        if vat.makes.day.ahead.slow:
            if vat.desk.alarm.ringing:
                hands.press(ESC)
            return i
    raise AssertionError("nothing was said of it")


def test_the_next_gate_is_said_with_its_range_and_what_it_leans_on(qtbot, vat, hands, at):
    sour(qtbot, at, hands, [(COOK + 4, 6.54)])
    pattern = r"^Drain: pH 6\.42 about \d\d:\d\d \(.*\d\d:\d\d.*\), mostly from what is usual\.$"
    lines = [vat.page.head.text(), *output(vat)]
    assert any(re.match(pattern, line) for line in lines), lines


def test_a_gate_that_is_met_makes_room_for_the_next(qtbot, kitchen, vat, hands, at):
    sour(qtbot, at, hands, [(COOK + 4, 6.54)])
    assert vat.makes.day.ahead.acid_target_label == "drain"
    sour(qtbot, at, hands, [(COOK + 30, 6.44)])  # the drain's own range is 6.38 to 6.46
    assert vat.makes.day.ahead.acid_target is None
    assert not any(line.startswith("Drain: ") for line in all_said(vat))


def test_acid_beyond_the_current_acid_target_is_said_and_not_expected_again(
    qtbot, kitchen, vat, hands, at
):
    drain = cheddar_like().starts()[5]
    kitchen.journal.makes.end_stage(kitchen.make.id, kitchen.after(drain))
    sour(qtbot, at, hands, [(drain + 2, 6.44)])
    assert vat.makes.day.ahead.passed is None
    sour(qtbot, at, hands, [(drain + 10, 6.31)])  # the drain's own range is 6.38 to 6.46
    assert "▲ Drain: pH 6.31, below its acid target of 6.38 to 6.46." in all_said(vat)
    assert vat.makes.day.ahead.acid_target is None


def test_a_gate_expected_before_now_and_not_read_since_asks_for_a_reading(
    qtbot, kitchen, vat, hands, at
):
    sour(qtbot, at, hands, [(COOK + 4 * i, 6.60 - 0.02 * i) for i in range(1, 6)])
    ahead = vat.makes.day.ahead
    due = (ahead.acid_target.reached_at_ms - kitchen.start_ms) / 60_000
    assert any(line.startswith("Drain: pH 6.42 about ") for line in all_said(vat))
    assert " expected at " in forecast_words(vat.makes.day)
    late = replace(vat.makes.day, now_ms=kitchen.after(due + 5))
    asks = acid_lines(late)[-1].text
    assert re.fullmatch(r"Drain: pH 6\.42 was expected about \d\d:\d\d: read it\.", asks)
    assert " was expected at " in forecast_words(late)


@pytest.mark.parametrize(("low", "expected"), [(4.4, 4.50), (3.4, 4.60)])
def test_a_gate_is_expected_at_its_middle_or_where_no_course_gets_there_at_its_edge(
    qtbot, journal, window_on, low, expected
):
    plan = next(plan for plan in builtin_plans() if plan.name == "lactic")
    stages = [
        replace(s, acid_target=replace(s.acid_target, low=low)) if s.acid_target else s
        for s in plan.stages
    ]
    start_ms = from_iso("2026-03-14T08:00", journal.zone)
    journal.makes.begin(replace(plan, stages=tuple(stages)), Milk(10.0), start_ms)
    window = window_on(journal, clock=lambda: start_ms, place="vat")
    qtbot.waitUntil(window.settled)
    day = window.current.makes.day
    assert (day.ahead.acid_target_label, day.ahead.acid_target.ph) == ("long set", expected)
    assert (day.ahead.acid_target.reached_at_ms - start_ms) / 3_600_000 == pytest.approx(22, abs=12)
    next_day = day.ahead.acid_target.reached_at_ms >= from_iso("2026-03-15T00:00", journal.zone)
    assert (" on 15 March" in acid_lines(day)[-1].text.partition(" (")[0]) == next_day


def test_slow_acid_brings_the_caution_once_and_it_stays_in_sight(
    qtbot, kitchen, vat, hands, at, stalling, window_on
):
    box = vat.page.advice
    assert not box.caution.isHidden()
    assert "Staphylococcus aureus" in box.caution.text()
    assert "local codes" in box.caution.text()
    assert not vat.page.mark.isHidden()
    hands.press(ESC)
    assert box.caution.isHidden()
    assert any(line.startswith("▲ ") and "F12" in line for line in all_said(vat))
    sour(qtbot, at, hands, [STALLED[stalling + 1]])
    assert vat.makes.day.ahead.slow
    assert box.caution.isHidden()
    again = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(again.settled)
    assert again.current.page.advice.caution.isHidden()


def test_the_whole_caution_is_a_key_away(vat, hands, stalling):
    hands.press(ESC).press(F12)
    assert text_of(CAUTION) in words_of(vat)


def test_a_doubt_about_the_culture_never_makes_room(vat):
    vat.page.advice.show_text(
        PageText(
            "1.8 °C behind the plan.",
            lines=(QuietLine("As now 11:20."), QuietLine("In doubt.", True, True)),
        )
    )
    vat.page.advice.give_way(whole=False, lines=0, noted=False)
    assert output(vat) == ["▲ In doubt."]


def test_a_clock_that_grows_again_is_measured_at_once(vat):
    """Else the page takes the room of its last line for its own."""
    page = vat.page
    page.vat_head.tighten(True)
    page._lacking()
    QApplication.processEvents()
    page.vat_head.tighten(False)
    at_once = page._lacking()
    QApplication.processEvents()
    assert page._lacking() == at_once


def test_what_the_plan_warns_of_stands_before_the_start_and_under_a_key(qtbot, journal, window_on):
    plan = next(p for p in builtin_plans() if p.name == "whey cheese")
    assert plan.caution
    start_ms = from_iso("2026-03-14T09:00", journal.zone)
    make = journal.makes.begin(plan, Milk(12.0), start_ms)
    window = window_on(journal, clock=lambda: start_ms + 60_000, place="vat")
    qtbot.waitUntil(window.settled)
    QTest.keyClick(window, F12)
    assert plan.caution in words_of(window.current)
    shown = BeforeStart(journal, make, lambda: start_ms, window)
    qtbot.addWidget(shown)
    assert shown.caution.text() == f"▲ {plan.caution}"


# What happened


def words_of(vat) -> list[str]:
    """The words of the list of what happened."""
    found = [d for d in vat.window().findChildren(QDialog) if d.windowTitle() == "What happened"]
    return [label.text() for label in found[-1].findChildren(Label)]


def all_said(vat) -> list[str]:
    return [vat.page.head.text(), *output(vat)]


def test_a_stray_is_said_once_and_listed_afterwards(qtbot, kitchen, vat, hands, at):
    news = re.compile(
        r"\d+ min outside the range: on average \d\.\d °C too cold, at most \d\.\d °C\."
    )
    vat.window().resize(1440, 900)
    for minutes, celsius in ((20, 33.0), (24, 33.0), (28, 33.2)):
        at(COOK + minutes)
        hands.type(f"{celsius}").press(ENTER)
    qtbot.waitUntil(vat.window().settled)
    assert sum(bool(news.search(line)) for line in output(vat)) == 1
    hands.press(ESC)
    assert not any(news.search(line) for line in all_said(vat))
    at(COOK + 31)
    hands.type("33.5").press(ENTER)
    qtbot.waitUntil(vat.window().settled)
    assert not any(news.search(line) for line in all_said(vat))
    assert "noted today" in vat.page.advice.noted.text()
    hands.press(F12)
    assert any("below its allowed range" in words for words in words_of(vat))


def test_a_stray_that_nobody_hears_gives_way_by_itself(qtbot, vat, hands, at):
    vat.window().resize(1440, 900)
    for minutes in (20, 24, 28):
        at(COOK + minutes)
        hands.type("33").press(ENTER)
    qtbot.waitUntil(vat.window().settled)
    assert any("outside the range" in line for line in output(vat))
    at(COOK + 39.5)
    assert not any("outside the range" in line for line in output(vat))


def test_nothing_happened_is_said_plainly(vat, hands):
    hands.press(F12)
    assert "Everything has gone as planned so far." in words_of(vat)
