"""A make that pasteurises: the page says how long the milk was hot enough, by keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from journal.keeping import Journal
from journal.records.calibrations import Calibration
from journal.records.instants import MINUTE_MS, from_iso
from journal.records.makes import Milk
from journal.records.plan_text import builtin_plan
from tests.desk.hands import Hands

CTRL, ENTER = Qt.KeyboardModifier.ControlModifier, Qt.Key.Key_Return
NOW = from_iso("2026-03-14T09:00", "Europe/London")


class Heating:
    """A make of quark from raw milk, at the vat, and a clock that the hands turn."""

    def __init__(self, qtbot, window_on, journal: Journal) -> None:
        self.journal, self.now_ms, self.bot = journal, NOW, qtbot
        self.make = journal.makes.begin(builtin_plan("quark"), Milk(5.0, treatment="raw"), NOW)
        self.window = window_on(journal, clock=lambda: self.now_ms, place="vat")
        self.window.resize(1440, 900)
        self.hands = Hands(self.window)

    def reads(self, minutes: float, celsius: str) -> None:
        """Type a temperature at a minute of the make."""
        self.now_ms = NOW + round(minutes * MINUTE_MS)
        self.hands.type(celsius).press(ENTER)
        self.bot.waitUntil(self.window.settled)

    def end_stage(self) -> None:
        self.hands.press(ENTER, CTRL)
        self.bot.waitUntil(self.window.settled)

    def output(self) -> list[str]:
        """What can be read below what the numbers say."""
        return [one.text().replace("\u00a0", " ") for one in self.window.current.page.advice.lines
                if one.isVisible()]  # fmt: skip


@pytest.fixture
def heating(qtbot, window_on, journal: Journal) -> Heating:
    return Heating(qtbot, window_on, journal)


def test_the_hold_is_counted_and_the_pair_said_to_be_reached(heating: Heating) -> None:
    for minutes, celsius in ((0, "6"), (30, "58"), (40, "63.3"), (52, "63.5")):
        heating.reads(minutes, celsius)
    off = "(thermometer not checked: 0.5 °C allowed)"
    assert f"Read at 63.3 °C or above for 12 min of 30 min so far {off}." in heating.output()
    heating.reads(70.1, "63.4")
    (words,) = [one for one in heating.output() if "published pair" in one]
    assert words.endswith("the published pair, 30 min, is reached. Local codes decide.")
    heating.end_stage()
    assert words in heating.output()
    heating.end_stage()
    assert not any("published pair" in one for one in heating.output())


def test_a_pair_that_was_missed_stays_on_the_page_of_raw_milk(heating: Heating) -> None:
    """Half a degree short of what an unchecked thermometer must show: missed, and said so to the
    end, also to a second opening."""
    for minutes, celsius in ((0, "6"), (40, "62.9"), (55, "62.9"), (75, "63.0")):
        heating.reads(minutes, celsius)
    heating.end_stage()
    heating.end_stage()
    (words,) = [one for one in heating.output() if "No published pair" in one]
    assert words.startswith("▲ No published pair was reached: 63.3 °C or above for 0 s of 30 min")
    assert "Take the milk as raw; local codes decide." in words
    heating.window.resize(1280, 720)
    assert words in heating.output()


def test_a_thermometer_checked_in_ice_needs_no_allowance(heating: Heating) -> None:
    check = Calibration(heating.make.id, "thermometer", NOW - MINUTE_MS, (0.0,), (0.0,))
    heating.journal.calibrations.save(check)
    for minutes, celsius in ((0, "6"), (40, "62.9"), (55, "62.9")):
        heating.reads(minutes, celsius)
    assert "Read at 62.8 °C or above for 15 min of 30 min so far." in heating.output()
    with Journal.open(heating.journal.path, read_only=True) as other:
        assert len(other.whole(heating.make.id).trace("milk-temp")) == 3
