"""A day kept on the printed sheet, typed in afterwards from the keyboard, and counted."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.curves.day import plan_line, planned_at
from journal.desk.vat.paper_day import PaperDayDialog
from journal.keeping import Journal
from journal.records.traces import DOUBTFUL
from tests.desk.conftest import cheddar_like

CTRL = Qt.KeyboardModifier.ControlModifier
ENTER, TAB, ESC = Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.Key.Key_Escape
# A typist of 40 words a minute presses 200 keys (a word is five, as typists count).
KEYS_A_MINUTE = 200
STARTS = {0: 1, 30: 2, 60: 3, 100: 4, 112: 5, 152: 6, 166: 7}  # minute: the stage on the sheet


class Typist:
    """Types into whatever has the focus, and counts each key."""

    def __init__(self, window) -> None:
        self.window, self.keys = window, 0

    def type(self, text: str) -> Typist:
        for letter in text:
            self._click(letter)
        return self

    def press(self, key: Qt.Key, with_key=Qt.KeyboardModifier.NoModifier) -> Typist:
        self._click(key, with_key)
        return self

    def _click(self, key, with_key=Qt.KeyboardModifier.NoModifier) -> None:
        self.keys += 1
        QTest.keyClick(QApplication.focusWidget() or self.window, key, with_key)


@pytest.fixture
def sheet(qtbot, kitchen, window_on):
    """Opens the grid on the kitchen's make, the day after it was made."""
    kitchen.after(30 * 60)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(window.settled)

    def opened() -> PaperDayDialog:
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        QTest.keyClick(window, Qt.Key.Key_K, CTRL | Qt.KeyboardModifier.ShiftModifier)
        shown = next(one for one in window.findChildren(PaperDayDialog) if one.isVisible())
        shown.activateWindow()
        qtbot.waitUntil(shown.isActiveWindow)
        return shown

    return opened


def forty_rows() -> list[tuple[str, str, str, str, str]]:
    """What stands on the sheet: each five minutes the milk, pH each ten, six notes."""
    line, rows, hour = plan_line(cheddar_like()), [], None
    minutes = sorted({*range(0, 200, 5), *STARTS} - {5, 15, 25})[:40]
    for number, minute in enumerate(minutes):
        clock = 9 * 60 + minute
        time = f"{clock % 60:02d}" if clock // 60 == hour else f"{clock // 60}{clock % 60:02d}"
        hour = clock // 60
        planned = float(planned_at(line, [minute])[0])  # none while the press has it
        temp = f"{planned:.1f}" if planned == planned else ""
        temp = temp.replace(".", "") if planned > 10 else temp  # 50 would be 50 °C
        fall = 6.66 - max(0, minute - 60) * 0.0018
        acid = f"{fall:.2f}".replace(".", "") if number % 2 else ""
        note = {3: "culture in", 9: "smells fresh", 15: "clean break", 20: "curd is soft",
                30: "firm, squeaks", 38: "knit well"}.get(number, "")  # fmt: skip
        rows.append((time, str(STARTS.get(minute, "")), temp, acid, note))
    return rows


def fill(typist: Typist, rows) -> None:
    """As a person would: Tab as far as the row has something, then Enter."""
    for row in rows:
        last = max(place for place, cell in enumerate(row) if cell)
        for place, cell in enumerate(row[: last + 1]):
            typist.type(cell)
            if place < last:
                typist.press(TAB)
        typist.press(ENTER)


def test_forty_rows_take_less_than_three_minutes_and_are_all_in_the_file(sheet, kitchen, qtbot):
    shown, rows = sheet(), forty_rows()
    typist = Typist(shown)
    fill(typist, rows)
    typist.press(ENTER, CTRL)
    assert not shown.isVisible(), shown.fault.text()
    assert len(rows) == 40
    assert typist.keys / KEYS_A_MINUTE < 3.0, typist.keys
    with Journal.open(kitchen.journal.path) as journal:
        make = journal.makes.get(kitchen.make.id)
        whole = journal.whole(make.id)
        assert len(whole.trace("milk-temp")) == sum(bool(row[2]) for row in rows) > 30
        acid = sum(len(whole.trace(kind)) for kind in ("milk-ph", "curd-ph", "whey-ph"))
        assert acid == sum(bool(row[3]) for row in rows)
        began = [round((run.began_ms - make.started_ms) / 60_000) for run in whole.runs]
        assert began == list(STARTS)
        assert sorted(note.text for note in whole.notes) == sorted(row[4] for row in rows if row[4])
        assert whole.additions  # the doses of the stages that ended
    kitchen.journal.undo()
    with Journal.open(kitchen.journal.path) as journal:
        whole = journal.whole(kitchen.make.id)
        assert not whole.traces
        assert whole.running_index == 0
    again = sheet()
    assert again._rows[39].time == rows[39][0]  # what was taken back can be typed on
    again.submit()
    assert kitchen.journal.readings.count(kitchen.make.id) > 50
    one = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    there = len(kitchen.journal.readings.trace(one.make_id, one.kind))
    kitchen.journal.readings.strike(one.make_id, one.kind, one.at_ms, one.value)  # alone
    assert len(kitchen.journal.readings.trace(one.make_id, one.kind).sound()) == there - 1


