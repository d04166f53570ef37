"""Sensors of a room's air in the window, without a make in the vat: a real broker, a file that
grows, the alarm for what is out of range."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.sensors.bridge import ROOM_SILENT_MS
from journal.desk.sensors.setup import SetUp
from journal.desk.watch import Watch
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import understand
from journal.keeping import Journal
from journal.records.instants import local
from journal.records.sources import FILE, TOPIC, Source
from journal.records.wheels import Room
from tests.desk.test_sensors import open_dialog, sources_dialog
from tests.desk.test_sensors_in_a_make import broker, choose, publisher
from tests.records.test_clocks import Machine

__all__ = ["broker", "publisher"]

MINUTE, HOUR = 60_000, 3_600_000


@pytest.fixture
def cellar(kitchen) -> Room:
    """A room with the wheels of a make that is finished: nothing runs."""
    journal = kitchen.journal
    room = journal.shelves.set_room(Room("Cellar", 12.0, 85.0))
    wheels = journal.makes.finish(kitchen.make.id, [0.8], kitchen.start_ms + HOUR)
    journal.shelves.move(wheels, room, kitchen.start_ms + HOUR)
    return room


@pytest.fixture
def window(qtbot, kitchen, cellar, window_on):
    kitchen.after(24 * 60)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="room")
    qtbot.waitUntil(window.settled)
    yield window
    window.stop_sensors()


def air(kitchen, room: Room):
    with Journal.open(kitchen.journal.path, read_only=True) as other:
        return other.air.trace(room.id or 0)


def lines_of(window) -> list[str]:
    return [line.label.text() for line in window.place("room").sensors.lines]


def humid(port: int, room_id: int | None = None) -> Source:
    settings = {"host": "127.0.0.1", "port": port, "topic": "kitchen/vat", "field": "h"}
    return Source("cellar air", TOPIC, "room-humidity", "percent", json.dumps(settings),
                  room_id=room_id)  # fmt: skip


def test_a_topic_is_set_up_and_given_to_a_room(
    qtbot, kitchen, window, cellar, broker, publisher
) -> None:
    dialog = sources_dialog(qtbot, window)
    dialog.set_up.click()
    made = open_dialog(qtbot, window, SetUp)
    made.name.setText("cellar air")
    choose(made.kind, TOPIC)
    choose(made.reading, "room-humidity")
    for key, text in {"host": "127.0.0.1", "port": str(broker.port), "topic": "kitchen/vat",
                      "field": "h"}.items():  # fmt: skip
        made.topic.lines[key].setText(text)
    made.save.click()
    qtbot.waitUntil(lambda: len(dialog.table.rows) == 1)
    assert dialog.switch.text() == "Switch on for Cellar"
    QTest.mouseClick(dialog.switch, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: lines_of(window) == ["Cellar · cellar air: connected, no reading yet"])
    assert dialog.switch.text() == "Switch off for Cellar"
    dialog.accept()
    publisher.send(json.dumps({"h": 84}))
    qtbot.waitUntil(lambda: air(kitchen, cellar).humidity_pct.tolist() == [84.0])
    publisher.send(json.dumps({"h": 83}))  # within the same minute: shown, not saved
    qtbot.waitUntil(lambda: "83 %" in lines_of(window)[0])
    assert air(kitchen, cellar).humidity_pct.tolist() == [84.0]
    heads = window.place("room").page.rack.accessibleDescription()
    assert heads.startswith("Cellar: 1 wheel")
    assert window.place("vat").sensors.lines == []
    # Out of range for an hour: the alarm says it, with nothing in the vat.
    kitchen.after(24 * 60 + 5)
    publisher.send(json.dumps({"h": 71}))
    qtbot.waitUntil(lambda: air(kitchen, cellar).humidity_pct.tolist()[-1] == 71.0)
    kitchen.after(24 * 60 + 75)
    publisher.send(json.dumps({"h": 70}))
    qtbot.waitUntil(lambda: air(kitchen, cellar).humidity_pct.tolist()[-1] == 70.0)
    machine, output = Machine(), []
    machine.wall = machine.true = kitchen.clock()
    watch = Watch(window, kitchen.journal, machine.clocks(), 86_400_000)
    watch.rang.connect(output.append)
    machine.run(2 * MINUTE)
    watch.alarm.tick()
    watch.end()
    assert output
    assert output[0].startswith("Cellar: 70 %, too dry since")
    # Switched off again, and what came stays.
    dialog = sources_dialog(qtbot, window)
    dialog.switch.click()
    qtbot.waitUntil(lambda: lines_of(window) == [])
    dialog.accept()
    assert len(air(kitchen, cellar).at_ms) == 3


def test_a_room_or_the_make_is_chosen_by_key(qtbot, kitchen, window_on) -> None:
    """A running make and two rooms: what measures milk is offered the make first."""
    journal = kitchen.journal
    rooms = [journal.rooms.save(Room(name)) for name in ("Cellar", "Larder")]
    journal.sources.save(humid(1))
    journal.sources.save(Source("vat", TOPIC, "milk-temp", "degC", humid(1).settings))
    kitchen.after(1)
    window = window_on(journal, clock=kitchen.clock, place="room")
    dialog = sources_dialog(qtbot, window)
    dialog.table.setFocus()
    offered = []
    for _ in range(2):
        offered.append(next(command.title for command in dialog.commands()))
        QTest.keyClick(dialog.table, Qt.Key.Key_Down)
    assert offered == ["Switch on for Cellar", f"Switch on for {kitchen.make.code}"]
    QTest.keyClick(dialog.table, Qt.Key.Key_Up)
    QTest.keyClick(dialog.table, Qt.Key.Key_Tab)
    assert dialog.focusWidget() is dialog.switch
    QTest.keyClick(dialog.switch, Qt.Key.Key_Space)
    menu = QApplication.activePopupWidget()
    for key in (Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Return):
        QTest.keyClick(menu, key)
    source = journal.sources.all()[0]
    assert (source.room_id, source.make_id) == (rooms[1].id, None)
    dialog.accept()
    window.stop_sensors()


def test_a_file_goes_on_where_it_was_and_is_silent_only_after_hours(
    qtbot, kitchen, cellar, window_on, tmp_path: Path
) -> None:
    path, zone = tmp_path / "cellar.csv", kitchen.journal.zone
    kitchen.after(24 * 60)

    def write(first: int, count: int) -> None:
        with path.open("a", encoding="utf-8") as file:
            for n in range(first, first + count):
                at = local(kitchen.start_ms + (23 * 60 + 10 * n) * MINUTE, zone)
                file.write(f"{at:%Y-%m-%d %H:%M:%S},{11 + n / 10:.1f},{80 + n}\n")

    path.write_text("Time,Room temperature (°C),Humidity (%)\n", encoding="utf-8")
    write(0, 3)
    mapping = understand(read_table(path)).mapping.to_dict()
    settings = json.dumps({"path": str(path), "mapping": mapping})
    source = Source("logger", FILE, "room-temp", "", settings, room_id=cellar.id)
    kitchen.journal.sources.save(source)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="room")
    window.start_sensors()
    qtbot.waitUntil(lambda: len(air(kitchen, cellar).at_ms) == 3)
    kitchen.after(24 * 60 + ROOM_SILENT_MS / MINUTE - 5)
    window.desk.sensors.bridge.look()
    assert "silent" not in lines_of(window)[0]
    kitchen.after(24 * 60 + ROOM_SILENT_MS / MINUTE + 5)
    window.desk.sensors.bridge.look()
    assert lines_of(window)[0].startswith("Cellar · logger: silent since")
    assert "No reading has come from logger" in window.place("room").messages.text("silent")
    window.close()
    write(3, 2)
    again = window_on(kitchen.journal, clock=kitchen.clock, place="room")
    again.start_sensors()
    qtbot.waitUntil(lambda: len(air(kitchen, cellar).at_ms) == 5)
    assert air(kitchen, cellar).humidity_pct.tolist() == [80, 81, 82, 83, 84]
    again.stop_sensors()
