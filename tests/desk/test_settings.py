"""What is chosen in the settings: what is shown, printed and answered follows it, what is stored
stays. Values of one unit in another are checked against published factors.

The inch, the pound and the ounce: NIST SP 811 (2008), appendix B.8 (25.4 mm, 0.45359237 kg,
28.349523125 g); the US gallon 3.785412 L; °F = 1.8 °C + 32 (the same, B.8 and 4.2.1.1).
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QMessageBox

from journal.command.entry import main
from journal.desk.background_alarms_asked import BackgroundAlarmsQuestion
from journal.desk.bin import BinDialog
from journal.desk.history import HistoryDialog
from journal.desk.keysheet import KeySheet
from journal.desk.preferences import PREFERENCES, choose, chosen
from journal.desk.printing import PrintPreview
from journal.desk.room.air_map import AirMap
from journal.desk.settings_page import SettingsDialog
from journal.desk.sheets import make_sheet
from journal.desk.sheets.paper import paper_here
from journal.desk.sound import Bell
from journal.desk.theme import text_size, use_text_size
from journal.desk.vat.before_sheet import write_list
from journal.records.makes import Milk
from journal.wording import Style, use_style
from journal.wording.dates import days_into_week
from journal.wording.keys import use_keys
from journal.wording.shown import shown_value, write
from tests import present
from tests.desk.conftest import cheddar_like
from tests.desk.hands import Hands

CTRL, ENTER = Qt.KeyboardModifier.ControlModifier, Qt.Key.Key_Return


@pytest.fixture(autouse=True)
def _as_usual(tmp_path, monkeypatch):
    """No choice of one test reaches another, nor the settings of who runs the tests this."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    yield
    use_style(Style())
    use_text_size(100)
    use_keys({})


def settings_shown(window) -> SettingsDialog:
    Hands(window).press(Qt.Key.Key_Comma, CTRL)
    return next(one for one in window.findChildren(SettingsDialog) if one.isVisible())


def pick(window, **values: str) -> None:
    """Choose in the page of settings, and save it."""
    shown = settings_shown(window)
    for key, value in values.items():
        rows = next(rows for rows in shown.rows.values() if key in rows.fields.made)
        rows.fields.made[key].set_text(value)
    shown.save()


def words_of(path) -> str:
    return " ".join(page.extract_text() for page in PdfReader(path).pages)


@pytest.mark.parametrize(
    ("quantity", "style", "stored", "there"),
    [
        ("temperature", Style(temperature="F"), 31.0, 31.0 * 1.8 + 32),
        ("temperature_difference", Style(temperature="F"), 1.5, 1.5 * 1.8),
        ("mass", Style(mass="lb"), 2.5, 2.5 / 0.45359237),
        ("volume", Style(volume="gal"), 12.0, 12.0 / 3.785412),
        ("length", Style(length="in"), 165.0, 165.0 / 25.4),
    ],
)
def test_a_value_in_another_unit_is_as_published(quantity, style, stored, there):
    use_style(style)
    assert shown_value(stored, quantity) == pytest.approx(there, rel=1e-6)


def test_the_week_begins_on_the_day_that_is_chosen():
    sunday = date(2026, 3, 15)
    for first, over in (("0", 6), ("6", 0), ("5", 1)):
        use_style(Style(first_day=first))
        assert days_into_week(sunday) == over


def test_the_air_of_a_room_has_its_weeks_as_they_begin_here(qtbot, sample, window_on):
    window = window_on(sample, place="room")
    qtbot.waitUntil(window.settled, timeout=60_000)
    air = next(one for one in window.findChildren(AirMap) if one.days)
    sunday = next(on for on in reversed(sorted(air.days)[:-7]) if on.weekday() == 6)
    for first, under in (("0", False), ("6", True)):
        pick(window, first_day=first)
        here, next_day = air.cell(sunday), air.cell(sunday + timedelta(days=1))
        assert (next_day.top() > here.top()) == under
        assert (next_day.left() > here.left()) != under
        assert air._day_at(here.center()) == sunday


