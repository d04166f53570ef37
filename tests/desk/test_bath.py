"""A second thermometer, in the bath the vat stands in: typed, sent by a sensor, checked apart."""

from __future__ import annotations

import json

import pytest
from PySide6.QtCore import Qt

from journal.desk.vat.checks import InstrumentCheck
from journal.keeping import Journal
from journal.records.calibrations import Calibration
from journal.records.sources import TOPIC, Source
from tests.desk.hands import Hands
from tests.desk.test_sensors import lines_of, sources_dialog
from tests.exchange.sensors.real_broker import Broker, Publisher

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
ENTER, ESC, F4, F6 = Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_F4, Qt.Key.Key_F6


def read(journal: Journal, make_id: int, kind: str) -> list[float]:
    return journal.readings.trace(make_id, kind).sound().value.tolist()


def test_the_bath_is_typed_once_and_then_the_milk_again(vat, hands, kitchen):
    page = vat.page
    hands.press(F6, SHIFT).type("46.5").press(ENTER)
    assert page.entry.temp_kind == "milk-temp"
    hands.type("33.1").press(ENTER)
    if page.entry.temp.box.wrong:
        hands.press(ENTER)
    journal, make_id = kitchen.journal, kitchen.make.id
    assert (read(journal, make_id, "bath-temp"), read(journal, make_id, "milk-temp")) == (
        [46.5], [33.1],
    )  # fmt: skip
    assert [one.kind for one in journal.readings.last(make_id)] == ["milk-temp", "bath-temp"]
    hands.press(F6, SHIFT).press(ESC)
    assert page.entry.temp_kind == "milk-temp"
    hands.press(Qt.Key.Key_Down).press(Qt.Key.Key_Down).press(Qt.Key.Key_F2)
    assert page.entry.temp_kind == "bath-temp"
    page.entry.temp.line.selectAll()
    hands.type("45.6").press(ENTER)
    assert read(journal, make_id, "bath-temp") == [45.6]
    assert page.entry.temp_kind == "milk-temp"


def test_a_bath_half_typed_is_the_baths_after_a_new_start(qtbot, kitchen, vat, hands, window_on):
    hands.press(F6, SHIFT).type("52")
    vat.window().close()
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(window.settled)
    entry = window.current.page.entry
    assert (entry.texts()[0], entry.temp_kind) == ("52", "bath-temp")
    Hands(window).press(ENTER)
    assert read(kitchen.journal, kitchen.make.id, "bath-temp") == [52.0]


def test_its_thermometer_has_a_check_of_its_own(qtbot, vat, hands, kitchen):
    journal, make_id = kitchen.journal, kitchen.make.id
    hands.press(F4, CTRL | SHIFT)
    shown = next(one for one in vat.window().findChildren(InstrumentCheck) if one.isVisible())
    shown.activateWindow()
    qtbot.waitUntil(shown.isActiveWindow)
    assert shown.instrument == "bath-thermometer"
    Hands(shown).type("0.6").press(ENTER)
    qtbot.waitUntil(lambda: journal.calibrations.where(make_id=make_id) != [])
    at_ms = kitchen.clock()
    journal.readings.log(make_id, "bath-temp", 45.6, at_ms)
    journal.readings.log(make_id, "milk-temp", 31.6, at_ms)
    assert read(journal, make_id, "bath-temp") == [pytest.approx(45.0)]
    assert read(journal, make_id, "milk-temp") == [31.6]
    journal.calibrations.save(Calibration(make_id, "thermometer", at_ms, (0.0,), (0.4,)))
    assert read(journal, make_id, "bath-temp") == [pytest.approx(45.0)]
    assert read(journal, make_id, "milk-temp") == [pytest.approx(31.2)]


def test_a_sensor_on_a_real_broker_sends_it(qtbot, vat, kitchen, tmp_path):
    broker = Broker(tmp_path)
    broker.start()
    publisher = Publisher(broker.port)
    window = vat.window()
    try:
        settings = {"host": "127.0.0.1", "port": broker.port, "topic": "kitchen/vat",
                    "field": "probe.temp", "count": "n"}  # fmt: skip
        journal, make_id = kitchen.journal, kitchen.make.id
        sources_dialog(qtbot, window).accept()
        journal.sources.save(
            Source("bath probe", TOPIC, "bath-temp", "degC", json.dumps(settings), make_id)
        )
        qtbot.waitUntil(publisher.client.is_connected)
        qtbot.waitUntil(lambda: "connected" in "".join(lines_of(window)), timeout=30_000)
        for number in (1, 2):
            publisher.send(json.dumps({"n": number, "probe": {"temp": 44 + number / 100}}))
        qtbot.waitUntil(lambda: len(read(journal, make_id, "bath-temp")) == 2, timeout=30_000)
        assert read(journal, make_id, "milk-temp") == []
        assert read(journal, make_id, "bath-temp") == [44.01, 44.02]
    finally:
        window.stop_sensors()
        publisher.close()
        broker.end()
