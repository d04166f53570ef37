"""What is typed at the vat, however it is written; notes in the chart; a day done early."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk import dialogs
from journal.desk.keysheet import KeySheet
from journal.desk.labels import Label
from journal.desk.vat.noted import HIGH_PX
from journal.keeping import Journal
from journal.records.instants import from_iso
from journal.records.traces import DOUBTFUL, STRUCK

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ENTER, ESC, SPACE = Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Space


# What each is in °C, by the definition of the degree Fahrenheit: (F - 32) / 1.8.
@pytest.mark.parametrize(
    ("typed", "celsius"),
    [("31.4", 31.4), ("31,4", 31.4), ("88.5F", 31.3889), ("88,5f", 31.3889), ("88.5 F", 31.3889),
     ("31.4C", 31.4)],
)  # fmt: skip
def test_a_temperature_however_it_is_written(kitchen, vat, hands, typed, celsius):
    hands.type(typed).press(ENTER)
    value = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (value.kind, value.value) == ("milk-temp", pytest.approx(celsius, abs=1e-4))


def test_a_reading_draws_the_page_once(qtbot, vat, hands, monkeypatch):
    """Its parts get their room once, whatever the field says of it too; and what is to come, once
    that is calculated, is no reason to fill the page again."""

    def counted(name: str) -> list[object]:
        act, calls = getattr(vat.page, name), []
        monkeypatch.setattr(vat.page, name, lambda *args: (calls.append(args), act(*args)))
        return calls

    filled, fitted = counted("show_day"), counted("_fit")
    for number, value in enumerate(("34.4", "34.6"), 1):
        hands.type(value).press(ENTER)
        assert (len(filled), len(fitted)) == (number, 1)
        qtbot.waitUntil(vat.window().settled)
        assert len(filled) == number
        fitted.clear()
    assert len(vat.page.readings.readings) == 2


@pytest.mark.parametrize("typed", ["5.42", "5,42", "pH 5.42", "5.42 pH"])
def test_an_acidity_however_it_is_written(kitchen, vat, hands, typed):
    hands.press(SPACE)
    vat.page.entry.acid.line.setText(typed)
    hands.press(ENTER)
    value = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (value.kind, value.value) == ("curd-ph", 5.42)


# 1 °D (Dornic) is 0.01 % lactic acid and 1 °SH 0.0225 %, by their definitions.
@pytest.mark.parametrize(
    ("typed", "lactic"), [("18 D", 0.18), ("18D", 0.18), ("0.18", 0.18), ("8 SH", 0.18)]
)
def test_a_titrated_acidity_in_its_own_degrees(kitchen, vat, hands, typed, lactic):
    for _ in range(3):
        hands.press(Qt.Key.Key_F6)
    hands.type(typed).press(ENTER)
    value = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (value.kind, value.value) == ("whey-acidity", pytest.approx(lactic))


@pytest.mark.parametrize(
    ("read", "typed", "kind"),
    [("curd-ph", "18 D", "whey-acidity"), ("milk-ph", "18D", "milk-acidity")],
)
def test_degrees_typed_where_ph_is_read_are_taken_for_what_they_are(
    kitchen, vat, hands, read, typed, kind
):
    """18 °D is 0.18 % lactic acid, by the definition of the degree; then pH is read again."""
    vat.page.entry.set_acid_kind(read)
    hands.press(SPACE).type(typed).press(ENTER)
    value = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (value.kind, value.value) == (kind, pytest.approx(0.18))
    assert (vat.page.entry.acid_kind, vat.page.entry.acid.line.text()) == (read, "")
    hands.type("6.52").press(ENTER)
    assert kitchen.journal.readings.last(kitchen.make.id, 1)[0].kind == read
    hands.type("38 D").press(ENTER)
    assert "0.380 % lactic right after 0.180 % lactic?" in vat.page.entry.acid.message.text()
    hands.press(ESC).type("6.50").press(ENTER)
    value = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (value.kind, value.value) == (read, 6.5)


@pytest.mark.parametrize("typed", ["18", "66.5", "D"])
def test_a_slip_of_the_hand_is_no_titrated_acidity(kitchen, vat, hands, typed):
    hands.press(SPACE).type(typed).press(ENTER)
    assert kitchen.journal.readings.last(kitchen.make.id, 1) == []
    assert vat.page.entry.acid_kind == "curd-ph"
    assert vat.page.entry.acid.message.text().startswith("▲")


def test_a_value_far_off_is_asked_about_once_in_every_kind(kitchen, vat, hands):
    hands.press(SPACE)
    for minute, value in ((121, "6.50"), (126, "6.48")):
        kitchen.after(minute)
        hands.type(value).press(ENTER)
    kitchen.after(130)
    hands.type("4.2").press(ENTER)
    assert "pH 4.20 right after pH 6.48?" in vat.page.entry.acid.message.text()
    hands.press(ENTER)
    trace = kitchen.journal.readings.trace(kitchen.make.id, "curd-ph")
    assert trace.flags.tolist() == [0, 0, DOUBTFUL]


def test_a_ph_that_rises_is_asked_about(kitchen, vat, hands):
    hands.press(SPACE)
    kitchen.after(121)
    hands.type("6.30").press(ENTER)
    kitchen.after(200)
    hands.type("6.42").press(ENTER)
    assert "pH 6.42 right after pH 6.30?" in vat.page.entry.acid.message.text()
    assert kitchen.journal.readings.count(kitchen.make.id) == 1


def test_a_first_reading_that_cannot_well_be_is_asked_about_too(kitchen, vat, hands):
    vat.page.entry.set_acid_kind("curd-ph")
    hands.press(SPACE).type("3.9").press(ENTER)
    output = vat.page.entry.acid.message.text()
    assert "pH 3.90 is unusual for curd pH. Is it right?" in output
    assert kitchen.journal.readings.count(kitchen.make.id) == 0
    hands.press(ENTER)
    assert kitchen.journal.readings.trace(kitchen.make.id, "curd-ph").flags.tolist() == [DOUBTFUL]


def test_what_cannot_be_at_all_is_refused_at_once(kitchen, vat, hands):
    hands.type("31.4").press(ENTER).type("314").press(ENTER)
    output = vat.page.entry.temp.message.text()
    assert "cannot be milk" in output
    assert "right after" not in output


def test_undo_after_a_reading_takes_the_reading_back(kitchen, vat, hands):
    hands.type("31.4").press(ENTER).press(Qt.Key.Key_Z, CTRL)
    assert kitchen.journal.readings.count(kitchen.make.id) == 0
    assert vat.page.entry.temp.line.text() == ""


# Notes


def colours_in(vat, minute: float) -> np.ndarray:
    """The pixels of the chart just above the ribbon about a minute, (n, 3)."""
    chart = vat.chart
    foot = QPointF(minute, chart.temp.viewRange()[1][0])
    at = chart.temp.getViewBox().mapViewToScene(foot)
    image = chart.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1)
    pixels = rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3)
    x, y = round(at.x()), round(at.y())
    return pixels[max(y - HIGH_PX, 0) : y, x : x + 40].reshape(-1, 3)


def test_the_photo_of_a_moment_stands_in_the_chart(
    qtbot, kitchen, vat, hands, tmp_path, monkeypatch
):
    colour = QColor("#2FA84F")  # nothing else in the chart is green
    image = QImage(640, 480, QImage.Format.Format_RGB32)
    image.fill(colour)
    assert image.save(str(tmp_path / "curd.png"))
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: str(tmp_path / "curd.png"))
    kitchen.after(100)
    vat._show()
    hands.press(Qt.Key.Key_F7, SHIFT).type("springy").press(ENTER)
    qtbot.waitUntil(vat.window().settled)
    off = np.abs(colours_in(vat, 100.0).astype(int) - np.array(colour.getRgb()[:3])).max(axis=1)
    assert (off < 12).mean() > 0.5
    (tmp_path / "curd.png").unlink()
    assert "springy" in vat.chart.hover_text(vat.chart.temp, 100.0, 30.0)


# The day


def test_a_stage_done_early_brings_the_rest_forward(kitchen, vat, hands):
    kitchen.after(140)
    hands.press(ENTER, CTRL)
    assert vat.page.stage.text() == "Drain"
    assert vat.page.vat_head.delay.text() == "12 min ahead: cooking −12"
    assert vat.page.ends.text() == "ends 11:34"


def test_a_timer_goes_on_while_the_window_is_closed(qtbot, kitchen, vat, hands, window_on):
    hands.press(Qt.Key.Key_F9).type("20").press(ENTER).type("kettle").press(ENTER)
    path = kitchen.journal.path
    vat.window().close()
    kitchen.journal.close()
    kitchen.now_ms += 7 * 60_000 + 3_000
    with Journal.open(path) as again:
        window = window_on(again, clock=kitchen.clock, place="vat")
        row = window.current.page.vat_head.beside.rows[0]
        assert (row.name, row.figures, row.what) == ("kettle", "12:57", "to go")
        assert window.current.page.clock.text() == "24:57"
        kitchen.now_ms += 13 * 60_000
        window.desk.alarm.tick()
        assert "“kettle” is up" in window.current.page.vat_head.due.text()
        window.close()


def test_what_falls_due_asks_for_the_window_on_the_taskbar(kitchen, vat, hands, monkeypatch):
    asked = []
    monkeypatch.setattr(QApplication, "alert", lambda widget, *_: asked.append(widget))
    hands.press(Qt.Key.Key_F9).type("1").press(ENTER).type("stir").press(ENTER)
    kitchen.now_ms += 61_000
    vat.desk.alarm.tick()
    assert asked == [vat.window()]


def test_shift_f1_lists_every_key_of_the_vat(qtbot, kitchen, vat, hands):
    hands.press(Qt.Key.Key_F1, Qt.KeyboardModifier.ShiftModifier)
    sheet = vat.window().findChildren(KeySheet)[-1]
    output = " ".join(label.text() for label in sheet.findChildren(Label))
    for command in vat.commands():
        if command.keys:
            assert command.title.rstrip("…") in output
    for key in ("Digits", "Enter", "Space goes to", "arrow down", "Esc silences"):
        assert key in output
    QTest.keyClick(sheet, ESC)


def test_f11_from_a_field_and_digits_go_back_to_it(kitchen, vat, hands):
    hands.press(Qt.Key.Key_F11)
    assert vat._across.isVisible()
    QTest.mouseClick(vat._across, Qt.MouseButton.LeftButton, pos=QPoint(20, 20))
    assert not vat._across.isVisible()
    hands.type("31.2").press(ENTER)
    assert kitchen.journal.readings.count(kitchen.make.id) == 1


# Corrections of every kind, with their time; a late time is of one value.


@pytest.mark.parametrize(
    ("kind", "value", "corrected"),
    [("load", 12.0, "13"), ("room-temp", 19.0, "18.5"), ("room-humidity", 60.0, "62"),
     ("heat", 40.0, "45"), ("whey-acidity", 0.18, "0.17"), ("milk-temp", 31.4, "31.2")],
)  # fmt: skip
def test_a_reading_is_corrected_as_what_it_is(kitchen, vat, hands, kind, value, corrected):
    at_ms = kitchen.now_ms - 60_000
    kitchen.journal.readings.log(kitchen.make.id, kind, value, at_ms)
    hands.press(Qt.Key.Key_F2)
    QApplication.focusWidget().setText(corrected)
    hands.press(ENTER)
    trace = kitchen.journal.readings.trace(kitchen.make.id, kind)
    assert dict(zip(trace.value.tolist(), (trace.flags & STRUCK).tolist(), strict=True)) == {
        value: STRUCK,
        float(corrected): 0,
    }
    assert set(trace.at_ms.tolist()) == {at_ms}
    assert set(kitchen.journal.readings.traces(kitchen.make.id)) == {kind}
    assert vat.page.entry.acid_kind in ("curd-ph", "whey-acidity")


def test_the_time_of_a_reading_is_corrected(kitchen, vat, hands):
    kitchen.journal.readings.log(kitchen.make.id, "milk-temp", 31.4, kitchen.now_ms - 30_000)
    hands.press(Qt.Key.Key_F2).press(Qt.Key.Key_Tab).press(Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is vat.page.entry.at_line
    vat.page.entry.at_line.setText("10:40")
    hands.press(ENTER).press(ENTER)
    trace = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")
    page_state = trace.at_ms[(trace.flags & STRUCK) == 0].tolist()
    assert page_state == [from_iso("2026-03-14T10:40", "Europe/London")]
    assert vat.page.entry.late.isHidden()
    assert "31.4 °C for 10:40" in vat.page.entry.temp.message.text()


def test_a_correction_that_is_cancelled_leaves_what_was_typed_before(kitchen, vat, hands):
    kitchen.journal.readings.log(kitchen.make.id, "load", 12.0, kitchen.now_ms)
    hands.press(SPACE).type("6.4").press(Qt.Key.Key_F2)
    assert vat.page.entry.acid.line.text() == "12.0"
    hands.press(ESC)
    assert (vat.page.entry.acid_kind, vat.page.entry.acid.line.text()) == ("curd-ph", "6.4")
    assert vat.page.entry.late.isHidden()
    assert kitchen.journal.readings.trace(kitchen.make.id, "load").flags.tolist() == [0]


def test_a_late_time_is_of_one_value(kitchen, vat, hands):
    hands.press(Qt.Key.Key_T, CTRL)
    vat.page.entry.at_line.setText("10:40")
    hands.press(ENTER).type("31.4").press(ENTER)
    assert vat.page.entry.late.isHidden()
    hands.type("33").press(ENTER)
    trace = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")
    assert trace.at_ms.tolist() == [from_iso("2026-03-14T10:40", "Europe/London"), kitchen.now_ms]
    vat.page.entry.acid.line.setFocus()
    hands.type("6.45").press(ENTER)
    assert kitchen.journal.readings.trace(kitchen.make.id, "curd-ph").at_ms.tolist() == [
        kitchen.now_ms
    ]


# What can only belong to the other field.


@pytest.mark.parametrize(
    ("typed", "celsius"), [("34.2", 34.2), ("34,2", 34.2), ("93.6F", 34.222), ("34.2 C", 34.2)]
)
def test_a_temperature_typed_where_ph_is_read_is_taken_as_one(kitchen, vat, hands, typed, celsius):
    kitchen.journal.readings.log(kitchen.make.id, "milk-temp", 34.0, kitchen.now_ms - 120_000)
    vat.page.entry.acid.line.setFocus()
    hands.type("6.45").press(ENTER)
    vat.page.entry.acid.line.setText(typed)
    hands.press(ENTER)
    last = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")
    assert last.value[-1] == pytest.approx(celsius, abs=1e-3)
    output = vat.page.entry.temp.message.text()
    assert f"Saved as milk: {typed}" in output
    assert vat.page.entry.texts() == ("", "")


@pytest.mark.parametrize(
    ("typed", "kind", "value"),
    [("pH 6.45", "curd-ph", 6.45), ("6.45 pH", "curd-ph", 6.45), ("18 D", "whey-acidity", 0.18)],
)
def test_an_acidity_typed_where_milk_is_read_is_taken_as_one(
    kitchen, vat, hands, typed, kind, value
):
    vat.page.entry.temp.line.setText(typed)
    hands.press(ENTER)
    last = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (last.kind, last.value) == (kind, pytest.approx(value))


def test_what_is_refused_does_not_mix_with_what_is_typed_next(kitchen, vat, hands):
    vat.page.entry.acid.line.setFocus()
    hands.type("64.2").press(ENTER)
    assert vat.page.entry.acid.message.text().startswith("▲")
    hands.press(ESC)
    assert vat.page.entry.acid.line.text() == ""
    hands.type("6.42").press(ENTER)
    assert kitchen.journal.readings.trace(kitchen.make.id, "curd-ph").value.tolist() == [6.42]
    hands.type("64.2").press(ENTER).type("6.41").press(ENTER)
    assert kitchen.journal.readings.trace(kitchen.make.id, "curd-ph").value[-1] == 6.41


def test_a_value_whose_time_was_refused_is_typed_over_once_its_time_is_left(kitchen, vat, hands):
    hands.press(Qt.Key.Key_T, CTRL).type("99:99").press(ENTER).type("31.0").press(ENTER)
    assert vat.page.entry.at_message.text()
    hands.press(ESC).type("31.6").press(ENTER)
    saved = kitchen.journal.readings.last(kitchen.make.id, 2)
    assert [(one.value, one.at_ms) for one in saved] == [(31.6, kitchen.now_ms)]
    hands.type("31").press(Qt.Key.Key_T, CTRL).press(ESC).type(".4").press(ENTER)
    assert kitchen.journal.readings.last(kitchen.make.id, 1)[0].value == 31.4