def test_small_weights_stay_in_grams_and_middling_ones_are_in_ounces():
    use_style(Style(mass="lb"))
    assert write(2.1, "mass_g") == "2.1 g"
    assert write(56.7, "mass_g") == "2 oz"
    assert write(0.2, "mass") == "7.05 oz"


def test_the_window_shows_and_reads_fahrenheit_and_stores_celsius(qtbot, kitchen, window_on):
    kitchen.to_stage(4)
    kitchen.after(120)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    pick(window, temperature="F")
    page = window.current.page
    assert page.target.text().replace("\u00a0", " ").endswith("101.3 °F over 40 min")
    window.activateWindow()
    page.entry.temp.line.setFocus()
    Hands(window).type("90").press(ENTER)
    trace = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")
    assert trace.value[-1] == pytest.approx((90 - 32) / 1.8)
    assert page.readings.rows_model.index(0, 0).data() == "11:00, 90.0 °F, milk"
    Hands(window).type("32 C").press(ENTER)
    trace = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")
    assert trace.value[-1] == pytest.approx(32.0)
    plot = window.current.chart.temp
    ticks = {words: at for at, words in plot.left_axis._tickLevels[0]}
    assert ticks.pop("°F")
    assert len(ticks) >= 3
    for words, at in ticks.items():
        assert at == pytest.approx((float(words) - 32) / 1.8)


def test_the_fields_of_a_plan_follow_the_units_and_what_is_kept_stays(sample, window_on):
    window = window_on(sample, clock=present.now, place="plans")
    before, litres = window.current.page.title.text(), window.current.page.milk.litres()
    pick(window, volume="gal", length="in", temperature="F")
    page = window.current.page
    assert page.title.text() == before.replace("12 L", "3.17 US gal")
    assert page.milk._unit.text() == "US gal"
    assert page.milk.litres() == litres
    assert page.stages.rows_model.columns[1].title == "°F"


def test_a_reading_that_is_corrected_to_itself_stays_as_it_was(qtbot, kitchen, window_on):
    kitchen.journal.readings.log(kitchen.make.id, "milk-temp", 31.37, kitchen.after(10))
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    pick(window, temperature="F")
    window.activateWindow()
    window.current.page.entry.temp.line.setFocus()
    Hands(window).press(Qt.Key.Key_F2)
    assert window.current.page.entry.temp.line.text() == "88.5"
    Hands(window).press(ENTER)
    trace = kitchen.journal.readings.trace(kitchen.make.id, "milk-temp")
    assert set(trace.value.tolist()) == {31.37}


@pytest.mark.parametrize(
    ("choice", "usual", "then"),
    [
        ({"temperature": "F"}, "31.0", "87.8"),
        ({"volume": "gal"}, "12 L", "3.17 US gal"),
        ({"mass": "lb"}, " kg", " lb"),
    ],
)
def test_paper_follows_the_units(tmp_path, choice, usual, then):
    path = tmp_path / "sheet.pdf"
    make_sheet(cheddar_like(), path, paper="A4")
    assert usual in words_of(path)
    use_style(Style(**choice))
    make_sheet(cheddar_like(), path, paper="A4")
    assert then in words_of(path)


@pytest.mark.parametrize(
    ("key", "value", "then"),
    [
        ("volume", "gal", "3.17 US gal"), ("clock", "12", "Ended at 9:30 am"),
        ("temperature", "F", "at 87.8 °F"), ("mass", "lb", "2.646 lb"),
    ],
)  # fmt: skip
def test_the_commands_follow_the_settings_file(
    kitchen, window_on, saved, tmp_path, capsys, key, value, then
):
    path = kitchen.journal.path
    if key == "mass":
        kitchen.journal.makes.finish(kitchen.make.id, [1.2], kitchen.after(200))
    choose(saved, key, value)
    saved.sync()
    at_home = tmp_path / "config" / "Vatside"
    at_home.mkdir(parents=True)
    (at_home / "vatside.ini").write_bytes((tmp_path / "settings.ini").read_bytes())
    asked = {
        "volume": ["makes", str(path)], "mass": ["wheels", str(path)],
        "clock": ["stage", str(path), "latest", "end", "--at", "2026-03-14T09:30"],
    }  # fmt: skip
    assert main(asked.get(key, asked["clock"])) == 0
    assert then in capsys.readouterr().out


