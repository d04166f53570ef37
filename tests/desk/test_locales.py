"""The window on a desktop that is not English: its dates are English there, and are read back."""

from __future__ import annotations

import calendar
import re
from datetime import date

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from journal.desk.charts.axes import ClockAxis
from journal.desk.places import PLACES
from journal.desk.sheets import make_record, make_sheet
from journal.keeping import Journal
from journal.records.dates import MONTHS, WEEKDAYS
from journal.records.instants import from_iso
from journal.records.makes import Ingredient
from journal.records.plan_text import builtin_plan
from journal.wording.dates import day_words
from tests.desk.hands import key_for
from tests.locales import DESKTOPS, LOCALES, spoken

ZONE = "Europe/London"
NOW = from_iso("2026-03-14T09:25", ZONE)
CONTROL = Qt.KeyboardModifier.ControlModifier
DECEMBER = from_iso("2026-12-14T12:00", ZONE)


@pytest.fixture(params=LOCALES)
def desktop(request, qapp):
    """The C library and Qt speak another language, as they do once an application began there."""
    before = QLocale()
    with spoken(request.param) as differs:
        assert differs(f"{date(2026, 3, 14):%A %B}")
        QLocale.setDefault(QLocale(request.param.partition(".")[0]))
        yield request.param
        QLocale.setDefault(before)


@pytest.fixture
def foreign(desktop) -> re.Pattern[str]:
    """What a month or a weekday is called there, where an English reader would not know it."""
    there = [*calendar.month_name, *calendar.month_abbr, *calendar.day_name]
    english = " ".join((*MONTHS, *WEEKDAYS))
    words = [word for word in there if word and not re.search(rf"\b{word}", english)]
    assert len(words) > 10
    ends = r"\b" if words[0].isascii() else ""
    return re.compile("|".join(rf"{ends}{re.escape(word)}{ends}" for word in words))


@pytest.mark.parametrize("desktop", DESKTOPS, indirect=True)
def test_a_lot_with_a_date_is_changed_and_keeps_its_date(desktop, window_on, journal, qtbot):
    journal.ingredients.save(
        Ingredient("culture", "kitchen mix", lot="M-1", expires_ms=DECEMBER, amount_left=4.0)
    )
    window = window_on(journal, place="plans", clock=lambda: NOW)
    place = window.current
    qtbot.waitUntil(place.page.list.hasFocus)
    QTest.keyClick(place.page.list, *key_for("part_2"))
    section, form = place.stock.made().section, place.stock.made().form
    (row,) = section.table.rows_model.rows
    assert "14 Dec 2026" in [column.text(row) for column in section.table.rows_model.columns]
    QTest.keyClick(section.table, Qt.Key.Key_Return)
    assert form.field("expires").line.text() == "14 Dec 2026"
    line = form.field("left").line
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, "3,5")
    QTest.keyClick(line, Qt.Key.Key_Return, CONTROL)
    assert not form.open, form.field("expires").message.text()
    (lot,) = journal.ingredients.all()
    assert (lot.amount_left, lot.expires_ms) == (3.5, DECEMBER)


def test_no_place_says_a_day_in_another_language(foreign, sample: Journal, window_on, qtbot):
    window = window_on(sample)
    found = []
    for entry in PLACES:
        window.go(entry.key)
        window.current.grab()
        for label in window.current.findChildren(QLabel):
            text = f"{label.text()} {label.accessibleName()} {label.accessibleDescription()}"
            found += [text] if foreign.search(text) else []
    assert found == []
    assert window.place("today").date.text() == "Wednesday 25 November"


def test_sheets_and_axes_name_days_in_english(foreign, sample: Journal, tmp_path):
    make_sheet(builtin_plan("cheddar type"), tmp_path / "sheet.pdf",
               start_ms=from_iso("2026-03-14T10:30", ZONE), zone=ZONE)  # fmt: skip
    first = sample.whole(sample.makes.rows()[-1].id)
    make_record(first, tmp_path / "record.pdf")
    output = {name: _text(tmp_path / f"{name}.pdf") for name in ("sheet", "record")}
    assert "begins Saturday 14 March 2026" in output["sheet"]
    assert day_words(first.make.started_ms, first.make.zone) in output["record"]
    assert not foreign.search(" ".join(output.values()))
    axis = ClockAxis()
    axis.set_clock(DECEMBER - 12 * 60 * 60_000, ZONE)
    assert axis.tickStrings([0, 1440], 1, 1440) == ["14 Dec", "15 Dec"]


def _text(path) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(path).pages)
