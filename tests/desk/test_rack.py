"""The shelves of Ageing by keys and by mouse: whole shelves cared for, wheels dragged to others."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from journal.keeping import Journal
from journal.records.instants import DAY_MS, MINUTE_MS, from_iso
from journal.records.makes import Milk
from journal.records.plans import CareRule, Plan, Stage
from journal.records.wheels import Room
from journal.reports.wheels import shelf_rows
from tests.desk.hands import Hands

BEGUN = from_iso("2026-03-02T09:00", "Europe/London")
K, CTRL, SHIFT = Qt.Key, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
PLAN = Plan(
    "kitchen hard",
    (Stage("warm", 30.0, target_c=31.0),),
    care=(CareRule("turn", 1, 90, 2), CareRule("rub", 3, 90, 3.5), CareRule("brush", 5, 90, 7)),
)
LEFT = Qt.MouseButton.LeftButton


def shelves(journal: Journal, makes: int, wheels: int) -> None:
    """So many makes of so many wheels, in two rooms."""
    rooms = [journal.rooms.save(Room(name, 12.0, 85.0)) for name in ("Cellar", "Larder")]
    for number in range(makes):
        make = journal.makes.begin(PLAN, Milk(90), BEGUN)
        journal.makes.finish(make.id, [1.0 + 0.1 * number] * wheels, BEGUN + 75 * MINUTE_MS)
        for wheel in journal.wheels.where(make_id=make.id):
            journal.wheels.save(replace(wheel, room_id=rooms[number % 2].id))


class Ageing:
    """The place with a clock that the test moves."""

    def __init__(self, window_on, journal: Journal, day: float) -> None:
        self.now = BEGUN
        self.to(day)
        self.window = window_on(journal, place="room", clock=lambda: self.now)
        self.place, self.page = self.window.current, self.window.current.page
        self.rack, self.hands = self.page.rack, Hands(self.window)
        self.keys = 0

    def to(self, day: float) -> None:
        self.now = BEGUN + round(day * DAY_MS)

    def visit(self, day: float) -> None:
        """Another day: one comes to the place again."""
        self.to(day)
        self.window.go("today")
        self.window.go("room")

    def press(self, key: Qt.Key, mods=Qt.KeyboardModifier.NoModifier) -> None:
        self.keys += 1
        self.hands.press(key, mods)

    @property
    def code(self) -> str:
        return self.page.current().code

    def spot(self, wheel_id: int) -> QPoint:
        return self.rack.slot_of(wheel_id).box.center().toPoint()


@pytest.fixture
def ageing(window_on, journal: Journal) -> Ageing:
    shelves(journal, 2, 3)
    return Ageing(window_on, journal, 1)


@pytest.mark.parametrize("by", ["keys", "mouse"])
def test_a_week_of_care_for_thirty_wheels(window_on, journal: Journal, by: str) -> None:
    """A shelf at a time: in under 60 keys, or by as many clicks."""
    shelves(journal, 6, 5)
    ageing = Ageing(window_on, journal, 7)
    given = 0
    for day in range(7, 14):
        ageing.visit(day + 0.1)
        while any(row.wants for row in ageing.page.rows()):
            before = len(journal.cares.all())
            if by == "keys":
                ageing.press(K.Key_Return, CTRL | SHIFT)
            else:
                QTest.mouseClick(ageing.page.shelf_act, LEFT)
            assert len(journal.cares.all()) == before + 15  # a whole room
            given += 1
        assert not any(row.wants for row in shelf_rows(journal, ageing.now))
    assert given < 60
    assert ageing.keys == (given if by == "keys" else 0)
    assert {care.kind for care in journal.cares.all()} == {"turn", "rub", "brush"}


def test_the_care_of_a_shelf_is_one_act_that_is_taken_back(ageing: Ageing, journal) -> None:
    ageing.press(K.Key_Home)
    assert ageing.page.shelf_act.text() == "Turn 3 wheels in the Cellar"
    ageing.press(K.Key_Return, CTRL | SHIFT)
    ageing.press(K.Key_B, SHIFT)  # asked for or not: the shelf one went on to
    rooms = {wheel.id: wheel.room_id for wheel in journal.wheels.all()}
    assert [(c.kind, rooms[c.wheel_id]) for c in journal.cares.all()] == [
        *[("turn", 1)] * 3, *[("brush", 2)] * 3,
    ]  # fmt: skip
    ageing.press(K.Key_Z, CTRL)
    ageing.press(K.Key_Z, CTRL)
    assert journal.cares.all() == []
    ageing.press(K.Key_Home)
    assert ageing.page.shelf_act.text() == "Turn 3 wheels in the Cellar"


def test_arrows_and_clicks_go_along_the_shelves(ageing: Ageing, qtbot) -> None:
    assert (ageing.code, ageing.rack.hasFocus()) == ("HL-0002-A", True)
    ageing.press(K.Key_Up)
    assert ageing.code == "HL-0001-A"
    ageing.press(K.Key_Right)
    ageing.press(K.Key_Right)
    assert ageing.code == "HL-0001-C"
    ageing.press(K.Key_Down)
    assert ageing.code == "HL-0002-C"
    ageing.press(K.Key_Home)
    assert ageing.code == "HL-0001-A"
    last = ageing.page.rows()[-1]
    QTest.mouseClick(ageing.rack, LEFT, pos=ageing.spot(last.wheel_id))
    assert ageing.code == last.code
    qtbot.waitUntil(lambda: ageing.place.head.text() == last.code)
    assert "Cellar: 3 wheels, 3 to do; Larder" in ageing.rack.accessibleDescription()
    ageing.hands.type("1")
    assert ageing.page.field.line.text() == "1"  # a digit is its weight
    ageing.press(K.Key_Escape)
    assert ageing.rack.hasFocus()


def test_a_wheel_is_dragged_to_another_shelf(ageing: Ageing, journal: Journal) -> None:
    wheel = journal.wheel_by_code("HL-0001-B")
    start = ageing.spot(wheel.id)
    end = ageing.rack.shelf_box(1).center().toPoint()
    QTest.mousePress(ageing.rack, LEFT, pos=start)
    QTest.mouseMove(ageing.rack, (start + end) / 2)
    QTest.mouseMove(ageing.rack, end)
    QTest.mouseRelease(ageing.rack, LEFT, pos=end)
    assert ageing.page.current().code == "HL-0001-B"
    assert ageing.page.current().room == "Larder"
    assert [care.kind for care in journal.cares.where(wheel_id=wheel.id)] == ["move"]
    assert "Larder" in ageing.place.messages.text("room")
    ageing.press(K.Key_Z, CTRL)
    assert ageing.page.current().room == "Cellar"
    assert journal.cares.where(wheel_id=wheel.id) == []
    # Put down where it lay, or beside all shelves, it stays.
    for spot in (start + QPoint(20, 0), QPoint(5, ageing.rack.height() - 1)):
        QTest.mousePress(ageing.rack, LEFT, pos=start)
        QTest.mouseMove(ageing.rack, spot)
        QTest.mouseRelease(ageing.rack, LEFT, pos=spot)
    assert journal.wheel_by_code("HL-0001-B").room_id == wheel.room_id


def test_due_wheels_are_raised_and_the_week_says_what_comes(ageing: Ageing) -> None:
    week = ageing.page.week
    assert "Tue 3: turn 6" in week.accessibleDescription()
    rack = ageing.rack
    ageing.press(K.Key_Home)
    seat = rack.slot_of(ageing.page.rows()[-1].wheel_id)
    top = QPointF(seat.box.center().x(), seat.box.top())
    rim = _first_ink(rack, top)
    for _ in range(2):
        ageing.press(K.Key_Return, CTRL | SHIFT)
    assert _first_ink(rack, top) > rim


def test_the_list_or_the_shelves_are_remembered(window_on, ageing: Ageing, journal) -> None:
    ageing.press(K.Key_L)
    assert ageing.page.table.hasFocus()
    assert ageing.page.turn_list.text() == "L shelves"
    ageing.window.close()
    again = Ageing(window_on, journal, 2)
    assert again.page.table.isVisible()
    QTest.mouseClick(again.page.turn_list, LEFT)
    assert again.rack.isVisible()


def _first_ink(rack, top: QPointF) -> int:
    """How far below a place's upper edge its disc begins, px."""
    image = rack.grab().toImage()
    paper = image.pixelColor(1, 1)
    x, y = round(top.x()) - 6, round(top.y()) - 4
    return next(n for n in range(90) if image.pixelColor(x, y + n) != paper)
