"""A day that goes other than planned, through the real window by keys."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDragEnterEvent, QDropEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk import dialogs
from journal.desk.theme import is_dark
from journal.desk.vat.before import USUAL, BeforeStart, own_list
from journal.desk.vat.checks import InstrumentCheck
from journal.keeping import Journal
from journal.records.calibrations import Calibration
from journal.records.coming import TURN
from journal.records.makes import Milk
from journal.records.plans import Plan, Stage
from journal.records.timers import FLOCCULATION
from journal.wording import text_of
from tests.desk.hands import Hands, key_for, save_printed

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
ENTER, ESC = Qt.Key.Key_Return, Qt.Key.Key_Escape
MINUTE = 60_000


@pytest.fixture
def cook_min() -> float:
    return 122.0


def runs_of(kitchen):
    with Journal.open(kitchen.journal.path, read_only=True) as other:
        return other.runs.where(make_id=kitchen.make.id)


def tick(vat) -> None:
    vat.desk.alarm.tick()


# The stage


def test_more_minutes_with_a_reason_move_the_rest(kitchen, vat, hands):
    hands.press(Qt.Key.Key_L, CTRL)
    hands.type("12").press(ENTER).type("the").press(Qt.Key.Key_Space).type("break").press(ENTER)
    run = runs_of(kitchen)[4]
    assert (run.extra_min, run.reason) == (12.0, "12 min longer: the break")
    assert (vat.page.clock.text(), vat.page.ends.text()) == ("42:00", "ends 11:44")
    assert vat.page.vat_head.delay.text() == "12 min behind: cooking +12"
    assert QApplication.focusWidget() is vat.page.entry.temp.line


def test_the_offer_of_the_numbers_is_one_key(kitchen, vat, hands):
    kitchen.after(145)
    hands.type("33").press(ENTER)
    assert vat.page.advice.more.isVisible()
    offered = vat.page.advice.more.text()
    assert offered.endswith("min longer")
    hands.press(Qt.Key.Key_L, CTRL)
    run = runs_of(kitchen)[4]
    assert f"{run.extra_min:.0f} min longer" == offered
    assert "behind the plan" in run.reason


def test_an_advice_that_is_left_is_not_repeated(kitchen, vat, hands):
    kitchen.after(130)
    hands.type("31").press(ENTER)
    assert not vat.page.mark.isHidden()
    hands.press(ESC)
    assert vat.page.mark.isHidden()
    assert vat.page.advice.more.isHidden()
    kitchen.after(132)
    hands.type("31.2").press(ENTER)
    assert vat.page.mark.isHidden()
    hands.type("33.9").press(ENTER)
    kitchen.after(138)
    hands.type("32.5").press(ENTER)
    assert not vat.page.mark.isHidden()


def test_shorter_is_typed_with_a_minus(kitchen, vat, hands):
    hands.press(Qt.Key.Key_L, CTRL | SHIFT).type("-5").press(ENTER).press(ENTER)
    assert runs_of(kitchen)[4].extra_min == -5.0
    assert vat.page.ends.text() == "ends 11:27"


def test_nonsense_is_said_and_stays(kitchen, vat, hands):
    hands.press(Qt.Key.Key_L, CTRL).type("soon").press(ENTER).press(ENTER)
    assert vat.page.ask.message.text().startswith("▲")
    assert vat.page.ask.lines[0].text() == "soon"
    hands.press(ESC)
    assert not vat.page.ask.isVisible()
    assert runs_of(kitchen)[4].extra_min == 0.0


def test_the_next_stage_is_skipped(kitchen, vat, hands):
    hands.press(*key_for("skip_next"))
    assert vat.page.next_head.text().startswith("Press")
    assert "draining skipped" in vat.page.vat_head.delay.text()
    hands.press(ENTER, CTRL)
    assert vat.page.stage.text() == "Press"
    hands.press(Qt.Key.Key_Z, CTRL).press(Qt.Key.Key_Z, CTRL)
    assert vat.page.next_head.text().startswith("Drain")


def test_the_current_stage_is_skipped(kitchen, vat, hands):
    hands.press(*key_for("skip"))
    assert vat.page.stage.text() == "Drain"
    assert runs_of(kitchen)[4].skipped


def test_a_stage_begins_again(kitchen, vat, hands):
    kitchen.after(150)
    hands.press(*key_for("again")).type("cold").press(ENTER)
    run = runs_of(kitchen)[4]
    assert (run.again_ms, run.reason) == ((kitchen.now_ms,), "again: cold")
    assert vat.page.clock.text() == "40:00"


def test_a_stage_that_began_late_is_put_right(kitchen, vat, hands):
    hands.press(Qt.Key.Key_T, CTRL | SHIFT).type("10:58").press(ENTER).type("late").press(ENTER)
    runs = runs_of(kitchen)
    assert runs[4].began_ms == runs[3].ended_ms == kitchen.start_ms + 118 * MINUTE
    assert vat.page.ends.text() == "ends 11:38"
    assert vat.page.vat_head.delay.text() == "6 min behind: cutting +6"


def test_turns_are_counted_and_due(qtbot, journal, kitchen, window_on):
    plan = Plan("turned", (Stage("cheddar", 60, turns=3), Stage("press", 600)))
    make = journal.makes.begin(plan, Milk(8.0), kitchen.after(0))
    window = window_on(journal, clock=kitchen.clock, place="vat")
    window.go("vat", make.id)
    rows = window.current.page.vat_head.beside.rows
    assert (rows[0].name, rows[0].figures, rows[0].what) == ("turn 1 of 3", "15:00", "to go")
    kitchen.after(15.5)
    window.desk.alarm.tick()
    assert window.current.page.vat_head.turned
    assert "turn 1 of 3 is due" in window.current.page.vat_head.due.text()
    Hands(window).press(Qt.Key.Key_F8)
    assert journal.day.running(make.id).turned_ms == (kitchen.now_ms,)
    assert not window.current.page.vat_head.turned
    assert window.current.page.vat_head.beside.rows[0].name == "turn 2 of 3"


def test_turns_are_counted_from_the_new_beginning_once_a_stage_began_again(
    journal, kitchen, window_on
):
    """A press of 60 minutes with two turns, turned once and begun again after 30 minutes: the
    turns that are left are due as if it began then."""
    plan = Plan("turned", (Stage("press", 60, turns=2), Stage("dry", 600)))
    make = journal.makes.begin(plan, Milk(8.0), kitchen.after(0))
    window = window_on(journal, clock=kitchen.clock, place="vat")
    window.go("vat", make.id)
    kitchen.after(20)
    hands = Hands(window).press(Qt.Key.Key_F8)
    kitchen.after(30)
    window.current.acts.again()
    hands.type("it stuck").press(ENTER)
    run = journal.day.running(make.id)
    assert run.again_ms == (kitchen.start_ms + 30 * MINUTE,)
    turns = [one for one in window.desk.alarm.coming if one.kind == TURN]
    # 30 + 60 × 2/3 for the second, as the first was done before; the stage itself ends at 90.
    assert [(text_of(one.words), one.at_ms - kitchen.start_ms) for one in turns] == [
        ("turn 2 of 2", 70 * MINUTE)
    ]
    kitchen.after(69.9)
    window.desk.alarm.tick()
    assert "turn 2" not in window.current.page.vat_head.due.text()
    kitchen.after(70)
    window.desk.alarm.tick()
    assert "turn 2 of 2 is due" in window.current.page.vat_head.due.text()


# What falls due


def test_at_the_end_of_a_stage_the_head_turns_until_it_is_heard(kitchen, vat, hands):
    kitchen.after(151)
    tick(vat)
    assert not vat.page.vat_head.turned
    kitchen.after(152.5)
    tick(vat)
    assert vat.page.vat_head.turned
    assert "cooking was due to end at 11:32" in vat.page.vat_head.due.text()
    hands.press(ESC)
    assert not vat.page.vat_head.turned
    assert vat.page.to_go.text() == "▲ over"


def test_esc_silences_wherever_tab_came_to(kitchen, vat, hands):
    line, readings, met = vat.page.entry.temp.line, vat.page.readings, []
    while line not in met:
        hands.press(Qt.Key.Key_Tab)
        here = QApplication.focusWidget()
        assert here.isVisible(), here.accessibleName()
        met.append(here)
        begin = 120 + len(met)
        start_ms = kitchen.start_ms + begin * 60_000
        kitchen.journal.day.start_timer(kitchen.make.id, "stir", start_ms, 0.5)
        kitchen.after(begin + 0.6)
        tick(vat)
        assert "“stir” is up" in vat.page.vat_head.due.text()
        hands.press(ESC)
        assert not vat.page.vat_head.turned, here.accessibleName()
        assert here.hasFocus()
    assert readings in met
    readings.setFocus()
    hands.press(ESC)
    assert line.hasFocus()


def test_what_is_due_stands_out_when_the_colours_change(kitchen, vat, qtbot):
    """The block over the vat's page is light on a dark page and dark on a light one."""
    kitchen.after(152.5)
    tick(vat)
    look = QApplication.instance().property("vatside-look")
    try:
        for mode in ("dark", "light", "dark"):
            look.set_mode(mode)
            dark = mode == "dark"
            qtbot.waitUntil(lambda dark=dark: is_dark(vat.page.palette()) == dark)
            picture = vat.page.grab().toImage()
            head = vat.page.vat_head.geometry()
            block = picture.pixelColor(head.left() + 2, head.top() + 2)
            page = picture.pixelColor(head.left() + 2, head.bottom() + 30)
            assert abs(block.lightness() - page.lightness()) > 150, mode
    finally:
        look.set_mode("light")


