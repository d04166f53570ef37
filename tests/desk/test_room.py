"""Room: what each wheel needs and when; weighing and care by keys, read back from the file."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from journal.desk.room.chart import day_ticks
from journal.message import Message
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso
from journal.records.makes import Milk
from journal.records.plans import CareRule, Plan, Stage
from journal.records.wheels import AirReading, Room
from journal.reports.wheels import shelf_rows

ZONE = "Europe/London"
BEGUN = from_iso("2026-03-02T09:00", ZONE)
PLAN = Plan(
    "kitchen hard",
    (Stage("warm", 30.0, target_c=31.0),),
    care=(CareRule("turn", 1, 14, 2), CareRule("weigh", 7, 60, 7)),
    taste_at_days=(60.0,),
)


def days(count: float) -> int:
    return BEGUN + round(count * DAY_MS)


@pytest.fixture
def shelf(journal):
    """Two makes of the same day: two wheels in the cellar, one without a room."""
    cellar = journal.rooms.save(Room("Cellar", 12.0, 85.0))
    for weights in ([1.2, 1.1], [1.5]):
        make = journal.makes.begin(PLAN, Milk(12), BEGUN)
        journal.makes.finish(make.id, weights, BEGUN + 75 * MINUTE_MS)
    for wheel in journal.wheels.all()[:2]:
        journal.wheels.save(replace(wheel, room_id=cellar.id))
    journal.airs.save(AirReading(cellar.id, days(0.5), 12.3, 84.0))
    return journal


@pytest.fixture
def room(shelf, window_on, qtbot):
    window = window_on(shelf, place="room", clock=lambda: days(1) + MINUTE_MS)
    assert window.current.page.current().code == "HL-0002-A"  # of the make that is open
    window.current.page.table.select(0)
    qtbot.waitUntil(window.settled)
    return window.current


def press(qtbot, widget, key, modifier=Qt.KeyboardModifier.NoModifier):
    qtbot.keyClick(widget, key, modifier)


def test_wheels_stand_room_by_room_with_what_they_need(shelf):
    rows = shelf_rows(shelf, days(1))
    assert [(r.room, r.code, r.first) for r in rows] == [
        ("Cellar", "HL-0001-A", True),
        ("Cellar", "HL-0001-B", False),
        ("no room yet", "HL-0002-A", True),
    ]
    assert [d.kind for d in rows[0].dues] == ["turn", "weigh", "taste"]
    assert all(row.wants and row.late_days == 0 for row in rows)


def test_control_enter_turns_one_wheel_after_the_other(room, shelf, qtbot):
    control = Qt.KeyboardModifier.ControlModifier
    assert room.page.act.text() == "Turn: done"
    seen = []
    for _ in range(3):
        seen.append(room.page.current().code)
        press(qtbot, room.page.table, Qt.Key.Key_Return, control)
    assert sorted(seen) == ["HL-0001-A", "HL-0001-B", "HL-0002-A"]
    assert [c.kind for c in shelf.cares.all()] == ["turn"] * 3
    assert room.page.count.text() == "3 wheels"


def test_a_number_typed_on_the_shelf_is_the_wheels_weight(room, shelf, qtbot):
    code = room.page.current().code
    press(qtbot, room.page.table, Qt.Key.Key_1)
    qtbot.keyClicks(room.page.field.line, ".15 kg")
    press(qtbot, room.page.field.line, Qt.Key.Key_Return)
    wheel = shelf.wheel_by_code(code)
    saved = shelf.weighings.where(wheel_id=wheel.id)
    assert [w.weight_kg for w in saved] == [1.2, pytest.approx(1.15)]
    assert room.page.field.line.text() == ""
    assert "4.2 % lost" in room.page.field.message.text()
    assert room.page.current().life.weight_kg == pytest.approx(1.15)
    assert shelf.undo() == Message(f"weigh {code}")
    assert room.page.current().life.weight_kg == pytest.approx(1.2)


@pytest.mark.parametrize(
    ("typed", "asked"),
    [
        ("9.21 kg", "Heavier than when it left the press: is 9.21 kg right?"),
        ("120 g", "90 % lighter than when it left the press: is 0.12 kg right?"),
    ],
)
def test_an_impossible_weight_is_asked_about_before_it_is_kept(room, shelf, qtbot, typed, asked):
    before, line = len(shelf.weighings.all()), room.page.field.line
    line.setFocus()
    qtbot.keyClicks(line, typed)
    press(qtbot, line, Qt.Key.Key_Return)
    assert asked in room.page.field.message.text()
    assert (line.text(), len(shelf.weighings.all())) == (typed, before)
    press(qtbot, line, Qt.Key.Key_Return)
    assert len(shelf.weighings.all()) == before + 1
    assert "−" not in room.page.field.message.text()


def test_an_unlikely_weight_is_kept_and_asks_for_a_second_look(room, shelf, qtbot):
    room.page.field.line.setFocus()
    qtbot.keyClicks(room.page.field.line, "0.9 kg")
    press(qtbot, room.page.field.line, Qt.Key.Key_Return)
    assert "check it" in room.page.field.message.text()
    assert shelf.weighings.all()[-1].weight_kg == pytest.approx(0.9)


def test_what_is_no_weight_is_refused_and_stays(room, shelf, qtbot):
    before = len(shelf.weighings.all())
    room.page.field.line.setFocus()
    qtbot.keyClicks(room.page.field.line, "heavy")
    press(qtbot, room.page.field.line, Qt.Key.Key_Return)
    assert room.page.field.line.text() == "heavy"
    assert room.page.field.box.wrong
    assert len(shelf.weighings.all()) == before


def test_a_letter_logs_a_care_on_the_shelf_but_not_while_typing(room, shelf, qtbot):
    code = room.page.current().code
    press(qtbot, room.page.table, Qt.Key.Key_R)
    (care,) = shelf.cares.all()
    assert (care.kind, care.wheel_id) == ("rub", shelf.wheel_by_code(code).id)
    room.page.field.line.setFocus()
    qtbot.keyClicks(room.page.field.line, "r")
    assert room.page.field.line.text() == "r"
    assert len(shelf.cares.all()) == 1


def test_a_wheel_moves_to_a_known_and_to_a_new_room(room, shelf, qtbot):
    press(qtbot, room.page.table, Qt.Key.Key_V)
    assert room.page.mover.isVisible()
    qtbot.keyClicks(room.page.line, "Larder")
    press(qtbot, room.page.line, Qt.Key.Key_Return)
    assert not room.page.mover.isVisible()
    assert room.page.current().room == "Larder"
    press(qtbot, room.page.table, Qt.Key.Key_V)
    qtbot.keyClicks(room.page.line, "cellar")
    press(qtbot, room.page.line, Qt.Key.Key_Return)
    assert room.page.current().room == "Cellar"
    assert [r.name for r in shelf.rooms.all()] == ["Cellar", "Larder"]
    assert [c.note for c in shelf.cares.all()] == ["Larder", "Cellar"]


def test_a_wheel_that_is_gone_leaves_the_shelf_until_undone(room, shelf, qtbot):
    code = room.page.current().code
    press(qtbot, room.page.table, Qt.Key.Key_G)
    assert code in [row.code for row in room.page.rows()]  # it asks first
    press(qtbot, room.page.table, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert code not in [row.code for row in room.page.rows()]
    assert shelf.wheel_by_code(code).gone_ms == days(1) + MINUTE_MS
    assert code in room.messages.text("room")
    shelf.undo()
    assert code in [row.code for row in room.page.rows()]


def test_the_chosen_wheel_is_drawn_with_its_air(room, qtbot):
    assert room.head.text() == "HL-0001-A"
    assert "Cellar, meant for 12.0 °C and 85 %" in room.about.text()
    assert [day.temp_c for day in room.air.days.values()] == [12.3]
    assert room.air.isVisible()
    press(qtbot, room.page.table, Qt.Key.Key_Down)
    press(qtbot, room.page.table, Qt.Key.Key_Down)
    qtbot.waitUntil(lambda: room.head.text() == "HL-0002-A")
    assert not room.air.isVisible()
    assert room.desk.make_id == 2


def test_an_empty_shelf_says_how_to_begin(journal, window_on):
    window = window_on(journal, place="room")
    assert window.current.pages.currentIndex() == 1


def test_ticks_are_whole_days():
    assert day_ticks((0.0, 10.0)) == [0, 2, 4, 6, 8, 10]
    assert day_ticks((0.0, 170.0))[-1] == 168
    assert day_ticks((30.2, 33.0)) == [31, 32, 33]


def test_coming_with_a_make_stands_on_its_wheel_or_says_there_is_none(room, shelf, qtbot):
    window = room.window()
    bare = shelf.makes.begin(PLAN, Milk(12), days(1))
    window.go("room", 2)
    assert room.page.current().code == "HL-0002-A"
    window.go("room", bare.id)
    assert room.messages.text("missing") == f"{bare.code} has no wheels in a room."
    assert window.desk.make_id == bare.id
    qtbot.keyClick(room.page.table, Qt.Key.Key_Down)
    assert window.desk.make_id == room.page.current().life.wheel.make_id


def test_a_wheel_about_to_be_drawn_is_let_go_when_the_window_closes(room, shelf, qtbot):
    qtbot.keyClick(room.page.table, Qt.Key.Key_Down)
    assert room._pause.isActive()
    window = room.window()
    window.close()
    assert not room._pause.isActive()
