"""A room that is out of its range for an hour is said at Today and by the alarm, once."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget

from journal.desk.watch import Watch
from journal.records.wheels import AirReading, Room
from journal.reports.agenda import agenda_of
from tests.records.test_clocks import Machine

HOUR = 3_600_000


@pytest.fixture
def cellar(kitchen) -> Room:
    """A room with the make's wheels in it, dry since the make began."""
    journal = kitchen.journal
    room = journal.shelves.set_room(Room("Cellar", 12.0, 85.0))
    wheels = journal.makes.finish(kitchen.make.id, [0.8], kitchen.start_ms + HOUR)
    journal.shelves.move(wheels, room, kitchen.start_ms + HOUR)
    for hour in range(3):
        at = kitchen.start_ms + (hour + 1) * HOUR
        journal.air.note(AirReading(room.id, at, 12.0, 71.0))
    return room


def test_it_stands_at_today_while_it_lasts(kitchen, cellar) -> None:
    journal, now = kitchen.journal, kitchen.start_ms + 4 * HOUR
    item = next(i for i in agenda_of(journal, now).now if i.title == "Cellar is out of range")
    assert item.late
    assert item.detail.startswith("71 %, too dry since")
    assert item.detail.endswith("allowed 80 to 90 %")
    journal.air.note(AirReading(cellar.id, now, 12.0, 84.0))
    assert all(i.title != "Cellar is out of range" for i in agenda_of(journal, now).now)


def test_the_alarm_tells_it_once_and_again_when_it_comes_back(kitchen, cellar, qtbot) -> None:
    machine, window, output = Machine(), QWidget(), []
    qtbot.addWidget(window)
    machine.wall = machine.true = kitchen.start_ms + 4 * HOUR
    watch = Watch(window, kitchen.journal, machine.clocks(), 86_400_000)
    watch.rang.connect(output.append)
    for _ in range(3):
        machine.run(2 * 60_000)
        watch.alarm.tick()
    assert len(output) == 1
    assert output[0].startswith("Cellar: 71 %, too dry since")
    key = cellar.id
    for hour, humid in ((5, 85.0), (6, 95.0), (7, 95.0)):
        kitchen.journal.air.note(AirReading(key, kitchen.start_ms + hour * HOUR, 12.0, humid))
    machine.run(4 * HOUR)
    watch.alarm.tick()
    assert output[1].startswith("Cellar: 95 %, too damp since")
    assert len(output) == 2
    watch.end()
