"""The vat, driven by keys on a real file: what is typed is kept, struck, corrected, finished."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.keeping import Journal
from journal.records.traces import CORRECTED, DOUBTFUL, STRUCK

CTRL = Qt.KeyboardModifier.ControlModifier
ENTER = Qt.Key.Key_Return


def on_disk(kitchen, kind: str) -> list[tuple[int, float, int]]:
    """The readings of a kind as another opener of the file sees them: minute, value, flags."""
    with Journal.open(kitchen.journal.path, read_only=True) as other:
        trace = other.readings.trace(kitchen.make.id, kind)
    minutes = (trace.at_ms - kitchen.start_ms) // 60_000
    return list(zip(minutes.tolist(), trace.value.tolist(), trace.flags.tolist(), strict=True))


def test_the_current_step_stands_first(vat):
    page = vat.page
    assert page.stage.text() == "Cook"
    assert (
        page.target.text().replace("\u00a0", " ") == "raise slowly from 31.0 to 38.5 °C over 40 min"
    )
    assert (page.clock.text(), page.to_go.text()) == ("32:00", "to go")
    assert page.ends.text() == "ends 11:32"
    assert page.next_head.text() == "Drain, 14 min"
    assert page.next_acid_target.text() == "curd pH 6.38 to 6.46"
    assert page.end.text() == "Finish cooking"


def test_enter_keeps_a_temperature_and_stays(kitchen, vat, hands):
    hands.type("32.4").press(ENTER)
    assert on_disk(kitchen, "milk-temp") == [(120, 32.4, 0)]
    assert vat.page.entry.temp.line.text() == ""
    assert QApplication.focusWidget() is vat.page.entry.temp.line
    assert vat.page.readings.rows_model.index(0, 0).data() == "11:00, 32.4 °C, milk"


@pytest.mark.parametrize(
    ("there", "back"),
    [(Qt.Key.Key_Tab, Qt.Key.Key_Backtab), (Qt.Key.Key_Space, Qt.Key.Key_Space)],
)
def test_tab_and_space_go_to_the_other_field(kitchen, vat, hands, there, back):
    hands.type("32,4").press(ENTER).press(there).type("6.55").press(ENTER).press(back)
    assert on_disk(kitchen, "curd-ph") == [(120, 6.55, 0)]
    assert QApplication.focusWidget() is vat.page.entry.temp.line


def test_a_unit_after_a_space_comes_back_to_its_number(kitchen, vat, hands):
    hands.type("90 F").press(ENTER)
    assert on_disk(kitchen, "milk-temp") == [(120, pytest.approx(32.222, abs=0.001), 0)]


def test_digits_find_the_field_from_anywhere(kitchen, vat, hands):
    vat.page.end.setFocus()
    hands.type("33").press(ENTER)
    vat.page.readings.setFocus()
    hands.type("34").press(ENTER)
    assert [value for _, value, _ in on_disk(kitchen, "milk-temp")] == [33.0, 34.0]


def test_the_impossible_is_refused_and_stays(kitchen, vat, hands):
    hands.type("343").press(ENTER)
    assert on_disk(kitchen, "milk-temp") == []
    assert vat.page.entry.temp.line.text() == "343"
    assert "-5 to 110" in vat.page.entry.temp.message.text().replace("−", "-")


def test_the_unlikely_is_asked_about_once_and_kept_with_a_mark(kitchen, vat, hands):
    hands.type("31.3").press(ENTER).type("42.1").press(ENTER)
    assert [value for _, value, _ in on_disk(kitchen, "milk-temp")] == [31.3]
    assert "42.1 °C right after 31.3 °C?" in vat.page.entry.temp.message.text()
    hands.press(ENTER)
    assert [flags for _, _, flags in on_disk(kitchen, "milk-temp")] == [0, DOUBTFUL]
    assert "marked as doubtful" in vat.page.entry.temp.message.text()


def test_esc_goes_back_from_the_question_and_leaves_what_was_typed(kitchen, vat, hands):
    hands.type("31.3").press(ENTER).type("42.1").press(ENTER).press(Qt.Key.Key_Escape)
    assert vat.page.entry.temp.line.text() == "42.1"
    assert vat.page.entry.temp.message.text() == ""
    hands.type("32.1").press(ENTER)
    assert [value for _, value, _ in on_disk(kitchen, "milk-temp")] == [31.3, 32.1]


def test_what_is_typed_at_the_question_takes_the_place_of_what_was_asked(kitchen, vat, hands):
    hands.type("31.3").press(ENTER).type("42.1").press(ENTER).type("32.1").press(ENTER)
    assert [value for _, value, _ in on_disk(kitchen, "milk-temp")] == [31.3, 32.1]


def test_another_unlikely_value_is_asked_about_again(kitchen, vat, hands):
    hands.type("31.3").press(ENTER).type("42.1").press(ENTER)
    hands.press(Qt.Key.Key_Escape).type("43.1").press(ENTER)
    assert "43.1 °C right after 31.3 °C" in vat.page.entry.temp.message.text()
    assert len(on_disk(kitchen, "milk-temp")) == 1


def test_the_chart_and_the_advice_follow_at_once(kitchen, vat, hands):
    hands.type("31.2").press(ENTER)
    assert vat.page.head.text() == "1.3 °C behind the plan."
    assert not vat.page.mark.isHidden()
    assert len(vat.chart._day.whole.trace("milk-temp")) == 1
    assert "31.2" in vat.chart.accessibleDescription()


def test_a_late_reading_goes_to_its_own_time(kitchen, vat, hands):
    hands.press(Qt.Key.Key_T, CTRL).type("10:50").press(ENTER).type("31.5").press(ENTER)
    assert on_disk(kitchen, "milk-temp") == [(110, 31.5, CORRECTED)]
    hands.press(Qt.Key.Key_Escape).type("32").press(ENTER)
    assert on_disk(kitchen, "milk-temp")[1] == (120, 32.0, 0)


def test_a_time_outside_the_make_is_refused(kitchen, vat, hands):
    hands.press(Qt.Key.Key_T, CTRL).type("08:50").press(ENTER).type("31.5").press(ENTER)
    assert on_disk(kitchen, "milk-temp") == []
    assert vat.page.entry.at_message.text().startswith("▲")
    assert vat.page.entry.temp.line.text() == "31.5"


def test_a_reading_is_struck_out_and_stands_again(kitchen, vat, hands):
    hands.type("32").press(ENTER)
    vat.page.readings.setFocus()
    hands.press(Qt.Key.Key_Delete)
    assert on_disk(kitchen, "milk-temp") == [(120, 32.0, STRUCK)]
    assert vat.page.readings.rows_model.index(0, 0).data().endswith("struck out")
    hands.press(Qt.Key.Key_Delete)
    assert on_disk(kitchen, "milk-temp") == [(120, 32.0, 0)]


def test_the_arrow_down_goes_to_the_readings_and_up_comes_back(kitchen, vat, hands):
    hands.type("32").press(ENTER).type("32.5").press(ENTER)
    hands.press(Qt.Key.Key_Down).press(Qt.Key.Key_Down).press(Qt.Key.Key_Delete)
    assert [flags for _, _, flags in on_disk(kitchen, "milk-temp")] == [STRUCK, 0]
    vat.page.readings.select(0)
    hands.press(Qt.Key.Key_Up)
    assert QApplication.focusWidget() is vat.page.entry.temp.line


def test_a_reading_is_corrected_in_its_place(kitchen, vat, hands):
    hands.type("32").press(ENTER)
    kitchen.after(125)
    hands.press(Qt.Key.Key_F2).type("33").press(ENTER)
    assert sorted(on_disk(kitchen, "milk-temp")) == [(120, 32.0, STRUCK), (120, 33.0, CORRECTED)]


def test_a_reading_of_a_finished_make_is_corrected_without_its_time(kitchen, vat, hands):
    hands.type("32").press(ENTER)
    kitchen.journal.makes.finish(kitchen.make.id, [1.2], kitchen.after(180))
    hands.press(Qt.Key.Key_F2).type("33").press(ENTER)
    assert sorted(on_disk(kitchen, "milk-temp")) == [(120, 32.0, STRUCK), (120, 33.0, CORRECTED)]


def test_another_reading_in_between_leaves_the_correction_waiting(kitchen, vat, hands):
    hands.type("32").press(ENTER).press(Qt.Key.Key_F2)
    hands.press(Qt.Key.Key_Tab).type("6.5").press(ENTER).press(Qt.Key.Key_Tab)
    assert QApplication.focusWidget() is vat.page.entry.at_line  # the correction's time
    hands.press(Qt.Key.Key_Backtab).press(Qt.Key.Key_Backtab)
    assert vat.page.entry.temp.line.text() == "32.0"
    vat.page.entry.temp.line.setText("33")
    hands.press(ENTER)
    assert sorted(on_disk(kitchen, "milk-temp")) == [(120, 32.0, STRUCK), (120, 33.0, CORRECTED)]
    assert on_disk(kitchen, "curd-ph") == [(120, 6.5, 0)]


def test_a_correction_can_be_left(kitchen, vat, hands):
    hands.type("32").press(ENTER).press(Qt.Key.Key_F2).press(Qt.Key.Key_Escape)
    assert vat.page.entry.temp.line.text() == ""
    assert on_disk(kitchen, "milk-temp") == [(120, 32.0, 0)]


def test_titratable_acidity_is_typed_in_its_own_units(kitchen, vat, hands):
    hands.press(Qt.Key.Key_F6).press(Qt.Key.Key_F6).press(Qt.Key.Key_F6)
    assert vat.page.entry.acid_kind == "whey-acidity"
    hands.type("16D").press(ENTER)
    # 1 °D is 0.01 % lactic acid, by its definition.
    assert on_disk(kitchen, "whey-acidity") == [(120, pytest.approx(0.16), 0)]


def test_ctrl_enter_ends_the_stage(kitchen, vat, hands):
    kitchen.after(160)
    hands.type("3").press(ENTER, CTRL)
    assert vat.page.stage.text() == "Drain"
    runs = kitchen.journal.runs.where(make_id=kitchen.make.id)
    assert (runs[4].ended_ms, runs[5].began_ms) == (kitchen.now_ms, kitchen.now_ms)
    assert vat.page.entry.temp.line.text() == "3"


def test_undo_takes_the_stage_back(kitchen, vat, hands):
    hands.press(ENTER, CTRL)
    assert vat.page.stage.text() == "Drain"
    hands.press(Qt.Key.Key_Z, CTRL)
    assert vat.page.stage.text() == "Cook"
    assert "finish cook" in vat.messages.text("undo")
    hands.press(Qt.Key.Key_Z, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert vat.page.stage.text() == "Drain"


def test_the_make_is_finished_with_its_wheels(kitchen, vat, hands):
    for minutes in (152, 166):
        kitchen.after(minutes)
        hands.press(ENTER, CTRL)
    assert vat.page.end.text() == "Finish the make"
    kitchen.after(166 + 14 * 60)
    hands.press(ENTER, CTRL).type("1.18").press(Qt.Key.Key_K).type("g,")
    vat.page.finish.line.setText("1.18 kg, 1160 g")
    hands.press(ENTER)
    wheels = kitchen.journal.wheels.where(make_id=kitchen.make.id)
    assert [(w.code, w.green_weight_kg) for w in wheels] == [
        ("HL-0001-A", 1.18), ("HL-0001-B", pytest.approx(1.16)),
    ]  # fmt: skip
    assert vat.page.stage.text() == "Finished"
    assert "HL-0001-B" in vat.page.finish.wheels.text()


def test_no_wheels_is_asked_about_once(kitchen, vat, hands):
    for _ in range(3):
        hands.press(ENTER, CTRL)
    hands.press(ENTER, CTRL)
    assert kitchen.journal.makes.get(kitchen.make.id).finished_ms is None
    assert "have no wheels" in vat.page.finish.message.text()
    hands.press(ENTER)
    assert kitchen.journal.makes.get(kitchen.make.id).finished_ms == kitchen.now_ms


@pytest.mark.parametrize(
    ("typed", "output"), [("1200 kg", "cannot come from"), ("1,200 kg", "1.200 kg or 1200 kg")]
)
def test_a_weight_that_the_milk_cannot_give_finishes_nothing(kitchen, vat, hands, typed, output):
    for _ in range(3):
        hands.press(ENTER, CTRL)
    vat.page.finish.line.setText(typed)
    hands.press(ENTER)
    assert output in vat.page.finish.message.text()
    assert vat.page.finish.line.text() == typed
    assert kitchen.journal.makes.get(kitchen.make.id).finished_ms is None
    assert kitchen.journal.wheels.where(make_id=kitchen.make.id) == []


def test_after_the_day_a_reading_needs_its_time(kitchen, vat, hands):
    kitchen.journal.makes.finish(kitchen.make.id, [1.2], kitchen.after(180))
    kitchen.after(3000)
    hands.type("31").press(ENTER)
    assert "type when" in vat.page.entry.at_message.text()
    hands.type("09:30").press(ENTER).press(ENTER)
    assert on_disk(kitchen, "milk-temp") == [(30, 31.0, CORRECTED)]


def test_an_empty_vat_says_how_to_begin(qtbot, journal, window_on):
    window = window_on(journal, place="vat")
    assert window.current.pages.currentIndex() == 1
    qtbot.waitUntil(window.current.settled, timeout=60_000)
    kitchen = journal.makes.running()
    assert kitchen == []


def test_a_make_begun_elsewhere_appears(journal, window_on):
    from journal.records.makes import Milk
    from journal.records.plans import Plan, Stage

    window = window_on(journal, clock=lambda: 60_000, place="vat")
    journal.makes.begin(Plan("small", (Stage("warm", 30, target_c=31.0),)), Milk(2.0), 0)
    assert window.current.pages.currentIndex() == 0
    assert window.current.page.stage.text() == "Warm"


def test_across_the_room_shows_the_step_its_clock_the_values_and_the_next(
    qtbot, kitchen, vat, hands
):
    hands.type("32.4").press(ENTER).press(Qt.Key.Key_F11)
    across = vat._across
    assert across.isVisible()
    assert across.geometry() == vat.window().rect()
    output = (
        "Cook, 32:00 to go, 32.4 °C, planned 32.5 °C, in range, read just now, next Drain, 14 min"
    )
    assert across.accessibleDescription() == output
    kitchen.after(153)
    qtbot.waitUntil(lambda: "over" in across.accessibleDescription())
    hands.press(Qt.Key.Key_F11)  # Esc silences first what rings
    assert not across.isVisible()
    assert QApplication.focusWidget() is vat.page.entry.temp.line


def test_a_make_that_was_undone_leaves_the_vat_empty(kitchen, vat):
    while kitchen.journal.undo():
        pass
    assert kitchen.journal.makes.running() == []
    assert vat.pages.currentIndex() == 1


def test_the_running_make_comes_back_after_a_look_at_an_old_one(kitchen, vat):
    kitchen.journal.makes.finish(kitchen.make.id, [1.0], kitchen.after(180))
    new = kitchen.journal.makes.begin(
        kitchen.journal.plans.by_name("dry-salted hard"), kitchen.make.milk, kitchen.after(200)
    )
    window = vat.window()
    window.go("vat", kitchen.make.id)
    assert vat.page.stage.text() == "Finished"
    window.go("vat")
    assert vat.page.code.text().startswith(new.code)


def test_the_clock_goes_on_by_itself(qtbot, kitchen, vat):
    kitchen.after(121)
    qtbot.waitUntil(lambda: vat.page.clock.text() == "31:00")
    kitchen.after(155)
    qtbot.waitUntil(lambda: vat.page.to_go.text() == "▲ over")
    assert vat.page.ends.text() == "was due 11:32"


def test_the_room_beside_the_last_reading_is_none_of_them(kitchen, vat, hands):
    for value in ("31", "31.5", "32", "32.5", "33"):
        hands.type(value).press(ENTER)
    readings = vat.page.readings
    readings.fit_rows(3)  # in columns, of which the last has an empty cell
    readings.select(1)
    last = len(readings.rows_model.rows) - 1, readings.across - 1
    assert readings.across > 1
    assert readings.rows_model.rows[last[0]][last[1]] is None
    spot = readings.visualRect(readings.rows_model.index(*last)).center()
    QTest.mouseClick(readings.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert readings.number == 1
    hands.press(Qt.Key.Key_Delete)
    assert [flags for _, value, flags in on_disk(kitchen, "milk-temp") if value == 32.5] == [STRUCK]