def test_what_is_doubtful_is_asked_once_and_marked(sheet, kitchen):
    shown = sheet()
    typist = Typist(shown)
    fill(typist, [("900", "1", "31.0"), ("05", "", "31.1"), ("10", "", "13.1"), ("15", "", "31.2")])
    assert "right after" in shown.grid.rows_model.rows[2].says
    typist.press(ENTER, CTRL)
    assert shown.isVisible()
    assert "13.1 °C right after 31.1 °C" in shown.fault.text()
    assert shown.grid.currentIndex().row() == 2
    typist.press(ENTER, CTRL)
    assert not shown.isVisible()
    trace = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")
    assert [bool(flag & DOUBTFUL) for flag in trace.flags] == [False, False, True, False]


def test_a_cell_that_is_not_understood_is_shown_and_nothing_is_saved(sheet, kitchen):
    shown = sheet()
    typist = Typist(shown)
    fill(typist, [("900", "1", "31.0"), ("05", "", "warm")])
    typist.press(ENTER, CTRL)
    assert shown.isVisible()
    at = shown.grid.currentIndex()
    assert (at.row(), at.column()) == (1, 2)
    assert kitchen.journal.readings.count(kitchen.make.id) == 0
    typist.type("31.2").press(ENTER).press(ENTER, CTRL)
    assert kitchen.journal.readings.count(kitchen.make.id) == 2


def test_cells_are_taken_back_one_by_one(sheet):
    shown = sheet()
    typist = Typist(shown)
    fill(typist, [("900", "1", "31.0"), ("05", "", "30.9")])
    typist.press(Qt.Key.Key_Z, CTRL)
    assert [row.temp for row in shown._rows[:2]] == ["31.0", ""]
    typist.press(Qt.Key.Key_Z, CTRL)
    assert [row.time for row in shown._rows] == ["900"]


def test_the_draft_outlives_a_kill_and_two_windows_write_in_one(qtbot, sheet, kitchen):
    shown = sheet()
    fill(Typist(shown), [("900", "1", "31.0"), ("05", "", "30.9")])
    QTest.keyClick(shown.grid, "4")  # half typed
    written = shown._key
    qtbot.waitUntil(lambda: '"4"' in (kitchen.journal.setting(written) or ""))
    with Journal.open(kitchen.journal.path) as other:  # another process, as its window would
        whole = other.whole(kitchen.make.id)
        second = PaperDayDialog(other, whole, kitchen.clock, shown.parentWidget())
        assert [row.time for row in second._rows] == ["900", "05", "4"]
        second._on_typed(1, "note", "typed there")
        second.write_down()
        second.deleteLater()
        shown.grid.finish()
        shown._on_typed(0, "note", "typed here")
        shown.write_down()
    assert [row.note for row in shown._rows[:2]] == ["typed here", "typed there"]
    shown.reject()
    assert '"typed there"' in (kitchen.journal.setting(written) or "")


def test_a_day_of_yesterday_begins_when_its_sheet_says_and_ends_with_its_wheels(
    sheet, kitchen, qtbot
):
    shown = sheet()
    shown.began.line.setText("2026-03-14 08:10")
    shown.began.line.textEdited.emit("2026-03-14 08:10")
    shown.weights.line.setText("1.2 kg")
    fill(Typist(shown), [("0810", "1", "12"), ("0845", "rip", "31"), ("10:40", "cut", "31"),
                         ("0700", "end")])  # fmt: skip
    assert "14" not in shown.grid.rows_model.rows[2].says
    assert "15 March" in shown.grid.rows_model.rows[3].says
    shown.submit()
    assert not shown.isVisible(), shown.fault.text()
    make = kitchen.journal.makes.get(kitchen.make.id)
    assert make.started_ms == kitchen.start_ms - 50 * 60_000
    assert make.finished_ms == kitchen.start_ms + 22 * 3_600_000
    runs = kitchen.journal.runs.where(make_id=make.id)
    assert [run.skipped for run in runs] == [False, False, True, False, False, False, False]
    assert runs[2].planned_begin_ms == make.started_ms + 60 * 60_000
    assert [wheel.green_weight_kg for wheel in kitchen.journal.wheels.where(make_id=make.id)] == [
        1.2
    ]