def test_ending_the_stage_answers_too(kitchen, vat, hands):
    kitchen.after(152.5)
    tick(vat)
    hands.press(ENTER, CTRL)
    assert not vat.page.vat_head.turned
    assert vat.desk.alarm.ringing == []


def test_it_rings_again_until_it_is_heard_but_says_it_once(kitchen, vat):
    output = []
    vat.desk.alarm.rang.connect(output.append)
    for seconds in range(0, 200, 10):
        kitchen.after(152 + seconds / 60)
        tick(vat)
    assert [one.words for one in output] == ["cook"]
    assert vat.desk.alarm._rings[output[0]][0] == 7


def test_another_place_says_it_too(kitchen, vat, qtbot):
    window = vat.window()
    window.go("today")
    kitchen.after(153)
    window.desk.alarm.tick()
    assert "cooking was due to end at 11:32" in window.current.messages.text("timer")


def test_several_timers_run_at_once_and_stop_one_by_one(kitchen, vat, hands):
    for length, what in (("5", "stir"), ("20", "kettle")):
        hands.press(Qt.Key.Key_F9).type(length).press(ENTER).type(what).press(ENTER)
    names = [row.name for row in vat.page.vat_head.beside.rows]
    assert names == ["stir", "kettle"]
    assert [row.figures for row in vat.page.vat_head.beside.rows] == ["5:00", "20:00"]
    kitchen.after(127.1)
    tick(vat)
    assert "“stir” is up" in vat.page.vat_head.due.text()
    hands.press(ESC)
    assert [row.name for row in vat.page.vat_head.beside.rows] == ["kettle"]
    hands.press(Qt.Key.Key_F9, SHIFT)
    assert vat.page.vat_head.beside.rows == ()


