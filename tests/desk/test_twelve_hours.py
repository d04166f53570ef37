"""Twelve hours hold wherever a time of day is written:
each place, its charts, what is typed and read back, paper. Of the commands: test_settings.py."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractItemView, QTableView, QWidget

from journal.desk.charts.chart import Chart
from journal.desk.places import PLACES
from journal.desk.preferences import choose
from journal.desk.sheets.record import make_record
from journal.desk.vat.paper_day import PaperDayDialog
from journal.desk.vat.times import StageTimes
from journal.records.instants import at_clock, from_iso
from journal.wording import Style, use_style
from journal.wording.dates import clock_to_type
from journal.wording.hours import Hours, Stretch
from tests import present
from tests.desk.hands import Hands, key_for

# A time of day of twenty-four hours: no length ("1:23:45"), none with its half of the day.
OF_24 = re.compile(r"(?<![\d:.])(?:0\d|1[3-9]|2[0-3]):[0-5]\d(?![\d:]| ?[ap]m)")


def written(window: QWidget) -> Iterator[str]:
    """All that is read in a window: what a screen reader is told, lists cell by cell, charts as
    tables."""
    for widget in window.findChildren(QWidget):
        if not widget.isVisible():
            continue
        if isinstance(widget, QAbstractItemView) and widget.model() is not None:
            model = widget.model()
            for row in range(min(model.rowCount(), 40)):
                columns = model.columnCount() if isinstance(widget, QTableView) else 1
                for column in range(columns):
                    yield str(model.index(row, column).data(Qt.ItemDataRole.DisplayRole) or "")
        elif isinstance(widget, Chart):
            for row in list(widget.table().rows)[:60]:
                yield " ".join(map(str, row.cells))
        heard = QAccessible.queryAccessibleInterface(widget)
        if heard is not None:
            for kind in (QAccessible.Text.Name, QAccessible.Text.Description):
                yield heard.text(kind)


def of_24(texts: Iterator[str]) -> list[str]:
    return [text for text in texts if OF_24.search(text)]


def test_every_place_writes_twelve_hours(qtbot, sample, window_on, saved):
    choose(saved, "clock", "12")
    window = window_on(sample, clock=present.now)
    found = {}
    for entry in PLACES:
        window.go(entry.key)
        qtbot.waitUntil(window.settled, timeout=60_000)
        found[entry.key] = of_24(written(window.current))
    assert found == {entry.key: [] for entry in PLACES}


def test_the_vat_writes_and_reads_twelve_hours(qtbot, kitchen, window_on, saved):
    choose(saved, "clock", "12")
    kitchen.to_stage(4)
    kitchen.after(5 * 60)  # 2 in the afternoon
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(window.settled)
    hands = Hands(window)
    hands.press(*key_for("when")).type("1:40 pm").press(Qt.Key.Key_Return)
    hands.type("31.5").press(Qt.Key.Key_Return)
    trace = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")
    assert trace.at_ms[-1] == from_iso("2026-03-14T13:40", "Europe/London")
    assert any("1:40 pm" in text for text in written(window.current))
    window.current.acts.show_times()
    shown = window.findChild(StageTimes)
    qtbot.waitUntil(shown.isVisible)
    assert any(" am" in text for text in shown.rows.texts().values())
    assert of_24(iter(shown.rows.texts().values())) == []
    shown.reject()


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("1:40 pm", "13:40"), ("1.40pm", "13:40"), ("12:05 am", "00:05"), ("12:05 PM", "12:05"),
     ("13:40", "13:40"), ("9:05 a.m.", "09:05")],
)  # fmt: skip
def test_a_time_is_typed_with_its_half_of_the_day_or_without(typed, meant):
    zone = "Europe/London"
    first, last = from_iso("2026-03-14T00:00", zone), from_iso("2026-03-14T23:59", zone)
    at = at_clock(typed, zone, first, last)
    assert at == from_iso(f"2026-03-14T{meant}", zone)
    use_style(Style(clock="12"))
    try:
        shown = clock_to_type(at, zone)
        for day in ("", "2026-03-14T", "2026-03-14 "):  # as a reading of another day is shown
            assert at_clock(f"{day}{shown}", zone, first, last) == at
    finally:
        use_style(Style())


def test_the_axis_of_a_day_names_midnight_by_its_weekday_in_either(saved):
    start = from_iso("2026-03-14T20:00", "Europe/London")
    hours = Hours((Stretch(0.0, 600.0, 0.0, 1.0),), start, "Europe/London")
    ticks = {}
    for clock in ("24", "12"):
        use_style(Style(clock=clock))
        ticks[clock] = [hours._tick(float(minute), 60).words for minute in (60, 240)]
    assert ticks == {"24": ["21:00", "Sun"], "12": ["9:00 pm", "Sun"]}


def test_the_day_from_paper_says_and_reads_when_the_make_began(kitchen, window_on, qtbot, saved):
    choose(saved, "clock", "12")
    kitchen.after(2 * 24 * 60)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(window.settled)
    window.run("paper")
    shown = window.findChild(PaperDayDialog)
    qtbot.waitUntil(shown.isActiveWindow)
    assert shown.began.line.text() == "2026-03-14 9:00 am"
    shown.began.line.setFocus()
    shown.began.line.selectAll()
    Hands(shown).type("2026-03-14 8:10 am")
    assert shown._checked.started_ms == kitchen.start_ms - 50 * 60_000
    shown.began.line.selectAll()
    Hands(shown).type("2026-03-14 1:40 pm")
    assert shown._checked.started_ms == kitchen.start_ms + 280 * 60_000
    shown.reject()


def test_the_record_on_paper_writes_twelve_hours(kitchen, tmp_path, saved):
    kitchen.to_stage(4)
    kitchen.journal.readings.log(kitchen.make.id, "milk-temp", 31.5, kitchen.after(300))
    use_style(Style(clock="12"))
    path = tmp_path / "record.pdf"
    make_record(kitchen.journal.whole(kitchen.make.id), path)
    words = " ".join(page.extract_text() for page in PdfReader(path).pages)
    assert "2:00 pm" in words.replace("\u00a0", " ")
    assert "14:00" not in words