def test_the_page_has_every_choice_that_is_declared_and_remembers(journal, window_on, saved):
    window = window_on(journal, place="today")
    shown = settings_shown(window)
    made = {key for rows in shown.rows.values() for key in rows.fields.made}
    assert made == {one.key for one in PREFERENCES} | {"letters", "zone"}
    shown.reject()
    pick(window, clock="12", paper="Letter", sound="none", letters="zq", zone="Europe/Madrid")
    assert (chosen(saved, "clock"), chosen(saved, "paper")) == ("12", "Letter")
    assert window.desk.alarm.loudness == 0.0
    assert (journal.letters, journal.zone) == ("ZQ", "Europe/Madrid")
    make = journal.makes.begin(cheddar_like(), Milk(12.0), 1_790_000_000_000)
    assert (make.code, make.zone) == ("ZQ-0001", "Europe/Madrid")


def test_letters_that_are_none_are_refused_and_nothing_is_saved(journal, window_on, saved):
    window = window_on(journal, place="today")
    shown = settings_shown(window)
    shown.rows["This journal"].fields.made["letters"].set_text("H7")
    shown.rows["Time"].fields.made["clock"].set_text("12")
    shown.save()
    assert shown.isVisible()
    assert "letters" in shown.fault.text()
    assert (journal.letters, chosen(saved, "clock")) == ("HL", "24")


def test_the_text_grows_and_comes_back_by_keys(kitchen, window_on):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    usual = window.current.page.code.font().pixelSize()
    Hands(window).press(Qt.Key.Key_Plus, CTRL).press(Qt.Key.Key_Plus, CTRL)
    assert text_size() == 125
    assert window.current.page.code.font().pixelSize() == round(1.25 * usual)
    assert window.current.key == "vat"
    Hands(window).press(Qt.Key.Key_0, CTRL)
    assert window.current.page.code.font().pixelSize() == usual


def test_keys_of_a_single_letter_can_be_switched_off(sample, window_on):
    window = window_on(sample, place="room")
    before = {action.objectName(): action.shortcuts() for action in window.current.actions()}
    assert any(keys and len(keys[0].toString()) == 1 for keys in before.values())
    pick(window, single_keys="off")
    after = [key.toString() for one in window.current.actions() for key in one.shortcuts()]
    assert not [key for key in after if len(key.removeprefix("Shift+")) == 1]
    assert QApplication.focusWidget() is not None


def test_a_sound_and_its_volume_are_heard_as_they_are_chosen_and_ring(
    journal, window_on, saved, monkeypatch
):
    heard = []
    monkeypatch.setattr(Bell, "ring", lambda bell: heard.append((bell.sound, bell.loudness)))
    window = window_on(journal, place="today")
    shown = settings_shown(window)
    rows = shown.rows["Alarm"].fields.made
    for key, text in (("loudness", "40"), ("sound", "kitchen")):
        rows[key].set_text(text)
        shown.rows["Alarm"].changed.emit()  # as a choice by hand does
    assert heard == [("bell", 0.4), ("kitchen", 0.4)]
    rows["sound"].set_text("none")
    shown.rows["Alarm"].changed.emit()
    assert len(heard) == 2
    next(one for one in window.findChildren(SettingsDialog) if one.isVisible()).reject()
    assert (window.desk.alarm.sounds_as, window.desk.alarm.loudness) == ("bell", 1.0)
    pick(window, sound="soft", loudness="20")
    window.desk.alarm.sound()
    assert heard[-1] == ("soft", 0.2)


@pytest.mark.parametrize(("confirm", "answer", "gone"), [
    ("no", None, True), ("yes", "Cancel", False), ("yes", "Yes", True),
])  # fmt: skip
def test_a_make_is_deleted_without_a_question_unless_one_is_wanted(
    kitchen, window_on, saved, monkeypatch, confirm, answer, gone
):
    asked = []

    def answered(box):
        asked.append(box.text())
        return getattr(QMessageBox.StandardButton, answer)

    monkeypatch.setattr(QMessageBox, "exec", answered)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    pick(window, confirm=confirm)
    window.current.acts.delete_make()
    assert bool(asked) == (confirm == "yes")
    assert (kitchen.journal.makes.newest(1) == []) == gone
    assert gone or "HL-0001" in asked[0]