def test_the_flecks_give_the_cut_with_the_range_of_past_makes(qtbot, journal, kitchen, window_on):
    plan = Plan("set", (Stage("set", 40), Stage("cut", 10)), floc_multiplier=2.5)
    for took in (12, 15):
        past = journal.makes.begin(plan, Milk(8.0), kitchen.start_ms - 2_000 * MINUTE)
        journal.readings.log(past.id, "milk-temp", 31.0, past.started_ms)
        journal.day.start_timer(past.id, FLOCCULATION, past.started_ms)
        journal.day.first_flecks(past.id, past.started_ms + took * MINUTE)
        journal.makes.finish(past.id, [], past.started_ms + 60 * MINUTE)
    make = journal.makes.begin(plan, Milk(8.0), kitchen.after(0))
    window = window_on(journal, clock=kitchen.clock, place="vat")
    window.go("vat", make.id)
    page = window.current.page
    qtbot.waitUntil(lambda: window.settled() and window.current.makes.day.past.flocs != ())
    assert (page.vat_head.beside.rows[0].name, page.vat_head.beside.rows[0].key) == (
        "flocculation test", "F5",
    )  # fmt: skip
    hands = Hands(window)
    kitchen.after(1)
    hands.press(Qt.Key.Key_F5)
    kitchen.after(15)
    window.desk.alarm.tick()
    row = page.vat_head.beside.rows[0]
    assert (row.figures, row.what) == ("14:00", "past makes 12 to 15 min")
    hands.press(Qt.Key.Key_F5)
    assert journal.day.running(make.id).minutes(40) == pytest.approx(36.0)
    assert "cut at 09:36" in window.current.messages.text("flecks")
    assert page.ends.text() == "ends 09:36"


