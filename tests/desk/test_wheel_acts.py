"""What is asked about a wheel and its room: parts that leave, the record corrected a week later,
the air typed and seen as a map, shelves and places."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from journal.desk import dialogs
from journal.desk.room.record import RecordDialog
from journal.keeping import Journal
from journal.records.instants import DAY_MS
from journal.records.wheels import AirReading, Removal
from tests.desk.hands import Hands, save_printed
from tests.desk.test_rack import BEGUN, CTRL, LEFT, SHIFT, Ageing, K, shelves

HOUR_MS = DAY_MS // 24


@pytest.fixture
def ageing(window_on, journal: Journal) -> Ageing:
    shelves(journal, 2, 3)
    return Ageing(window_on, journal, 60)


def fill(ageing: Ageing, key: str, text: str) -> None:
    line = ageing.page.form.field(key).entry
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)


def record(ageing: Ageing, qtbot, key: K, mods=Qt.KeyboardModifier.NoModifier) -> RecordDialog:
    ageing.press(key, mods)
    dialog = [one for one in ageing.place.findChildren(RecordDialog) if one.isVisible()][-1]
    qtbot.waitUntil(dialog.isActiveWindow)
    return dialog


def test_no_two_commands_have_the_same_key(ageing):
    keys = [key for command in ageing.place.commands() for key in command.keys]
    assert sorted(keys) == sorted(set(keys))


def test_drying_has_its_letter(ageing, journal):
    ageing.press(K.Key_Y)
    assert [care.kind for care in journal.cares.all()] == ["dry"]


def test_a_part_is_given_and_put_back_a_week_later(ageing, journal, qtbot):
    code = ageing.code
    wheel = journal.wheel_by_code(code)
    ageing.press(K.Key_G)
    assert ageing.page.form.open
    ageing.hands.press(K.Key_Right)  # given
    fill(ageing, "part", "1/4")
    fill(ageing, "to", "Ann")
    ageing.press(K.Key_Return, CTRL)
    (taken,) = journal.removals.all()
    assert (taken.kind, taken.share, taken.whom) == ("given", 0.25, "Ann")
    assert ageing.page.current().life.weight_kg == pytest.approx(0.75 * 1.1)
    assert "75 % of it is left" in ageing.place.messages.text("room")
    ageing.press(K.Key_G)
    ageing.press(K.Key_Return, CTRL)  # eaten, all that is left
    assert journal.wheel_by_code(code).gone_ms is not None
    assert code not in [row.code for row in ageing.page.rows()]
    ageing.visit(67)
    dialog = record(ageing, qtbot, K.Key_G, SHIFT)
    assert [(d.what, d.more) for d in dialog.table.rows] == [
        ("Eaten", "75 %"), ("Given", "25 % to Ann"),
    ]  # fmt: skip
    QTest.keyClick(dialog.table, K.Key_Delete)
    assert journal.wheel_by_code(code).gone_ms is None
    dialog.table.select(0)
    QTest.keyClick(dialog.table, K.Key_Return)
    part = dialog.form.field("part").entry
    part.selectAll()
    QTest.keyClicks(part, "half")
    dialog.form.submit()
    assert journal.shelves.course(wheel).now.left == pytest.approx(0.5)
    QTest.keyClick(dialog, K.Key_Escape)
    with Journal.open(journal.path, read_only=True) as again:
        assert again.wheel_by_code(code).gone_ms is None
        assert [t.share for t in again.removals.all()] == [0.5]


def test_a_weight_that_half_a_wheel_cannot_have_is_asked_about(ageing, journal):
    wheel = journal.wheel_by_code(ageing.code)
    journal.shelves.take(Removal(wheel.id, "eaten", BEGUN + 59 * DAY_MS, 0.5))
    before = len(journal.weighings.where(wheel_id=wheel.id))
    ageing.hands.type("1.05")
    ageing.press(K.Key_Return)
    assert "Heavier than when it left the press" in ageing.page.field.message.text()
    assert len(journal.weighings.where(wheel_id=wheel.id)) == before
    ageing.press(K.Key_Return)  # it is right all the same
    assert len(journal.weighings.where(wheel_id=wheel.id)) == before + 1


def test_more_than_is_left_is_refused_in_the_form(ageing, journal):
    ageing.press(K.Key_G)
    fill(ageing, "part", "5 kg")
    ageing.press(K.Key_Return, CTRL)
    assert ageing.page.form.open
    assert journal.removals.all() == []
    ageing.hands.press(K.Key_Escape)
    assert not ageing.page.form.open
    assert ageing.rack.hasFocus()


def test_care_and_weights_are_corrected_and_undone_a_week_later(ageing, journal, qtbot):
    wheel = journal.wheel_by_code(ageing.code)
    ageing.press(K.Key_T)
    ageing.hands.type("1.0 kg")
    ageing.press(K.Key_Return)
    ageing.visit(67)
    dialog = record(ageing, qtbot, K.Key_E)
    assert [done.what for done in dialog.table.rows[:2]] in (["Turn", "Weighed"],
                                                             ["Weighed", "Turn"])  # fmt: skip
    dialog.table.select_where(lambda done: done.what == "Turn")
    QTest.keyClick(dialog.table, K.Key_Return)
    Hands(dialog).press(K.Key_Tab)
    dialog.form.field("kind").set_text("rub")
    dialog.form.field("words").set_text("with brine")
    dialog.form.submit()
    (care,) = journal.cares.where(wheel_id=wheel.id)
    assert (care.kind, care.note) == ("rub", "with brine")
    dialog.table.select_where(lambda done: done.what == "Weighed")
    QTest.mouseClick(dialog.out, LEFT)
    assert [w.weight_kg for w in journal.weighings.where(wheel_id=wheel.id)] == [1.1]
    QTest.mouseClick(dialog.shut, LEFT)
    ageing.window.activateWindow()
    qtbot.waitUntil(ageing.window.isActiveWindow)
    for _ in range(2):
        ageing.press(K.Key_Z, CTRL)
    assert [c.kind for c in journal.cares.all()] == ["turn"]
    assert len(journal.weighings.where(wheel_id=wheel.id)) == 2


def test_a_move_is_corrected_and_taken_out_a_week_later(ageing, journal, qtbot):
    ageing.press(K.Key_Home)
    wheel = journal.wheel_by_code(ageing.code)
    larder = journal.shelves.room_named("Larder")
    ageing.press(K.Key_V)
    ageing.hands.type("Larder")
    ageing.press(K.Key_Return)
    (move,) = journal.cares.where(wheel_id=wheel.id)
    assert (move.from_room_id, move.room_id) == (wheel.room_id, larder.id)
    ageing.visit(67)
    ageing.page.select(wheel.id)
    dialog = record(ageing, qtbot, K.Key_E)
    dialog.table.select_where(lambda done: done.what == "Move")
    QTest.keyClick(dialog.table, K.Key_Return)
    room = dialog.form.field("room").entry
    room.selectAll()
    QTest.keyClicks(room, "Attic")
    dialog.form.submit()
    attic = journal.shelves.room_named("Attic")
    assert journal.wheels.get(wheel.id).room_id == attic.id
    with Journal.open(journal.path) as second:  # another program corrects its day
        (move,) = second.cares.where(wheel_id=wheel.id)
        second.shelves.correct_care(replace(move, at_ms=BEGUN + 30 * DAY_MS))
    journal.look_for_others()
    dialog.table.select_where(lambda done: done.what == "Move")
    assert dialog.table.current().at_ms == BEGUN + 30 * DAY_MS
    QTest.mouseClick(dialog.out, LEFT)
    assert journal.wheels.get(wheel.id).room_id == wheel.room_id
    QTest.mouseClick(dialog.shut, LEFT)


def test_the_air_is_typed_in_two_fields_or_by_two_bulbs(ageing, journal):
    ageing.press(K.Key_Home)
    ageing.press(K.Key_C)
    fill(ageing, "temp", "12.5")
    fill(ageing, "humidity", "71")
    ageing.press(K.Key_Return, CTRL)
    (air,) = journal.airs.all()
    assert (air.temp_c, air.humidity_pct, air.at_ms) == (12.5, 71.0, ageing.now)
    head = ageing.rack.shelf_box(1)  # the name of the other room, by mouse
    QTest.mouseClick(ageing.rack, LEFT, pos=(head.topLeft() + QPointF(20, 20)).toPoint())
    assert ageing.page.form.title.text() == "Air of the Larder now"
    fill(ageing, "temp", "12.8")
    fill(ageing, "wet", "10.8")
    ageing.press(K.Key_Return, CTRL)
    larder = journal.airs.all()[-1]
    assert larder.room_id != air.room_id
    assert 76 < larder.humidity_pct < 80  # a psychrometer's 12.8 and 10.8 °C
    ageing.press(K.Key_Z, CTRL)
    assert len(journal.airs.all()) == 1


def test_a_day_of_the_air_unfolds_to_its_hours_and_out_of_range_is_marked(ageing, journal, qtbot):
    room = journal.rooms.all()[0]
    start = BEGUN - 9 * HOUR_MS  # the midnight before
    rows = [(day, hour) for day in (58, 59) for hour in range(24)]
    journal.airs.save_many(
        AirReading(room.id, start + day * DAY_MS + hour * HOUR_MS, 12.0,
                   70.0 if day == 59 and 8 <= hour < 12 else 84.0)
        for day, hour in rows
    )  # fmt: skip
    ageing.press(K.Key_Home)
    ageing.press(K.Key_Right)
    qtbot.waitUntil(ageing.window.settled)
    air = ageing.place.air
    days = sorted(air.days)
    dry = date(2026, 4, 30)
    assert [day for day in days if air.days[day].humidity_out] == [dry]
    QTest.mouseClick(air, LEFT, pos=air.cell(dry).center().toPoint())
    assert air.picked == dry
    shown = {hour.hour: hour.humidity_pct for hour in air.hours(dry)}
    assert (len(shown), shown[9], shown[13]) == (24, 70.0, 84.0)  # by the clock of summer
    QTest.keyClick(air, K.Key_Space)
    assert air.what == "temperature"
    # What is allowed is typed, and what was outside follows.
    ageing.press(K.Key_C, SHIFT)
    fill(ageing, "humidity", "76")
    fill(ageing, "within_pct", "10")
    ageing.press(K.Key_Return, CTRL)
    assert journal.rooms.get(room.id).range_pct == (66, 86)
    qtbot.waitUntil(lambda: not air.days[dry].outside)


def test_shelves_of_a_room_and_places_by_key_and_drag(ageing, journal):
    ageing.press(K.Key_Home)
    ageing.press(K.Key_V)
    ageing.hands.type("Cellar/top")
    ageing.press(K.Key_Return)
    moved = journal.wheel_by_code("HL-0001-A")
    assert moved.shelf == "top"
    assert journal.cares.where(wheel_id=moved.id) == []  # the room is the same
    names = [shelf.name for shelf in ageing.page._shelves]
    assert names == ["Cellar", "Cellar, top", "Larder"]
    # Within a shelf a wheel is put before another.
    one, other = (journal.wheel_by_code(f"HL-0002-{letter}") for letter in "AC")
    start, end = ageing.spot(other.id), ageing.spot(one.id)
    QTest.mousePress(ageing.rack, LEFT, pos=start)
    QTest.mouseMove(ageing.rack, (start + end) / 2)
    QTest.mouseMove(ageing.rack, end)
    QTest.mouseRelease(ageing.rack, LEFT, pos=end)
    larder = [row.code for row in ageing.page.rows() if row.room == "Larder"]
    assert larder == ["HL-0002-C", "HL-0002-A", "HL-0002-B"]
    ageing.press(K.Key_Z, CTRL)
    larder = [row.code for row in ageing.page.rows() if row.room == "Larder"]
    assert larder == ["HL-0002-A", "HL-0002-B", "HL-0002-C"]


def test_a_shelf_stays_when_its_last_wheel_leaves_until_it_is_removed(ageing, journal):
    def names() -> list[str]:
        return [shelf.name for shelf in ageing.page._shelves]

    wheel = journal.wheel_by_code("HL-0001-A")
    for where in ("Cellar/top", "Larder"):
        ageing.page.select(wheel.id)
        ageing.press(K.Key_V)
        ageing.hands.type(where)
        ageing.press(K.Key_Return)
    assert names() == ["Cellar", "Cellar, top", "Larder"]
    with Journal.open(journal.path, read_only=True) as second:
        assert second.shelves.room_named("Cellar").shelves == ("top",)
    # A wheel is put back on it with the mouse.
    start, end = ageing.spot(wheel.id), ageing.rack.shelf_box(1).center().toPoint()
    QTest.mousePress(ageing.rack, LEFT, pos=start)
    QTest.mouseMove(ageing.rack, (start + end) / 2)
    QTest.mouseMove(ageing.rack, end)
    QTest.mouseRelease(ageing.rack, LEFT, pos=end)
    assert journal.wheels.get(wheel.id).shelf == "top"
    ageing.press(K.Key_Z, CTRL)
    # Shelves are made and removed where the room is said.
    ageing.press(K.Key_Home)
    ageing.press(K.Key_C, SHIFT)
    fill(ageing, "shelves", "middle, low")
    ageing.press(K.Key_Return, CTRL)
    assert names() == ["Cellar", "Cellar, middle", "Cellar, low", "Larder"]
    ageing.press(K.Key_Z, CTRL)
    assert names() == ["Cellar", "Cellar, top", "Larder"]


def test_labels_and_a_calendar_come_from_here_and_days_away_move_care(
    ageing, journal, tmp_path, monkeypatch
):
    from icalendar import Calendar

    labels, calendar = tmp_path / "labels.pdf", tmp_path / "care.ics"
    paths = iter([str(labels), str(calendar)])
    monkeypatch.setattr(dialogs, "ask_save", lambda *_: next(paths))
    ageing.press(K.Key_Home)
    ageing.press(K.Key_P, CTRL)
    save_printed()
    text = PdfReader(labels).pages[0].extract_text()
    assert all(code in text for code in ("HL-0001-A", "HL-0001-B", "HL-0001-C"))
    assert "3 labels on 1 page" in ageing.place.messages.text("outgoing")
    ageing.place.outgoing.write_calendar()
    events = Calendar.from_ical(calendar.read_bytes()).walk("VEVENT")
    assert len(events) > 0
    assert "It is updated when something changes" in ageing.place.messages.text("outgoing")
    ageing.press(K.Key_Return, CTRL | SHIFT)  # turned today, next in two days
    before = ageing.page.current().dues
    ageing.press(K.Key_H, SHIFT)
    fill(ageing, "first", "2 May 2026")
    fill(ageing, "last", "12 May 2026")
    ageing.press(K.Key_Return, CTRL)
    (away,) = journal.absences.all()
    assert (away.first_day, away.last_day) == ("2026-05-02", "2026-05-12")
    days = {due.on for due in ageing.page.current().dues}
    assert days != {due.on for due in before}
    assert not any(date(2026, 5, 2) <= day <= date(2026, 5, 12) for day in days)