@pytest.mark.parametrize(("answer", "kept"), [("Yes", "yes"), ("No", "no")])
def test_whether_alarms_go_on_with_the_window_closed_is_asked_once(
    kitchen, window_on, saved, monkeypatch, answer, kept
):
    asked = []

    def answered(_box):
        asked.append(1)
        return getattr(QMessageBox.StandardButton, answer)

    monkeypatch.setattr(QMessageBox, "exec", answered)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    window.installEventFilter(BackgroundAlarmsQuestion(window, saved))
    window.close()
    assert chosen(saved, "minding") == kept
    window.show()
    window.close()
    assert len(asked) == 1
    kitchen.journal.makes.finish(kitchen.make.id, [], kitchen.clock())
    choose(saved, "minding", "ask")
    window.show()
    window.close()  # nothing runs, so there is nothing to ask
    assert len(asked) == 1


def test_the_paper_that_is_chosen_is_printed_on(kitchen, window_on, tmp_path):
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    for name, width in (("Letter", 612), ("A4", 595)):
        pick(window, paper=name)
        assert paper_here() == name
        window.help.show_keys()
        sheet = next(one for one in window.findChildren(KeySheet) if one.isVisible())
        sheet.print_sheet()
        shown = next(one for one in sheet.findChildren(PrintPreview) if one.isVisible())
        assert shown._paper == name
        shown.reject()
        sheet.reject()
        where = tmp_path / f"{name}.pdf"
        write_list(["One line"], where)
        assert round(PdfReader(where).pages[0].mediabox.width) == width


# Which acts ask first


@pytest.mark.parametrize(("wanted", "answer", "done"), [
    ("no", None, True), ("yes", "Cancel", False), ("yes", "Yes", True),
])  # fmt: skip
@pytest.mark.parametrize("act", ["ask_stage", "ask_finish", "ask_discard", "ask_back", "ask_bin"])
def test_an_act_asks_first_where_that_is_chosen(
    qtbot, kitchen, window_on, saved, monkeypatch, act, wanted, answer, done
):
    asked = []

    def answered(box):
        asked.append(box.text())
        return getattr(QMessageBox.StandardButton, answer)

    monkeypatch.setattr(QMessageBox, "exec", answered)
    choose(saved, act, wanted)
    journal, make_id = kitchen.journal, kitchen.make.id
    kitchen.after(20)
    window = window_on(journal, clock=kitchen.clock, place="vat")
    if act == "ask_stage":
        window.current.acts.end_stage()
        runs = journal.runs.where(make_id=make_id)
        happened = any(run.ended_ms is not None for run in runs)
    elif act == "ask_finish":
        happened = window.current.acts.finish([1.2])
    elif act == "ask_discard":
        window.go("plans")
        place = window.current
        place.drafts.new_plan()
        assert place.drafts.is_draft()
        place.drafts.discard_draft()
        happened = not place.drafts.is_draft()
    elif act == "ask_back":
        window.past.show_history()
        shown = window.findChild(HistoryDialog)
        qtbot.waitUntil(lambda: shown.table.current() is not None, timeout=30_000)
        before = len(journal.makes.rows())
        shown._on_back()
        happened = len(journal.makes.rows()) < before
        shown.reject()
    else:
        journal.outcomes.delete(make_id)
        window.past.show_bin()
        shown = window.findChild(BinDialog)
        qtbot.waitUntil(lambda: bool(shown.table.rows))
        shown._on_clear()
        if shown.asking.isVisible():
            asked.append(shown.asking.label.text())
            (shown.asking.yes if answer == "Yes" else shown.asking.no).click()
        happened = not journal.bin.all()
        shown.reject()
    assert bool(asked) == (wanted == "yes")
    assert happened == done