# Notes and photos


def photo(folder: Path, name: str = "flecks.jpg") -> Path:
    image = QImage(640, 480, QImage.Format.Format_RGB32)
    image.fill(QColor("#cc8844"))
    path = folder / name
    assert image.save(str(path))
    return path


def test_a_note_is_kept_at_its_moment(kitchen, vat, hands):
    hands.press(Qt.Key.Key_F7).type("foam").press(ENTER)
    note = kitchen.journal.whole(kitchen.make.id).notes[0]
    assert (note.text, note.at_ms) == ("foam", kitchen.now_ms)
    assert "foam" in vat.chart.hover_text(vat.chart.temp, 122.0, 30.0)


def test_an_empty_note_is_no_note(kitchen, vat, hands):
    hands.press(Qt.Key.Key_F7).press(ENTER)
    assert kitchen.journal.notes.all() == []
    assert "Nothing was typed" in vat.page.ask.message.text()


def test_a_photo_is_copied_into_the_journals_own_folder(kitchen, vat, hands, tmp_path, monkeypatch):
    source = photo(tmp_path)
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: str(source))
    hands.press(Qt.Key.Key_F7, SHIFT).type("curd").press(ENTER)
    note = kitchen.journal.notes.all()[0]
    assert re.fullmatch(rf"{note.uuid}\.[0-9a-f]{{8}}\.jpg", note.photo)
    copy = kitchen.journal.path.with_name("kitchen.vatside.photos") / note.photo
    assert copy.read_bytes() == source.read_bytes()
    source.unlink()
    assert vat.makes.day.notes[0].picture is not None
    assert vat.makes.day.notes[0].picture.height() == 88
    assert kitchen.journal.check() == []
    copy.unlink()
    assert [text_of(one) for one in kitchen.journal.check()] == [
        f"The photo {note.photo} is not in kitchen.vatside.photos."
    ]


def test_a_photo_dropped_on_the_day_becomes_a_note(kitchen, vat, hands, tmp_path, qtbot):
    qtbot.waitUntil(lambda: vat.chart.isVisible())
    data, copying = QMimeData(), Qt.DropAction.CopyAction
    data.setUrls([QUrl.fromLocalFile(str(photo(tmp_path)))])
    how = (copying, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)
    for event in (QDragEnterEvent(QPoint(80, 80), *how), QDropEvent(QPointF(80, 80), *how)):
        QApplication.sendEvent(vat.chart.viewport(), event)
        assert event.isAccepted()
    hands.type("curd").press(ENTER)
    [note] = kitchen.journal.notes.all()
    assert note.text == "curd"
    assert note.photo.endswith(".jpg")


def test_what_is_no_photo_is_refused(kitchen, vat, hands, tmp_path, monkeypatch):
    wrong = tmp_path / "notes.jpg"
    wrong.write_text("milk, salt")
    monkeypatch.setattr(dialogs, "ask_open", lambda *_: str(wrong))
    hands.press(Qt.Key.Key_F7, SHIFT).press(ENTER)
    assert "not a photo this journal can show" in vat.page.ask.message.text()
    assert kitchen.journal.notes.all() == []


def test_a_photo_let_fall_on_the_chart_asks_for_its_words(kitchen, vat, hands, tmp_path):
    vat.chart.dropped.emit(str(photo(tmp_path, "vat.png")))
    hands.press(ENTER)
    assert kitchen.journal.notes.all()[0].photo.endswith(".png")


# Before the start


@pytest.fixture
def active(qtbot):
    """Makes a window active, as a window manager would when it opens or is clicked."""

    def made(window):
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        return window

    return made


@pytest.fixture
def dialog_of(vat, active):
    """The dialog of a kind that is open."""

    def found(kind):
        return active(next(d for d in vat.window().findChildren(kind) if d.isVisible()))

    return found


def test_the_list_before_the_start_is_ticked_by_its_digits(kitchen, vat, hands, dialog_of):
    hands.press(Qt.Key.Key_B, CTRL)
    shown = dialog_of(BeforeStart)
    assert [line.words for line in shown.lines] == list(USUAL)
    QTest.keyClick(shown, "2")
    QTest.keyClick(shown, ENTER)
    assert [t.words for t in kitchen.journal.ticks.all()] == [USUAL[1], USUAL[0]]
    QTest.keyClick(shown, "2")
    assert [t.words for t in kitchen.journal.ticks.all()] == [USUAL[0]]
    QTest.keyClick(shown, ESC)


def test_the_list_takes_own_words_and_is_printed(
    kitchen, vat, hands, tmp_path, monkeypatch, dialog_of
):
    hands.press(Qt.Key.Key_B, CTRL)
    shown = dialog_of(BeforeStart)
    QTest.keyClick(shown, *key_for("correct"))
    shown.text.set_text("Stove lit\n\n  Cloths boiled ")
    QTest.keyClick(shown.text.entry, ENTER, CTRL)
    assert own_list(kitchen.journal) == ["Stove lit", "Cloths boiled"]
    assert [line.words for line in shown.lines] == ["Stove lit", "Cloths boiled"]
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: str(tmp_path / "list"))
    QTest.keyClick(shown, Qt.Key.Key_P, CTRL)
    save_printed()
    from pypdf import PdfReader

    text = PdfReader(tmp_path / "list.pdf").pages[0].extract_text()
    assert "Cloths boiled" in text
    shown.close()


def test_an_empty_list_brings_the_usual_words_back(kitchen, vat, hands, dialog_of):
    hands.press(Qt.Key.Key_B, CTRL)
    shown = dialog_of(BeforeStart)
    shown.edit_list()
    shown.text.set_text("  \n")
    shown.edit_list()
    assert own_list(kitchen.journal) == list(USUAL)
    shown.close()


def test_ice_water_corrects_the_thermometer_from_then_on(kitchen, vat, hands, dialog_of, active):
    hands.type("31.4").press(ENTER)
    kitchen.after(123)
    hands.press(Qt.Key.Key_F4)
    shown = dialog_of(InstrumentCheck)
    hands.type("0.4")
    assert "0.4 °C too high" in shown.message.text()
    hands.press(ENTER)
    kitchen.after(124)
    active(vat.window())
    hands.type("32.4").press(ENTER)
    newest = vat.page.readings.rows_model.index(0, 0).data()
    assert "32.0 °C" in newest
    assert "shown 32.4" in newest
    assert vat.makes.day.whole.trace("milk-temp").value.tolist() == pytest.approx([31.4, 32.0])


def test_two_buffers_say_how_the_electrode_is(kitchen, vat, hands, dialog_of):
    hands.press(Qt.Key.Key_F4, SHIFT)
    shown = dialog_of(InstrumentCheck)
    hands.type("7.05").press(ENTER).type("4.11").press(ENTER)
    saved = kitchen.journal.calibrations.all()[0]
    assert (saved.known, saved.shown, saved.temp_c) == ((7.0, 4.01), (7.05, 4.11), 20.0)
    assert not shown.isVisible()


def test_readings_of_a_broken_electrode_are_refused(kitchen, vat, hands, dialog_of):
    hands.press(Qt.Key.Key_F4, SHIFT)
    shown = dialog_of(InstrumentCheck)
    hands.type("4.1").press(ENTER).type("7.0").press(ENTER)
    assert "which is which" in shown.message.text()
    assert kitchen.journal.calibrations.all() == []
    shown.close()


def test_a_check_holds_in_the_next_make_and_the_page_says_so_quietly(
    kitchen, vat, hands, dialog_of, active
):
    hands.press(Qt.Key.Key_F4, SHIFT)
    dialog_of(InstrumentCheck)
    hands.type("7.05").press(ENTER).type("4.15").press(ENTER)
    active(vat.window())
    assert vat.page.checked.text() == "Meter checked today, slope 97 %"
    kitchen.journal.makes.finish(kitchen.make.id, [], kitchen.after(300))
    plan = kitchen.journal.plans.get(kitchen.make.plan_id)
    later = kitchen.journal.makes.begin(plan, Milk(12.0), kitchen.after(12 * 24 * 60))
    vat.window().go("vat", later.id)
    assert vat.page.checked.text() == "Meter checked 12 days ago, slope 97 %"
    hands.press(Qt.Key.Key_Space).type("6.62").press(ENTER)
    newest = kitchen.journal.readings.last(later.id, 1)[0]
    # A straight line through both buffers: 7.00 + (7.00 - 4.01) / (7.05 - 4.15) * (6.62 - 7.05).
    assert (newest.raw, newest.value) == (6.62, pytest.approx(6.5567, abs=1e-4))
    assert "shown 6.62" in vat.page.readings.rows_model.index(0, 0).data()


def test_a_check_is_taken_back_from_now_on_or_undone(kitchen, vat, hands, dialog_of, active):
    for value in ("0.4", None):
        hands.press(Qt.Key.Key_F4)
        shown = dialog_of(InstrumentCheck)
        if value is not None:
            assert shown.drop.isHidden()
            hands.type(value).press(ENTER)
        else:
            assert shown.held.text() == "So far: thermometer checked today, corrected by −0.4 °C."
            kitchen.after(125)
            hands.press(*key_for("delete_line"))
        active(vat.window())
        kitchen.after(124 if value else 126)
        hands.type("31.4").press(ENTER)
    value = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp").value
    assert value.tolist() == pytest.approx([31.0, 31.4])
    assert vat.page.checked.text() == "Thermometer not corrected"
    hands.press(Qt.Key.Key_Z, CTRL).press(Qt.Key.Key_Z, CTRL)
    assert "no correction of the thermometer" in vat.messages.text("undo")
    assert vat.page.checked.text() == "Thermometer checked today, corrected by −0.4 °C"


def test_other_places_hear_that_a_check_of_another_make_was_taken_back(kitchen, vat, qtbot):
    journal, window = kitchen.journal, vat.window()
    journal.calibrations.save(
        Calibration(kitchen.make.id, "thermometer", kitchen.now_ms, (0.0,), (0.4,))
    )
    plan = journal.plans.get(kitchen.make.plan_id)
    with journal.unit("a later make"):
        later = journal.makes.begin(plan, Milk(12.0), kitchen.after(300))
        journal.readings.log(later.id, "milk-temp", 30.0, kitchen.after(301))
    window.go("makes", later.id)
    makes = window.current
    qtbot.waitUntil(lambda: makes._whole is not None)
    assert makes._whole.trace("milk-temp").value.tolist() == pytest.approx([29.6])
    journal.calibrations.remove(journal.calibrations.all()[0].id)
    qtbot.waitUntil(lambda: makes._whole is not None)
    assert makes._whole.trace("milk-temp").value.tolist() == [30.0]


def test_a_check_before_the_first_make_says_what_to_do(journal, window_on):
    window = window_on(journal, clock=lambda: 60_000, place="vat")
    Hands(window).press(Qt.Key.Key_F4)
    assert "Start the first make" in window.current.messages.text("check")


def test_between_makes_a_check_is_part_of_the_list(kitchen, vat, hands, dialog_of, active):
    kitchen.journal.makes.finish(kitchen.make.id, [], kitchen.after(180))
    kitchen.after(1500)
    hands.press(Qt.Key.Key_B, CTRL)
    shown = dialog_of(BeforeStart)
    assert shown._checked.text() == "No instrument was checked yet."
    QTest.keyClick(shown, *key_for("ice"))
    dialog_of(InstrumentCheck)
    hands.type("0.3").press(ENTER)
    active(shown)
    assert shown._checked.text() == "Thermometer checked today, corrected by −0.3 °C."
    shown.close()


# Keys


@pytest.mark.parametrize("where", ["end", "readings", "advice", "chart", "fields"])
def test_a_reading_is_digits_and_enter_from_anywhere(kitchen, vat, hands, where):
    """Not a key more: the digits, and Enter."""
    kitchen.after(130)
    hands.type("31").press(ENTER)
    widget = {
        "end": vat.page.end,
        "readings": vat.page.readings,
        "advice": vat.page.advice.leave,
        "chart": vat.chart,
        "fields": vat.page.entry.acid.line,
    }[where]
    if where == "fields":
        vat.page.entry.temp.line.setFocus()
    else:
        widget.setFocus()
    kitchen.after(131)
    hands.type("31.4").press(ENTER)
    value = kitchen.journal.readings.last(kitchen.make.id, 1)[0]
    assert (value.kind, value.value, value.at_ms) == ("milk-temp", 31.4, kitchen.now_ms)


def test_every_key_of_the_vat_is_its_own(vat):
    keys = [key for command in vat.commands() for key in command.keys]
    assert len(keys) == len(set(keys))
