"""Live sensors in the window, on a real file that grows and a real serial line."""

from __future__ import annotations

import gc
import json
import os
import tty
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from time import perf_counter, thread_time

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from journal.desk.sensors.dialog import SensorsDialog
from journal.desk.sensors.password import AskPassword
from journal.desk.sensors.setup import SetUp
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import understand
from journal.keeping import Journal
from journal.message import Message
from journal.records.plans import new_uuid
from journal.records.sources import FILE, LINE, TOPIC, Source
from tests.desk.hands import read_beside

HEADER = "Time,Probe (°C)\n"
CTRL = Qt.KeyboardModifier.ControlModifier
MOST = 2.0  # times the longest hold of a bare curve that is given the same, both alone at work


def row(at_ms: int, value: float) -> str:
    return f"{datetime.fromtimestamp(at_ms / 1000, UTC):%Y-%m-%d %H:%M:%S},{value:.2f}\n"


class Logger:
    """Appends a row whenever it is told to."""

    def __init__(self, path: Path, start_ms: int) -> None:
        self.path = path
        self.start_ms = start_ms
        self.rows = 0
        path.write_text(HEADER)

    def write(self, count: int, every_ms: int = 1000) -> None:
        with self.path.open("a") as file:
            for _ in range(count):
                at = self.start_ms + every_ms * self.rows
                file.write(row(at, 30 + self.rows % 500 / 100))
                self.rows += 1

    def write_on(self) -> None:
        """One row more, as often as 5,000 an hour."""
        self.write(1, 720)

    def source(self, make_id: int | None = None) -> Source:
        mapping = understand(read_table((HEADER + row(self.start_ms, 30)).encode())).mapping
        settings = {"path": str(self.path), "mapping": mapping.to_dict()}
        return Source("vat probe", FILE, "milk-temp", "", json.dumps(settings), make_id)


@pytest.fixture
def logger(kitchen, tmp_path) -> Logger:
    return Logger(tmp_path / "logger.csv", kitchen.start_ms)


@pytest.fixture
def window(qtbot, kitchen, window_on):
    kitchen.after(1)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(window.settled)
    yield window
    window.stop_sensors()


def saved(kitchen) -> np.ndarray:
    with Journal.open(kitchen.journal.path, read_only=True) as other:
        return other.readings.trace(kitchen.make.id, "milk-temp").value


def lines_of(window) -> list[str]:
    return [line.label.text() for line in window.place("vat").sensors.lines]


def dialog_of(window, kind):
    found = [d for d in window.findChildren(kind) if d.isVisible()]
    return found[-1] if found else None


def open_dialog(qtbot, window, kind):
    qtbot.waitUntil(lambda: dialog_of(window, kind) is not None)
    return dialog_of(window, kind)


def sources_dialog(qtbot, window) -> SensorsDialog:
    window.show_sensors()
    return open_dialog(qtbot, window, SensorsDialog)


def switch_on(window, source: Source) -> Source:
    window.desk.sensors.made()
    return window.journal.sources.save(source)


# Switched on, silent, off


def test_nothing_runs_before_a_source_is_switched_on(qtbot, kitchen, window, logger):
    kitchen.journal.sources.save(logger.source())
    assert window.desk.sensors.bridge is None
    assert lines_of(window) == []
    assert not window.place("vat").sensors.isVisible()


def test_readings_arrive_are_kept_and_shown(qtbot, kitchen, window, logger):
    logger.write(3)
    switch_on(window, logger.source(kitchen.make.id))
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 3)
    logger.write(4)
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 7)
    assert saved(kitchen).tolist() == [30.0, 30.01, 30.02, 30.03, 30.04, 30.05, 30.06]
    qtbot.waitUntil(lambda: lines_of(window) == ["vat probe: 30.1 °C at 09:00:06"])
    vat = window.place("vat")
    qtbot.waitUntil(lambda: len(vat.chart._day.whole.trace("milk-temp")) == 7)
    assert kitchen.journal.undo_name in (
        Message("keeping.act-keep", noun="source"),
        Message("keeping.act-begin-make"),
    )


def test_silence_is_said_after_a_minute_and_forgotten(qtbot, kitchen, window, logger):
    logger.write(1)
    switch_on(window, logger.source(kitchen.make.id))
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 1)
    vat = window.place("vat")
    name = "silent"
    kitchen.now_ms += 59_000
    window.desk.sensors.bridge.look()
    assert vat.messages.text(name) == ""
    kitchen.now_ms += 1_000
    window.desk.sensors.bridge.look()
    assert lines_of(window) == ["vat probe: silent since 09:01, last 30.0 °C at 09:00:00"]
    assert "since 09:01" in vat.messages.text(name)
    assert vat.sensors.lines[0].mark.isVisible()
    logger.write(1)
    qtbot.waitUntil(lambda: vat.messages.text(name) == "")
    qtbot.waitUntil(lambda: lines_of(window) == ["vat probe: 30.0 °C at 09:00:01"])


def test_the_end_of_the_make_and_undo_switch_a_source(qtbot, kitchen, window, logger):
    logger.write(1)
    source = kitchen.journal.sources.save(logger.source())
    dialog = sources_dialog(qtbot, window)
    assert dialog.switch.text() == "Switch on for HL-0001"
    dialog.switch.click()
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 1)
    assert kitchen.journal.undo_name == Message("switch vat probe on")
    window.undo()
    assert lines_of(window) == []
    window.redo()
    qtbot.waitUntil(lambda: len(lines_of(window)) == 1)
    kitchen.journal.makes.finish(kitchen.make.id, [1.0], kitchen.after(600))
    assert lines_of(window) == []
    assert kitchen.journal.sources.get(source.id).make_id == kitchen.make.id
    dialog.accept()


def test_a_window_that_opens_goes_on_where_the_last_one_was(qtbot, kitchen, window_on, logger):
    logger.write(50)
    kitchen.journal.sources.save(logger.source(kitchen.make.id))
    kitchen.after(1)
    first = window_on(kitchen.journal, clock=kitchen.clock, place="today")
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 50)
    first.close()
    logger.write(50)
    second = window_on(kitchen.journal, clock=kitchen.clock, place="today")
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 100)
    second.stop_sensors()
    assert len(saved(kitchen)) == 100


def test_a_journal_that_refuses_loses_nothing(qtbot, kitchen, window, logger):
    import sqlite3

    logger.write(1)
    switch_on(window, logger.source(kitchen.make.id))
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 1)
    window.desk.sensors.bridge.again_ms = 50
    qtbot.waitUntil(window.settled)
    kitchen.journal._db.execute("pragma busy_timeout = 1")
    held = sqlite3.connect(kitchen.journal.path, isolation_level=None)
    held.execute("begin immediate")
    logger.write(5)
    vat = window.place("vat")
    qtbot.waitUntil(lambda: "tried again" in vat.messages.text("sensors"))
    held.execute("rollback")
    held.close()
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 6, timeout=15_000)


# Setting up


@pytest.fixture
def cable(tmp_path: Path) -> Iterator[tuple[int, str]]:
    try:
        far, near = os.openpty()
    except (AttributeError, OSError):
        pytest.skip("no pseudo-terminals here")
    tty.setraw(near)
    yield far, os.ttyname(near)
    os.close(far)
    os.close(near)


def test_a_serial_line_is_set_up_tried_and_kept(qtbot, kitchen, window, cable):
    far, device = cable
    dialog = sources_dialog(qtbot, window)
    assert not dialog.table.rows
    dialog.set_up.click()
    made = open_dialog(qtbot, window, SetUp)
    made.name.setText("vat probe")
    made.kind.setCurrentIndex(made.kind.findData(LINE))
    made.kind.activated.emit(made.kind.currentIndex())
    made.unit.setCurrentIndex(made.unit.findData("degF"))
    made.line.lines["device"].setText(device)
    made.line.lines["pattern"].setText("T=(")
    made.try_it.click()
    assert "not a regular expression" in made.preview.state.text()
    made.line.lines["pattern"].setText(r"T=(\S+)")
    made.try_it.click()
    qtbot.waitUntil(lambda: made.preview.state.text().endswith("connected, no reading yet"))
    os.write(far, b"T=88.7\nT=?\n")
    qtbot.waitUntil(lambda: made.preview.raw[1].text() != "")
    shown = [(made.preview.raw[n].text(), made.preview.words[n].text()) for n in (1, 0)]
    assert shown == [("T=88.7", "milk 31.5 °C"), ("T=?", "▲ there is no value")]
    assert len(saved(kitchen)) == 0, "a try keeps nothing"
    made.save.click()
    source = kitchen.journal.sources.all()[0]
    assert (source.name, source.kind, source.unit) == ("vat probe", LINE, "degF")
    assert source.options == {"device": device, "pattern": r"T=(\S+)"}
    qtbot.waitUntil(lambda: len(dialog.table.rows) == 1)
    dialog.switch.click()
    qtbot.waitUntil(lambda: lines_of(window) == ["vat probe: connected, no reading yet"])
    os.write(far, b"T=88.7\n")
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 1)
    dialog.accept()


def test_a_file_is_set_up_by_its_columns(qtbot, kitchen, window, logger):
    logger.write(5)
    dialog = sources_dialog(qtbot, window)
    dialog.set_up.click()
    made = open_dialog(qtbot, window, SetUp)
    made.name.setText("vat probe")
    made.file.path.setText(str(logger.path))
    made.file.read()
    qtbot.waitUntil(lambda: made.file.reading() == "milk-temp")
    made.try_it.click()
    qtbot.waitUntil(lambda: made.preview.words[0].text() == "milk 30.0 °C")
    QTest.keyClick(made.name, Qt.Key.Key_Return)
    assert kitchen.journal.undo_name == Message("set up vat probe")
    source = kitchen.journal.sources.all()[0]
    assert source.options["mapping"]["kinds"] == {"Probe (°C)": "milk-temp"}
    dialog.accept()


def test_a_name_comes_once_and_what_is_missing_is_said(qtbot, kitchen, window, logger):
    kitchen.journal.sources.save(logger.source())
    dialog = sources_dialog(qtbot, window)
    dialog.set_up.click()
    made = open_dialog(qtbot, window, SetUp)
    made.save.click()
    assert "name" in made.fault.text()
    made.name.setText("vat probe")
    made.file.path.setText(str(logger.path))
    made.save.click()
    assert "not known yet" in made.fault.text()
    logger.write(3)
    made.file.read()
    qtbot.waitUntil(lambda: made.file.reading() == "milk-temp")
    made.save.click()
    assert "sensor called vat probe" in made.fault.text()
    made.reject()
    dialog.remove.click()
    dialog.asking.yes.click()
    assert kitchen.journal.sources.all() == []
    assert dialog.pages.currentIndex() == 1, "what a sensor is stands on the empty page"
    dialog.accept()


def test_no_password_gets_into_the_journal(qtbot, kitchen, window):
    dialog = sources_dialog(qtbot, window)
    dialog.set_up.click()
    made = open_dialog(qtbot, window, SetUp)
    made.name.setText("topic")
    made.kind.setCurrentIndex(made.kind.findData(TOPIC))
    made.kind.activated.emit(made.kind.currentIndex())
    for key, text in (("host", "127.0.0.1"), ("topic", "kitchen/vat"), ("user", "vat")):
        made.topic.lines[key].setText(text)
    made.topic.lines["password"].setText("rennet at 31")
    made.save.click()
    source = kitchen.journal.sources.all()[0]
    assert source.options == {"host": "127.0.0.1", "topic": "kitchen/vat", "user": "vat"}
    assert window.desk.sensors.bridge.password_of(source) == "rennet at 31"
    qtbot.waitUntil(window.settled)
    kitchen.journal.back_up(kitchen.now_ms)
    for path in kitchen.journal.path.parent.rglob("kitchen*.vatside*"):
        if path.is_file():
            assert b"rennet at 31" not in read_beside(path)
    dialog.accept()


def test_a_missing_password_is_asked_for_in_the_probes_line(qtbot, kitchen, window):
    settings = json.dumps({"host": "127.0.0.1", "port": 1, "topic": "t", "user": "vat"})
    switch_on(window, Source("topic", TOPIC, "milk-temp", "", settings, kitchen.make.id))
    vat = window.place("vat")
    qtbot.waitUntil(lambda: vat.sensors.lines and vat.sensors.lines[0].password.isVisible())
    vat.sensors.lines[0].password.click()
    asked = open_dialog(qtbot, window, AskPassword)
    asked.field.line.setText("rennet at 31")
    QTest.keyClick(asked.field.line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "No broker answers" in lines_of(window)[0])
    assert not vat.sensors.lines[0].password.isVisible()


# Pace


class Heartbeat:
    """How long the UI thread worked between two turns of its loop, ms of its own time, which a
    busy machine makes less longer than the clock's."""

    def __init__(self) -> None:
        self.work: list[float] = []
        self._timer = QTimer()
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(1)
        self._timer.timeout.connect(self._on_beat)

    def run(self, qtbot, seconds: float) -> None:
        """Beat for so long."""
        self.work = []
        self._seen = thread_time()
        self._timer.start()
        end = perf_counter() + seconds
        qtbot.waitUntil(lambda: perf_counter() > end, timeout=round(seconds * 3000))
        self._timer.stop()

    def _on_beat(self) -> None:
        before, self._seen = self._seen, thread_time()
        self.work.append(1000 * (self._seen - before))


@pytest.fixture
def settled_memory():
    """What earlier tests left in memory is not looked through for rubbish: as the program does
    once its window stands."""
    gc.collect()
    gc.freeze()
    yield
    gc.unfreeze()


@pytest.mark.slow
def test_five_thousand_readings_an_hour_do_not_block_the_window(
    qtbot, kitchen, window, logger, record_property, settled_memory
):
    """Twelve hours of a make behind it; then the sensor's rows go on at that pace."""
    every_ms = 3_600_000 // 5_000
    logger.write(12 * 5_000, every_ms)
    kitchen.now_ms = kitchen.start_ms + 12 * 3_600_000
    switch_on(window, logger.source(kitchen.make.id))
    qtbot.waitUntil(lambda: len(saved(kitchen)) == logger.rows, timeout=60_000)
    qtbot.waitUntil(window.settled)
    writer = QTimer()
    writer.setInterval(every_ms)
    writer.timeout.connect(logger.write_on)
    before, beat = logger.rows, Heartbeat()
    bare = BareCurve(qtbot, logger.rows, every_ms)
    held: list[float] = []
    bare_held: list[float] = []
    for _ in range(5):  # in turns: what else the machine does is in both
        qtbot.waitUntil(lambda: len(saved(kitchen)) == logger.rows and window.settled())
        qtbot.wait(0)  # what was read last is drawn before the bare curve has its turn
        bare_held.append(bare.longest_hold(beat, 2))
        writer.start()
        beat.run(qtbot, 2)
        writer.stop()
        held.append(max(beat.work))
    bare.plot.close()
    record_property("middle hold to bare", f"{median(held) / median(bare_held):.2f}")
    assert logger.rows - before >= 8
    assert len(saved(kitchen)) > before, "readings did arrive meanwhile"
    assert median(held) < MOST * median(bare_held)


class BareCurve:
    """The same readings in a plot with one curve, given all of them anew each second."""

    def __init__(self, qtbot, count: int, every_ms: int) -> None:
        self._qtbot = qtbot
        self.plot = pg.PlotWidget()
        qtbot.addWidget(self.plot)
        self.plot.resize(900, 600)
        at = np.arange(count) * every_ms / 1000
        curve = self.plot.plot(at, 31 + np.sin(at / 900), pen=pg.mkPen("k", width=1.5))
        self.plot.show()
        qtbot.waitExposed(self.plot)
        self._timer = QTimer()
        self._timer.setInterval(1000)
        self._timer.timeout.connect(lambda: curve.setData(at, 31 + np.sin(at / 900)))

    def longest_hold(self, beat: Heartbeat, seconds: float) -> float:
        """The longest work between two turns of the loop in so many seconds, ms."""
        self._timer.start()
        beat.run(self._qtbot, seconds)
        self._timer.stop()
        return max(beat.work)


def test_a_password_without_tls_is_warned_of(qtbot, kitchen, window):
    sources_dialog(qtbot, window).set_up.click()
    made = open_dialog(qtbot, window, SetUp)
    made.kind.setCurrentIndex(made.kind.findData(TOPIC))
    made.kind.activated.emit(made.kind.currentIndex())
    assert made.fault.text() == ""
    QTest.keyClicks(made.topic.lines["user"], "vat")
    assert made.fault.text().startswith("▲ Without TLS anyone on the way can read")
    choice = made.topic.choices["tls"]
    choice.setFocus()
    QTest.keyClick(choice, Qt.Key.Key_Down)
    assert made.fault.text() == ""
    made.reject()


def test_what_is_open_over_the_sensors_outlasts_a_choice_of_units(qtbot, kitchen, window, logger):
    """They are stopped and begun anew then: the list closes, what is typed stays and is saved."""
    switch_on(window, logger.source(kitchen.make.id))
    listed = sources_dialog(qtbot, window)
    listed.set_up.click()
    form = open_dialog(qtbot, window, SetUp)
    form.name.setText("spare")
    old = window.desk.sensors
    window.looks.changed.emit()  # as another window of the program, in which units were chosen
    qtbot.waitUntil(lambda: window.desk.sensors is not old)
    assert old.bridge is None
    assert not listed.isVisible()
    assert form.isVisible()
    assert form.name.text() == "spare"
    assert form._bridge() is window.desk.sensors.bridge
    form.reject()


def test_the_list_of_sensors_is_worked_by_keys_and_follows_the_file(qtbot, kitchen, window, logger):
    """Filter, copy, switch, correct and delete without the mouse; what another window did to the
    file is seen at once, and what was done here is undone there."""
    for name in ("spare", "vat probe"):
        kitchen.journal.sources.save(replace(logger.source(), name=name, uuid=new_uuid()))
    dialog = sources_dialog(qtbot, window)
    table = dialog.table
    dialog.activateWindow()
    qtbot.waitUntil(dialog.isActiveWindow)
    assert table.current().name == "spare"
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_C, CTRL)
    assert QApplication.clipboard().text().splitlines()[1] == "spare\tmilk\t\toff"
    menu = table.menu()
    titles = [action.text().partition("\t")[0] for action in menu.actions() if action.text()]
    assert titles[:3] == ["Switch on for HL-0001", "Change", "Delete"]
    menu.deleteLater()
    QTest.keyClick(table, Qt.Key.Key_Down)
    QTest.keyClick(table, Qt.Key.Key_Tab)
    QTest.keyClick(dialog.focusWidget(), Qt.Key.Key_Space)
    assert [one.name for one in kitchen.journal.sources.all() if one.is_on] == ["vat probe"]
    assert table.current().name == "vat probe"
    window.undo()
    assert table.rows_model.as_text(table.rows).splitlines()[2] == "vat probe\tmilk\t\toff"
    with Journal.open(kitchen.journal.path) as beside:
        spare = next(one for one in beside.sources.all() if one.name == "spare")
        beside.sources.save(replace(spare, name="a spare one"))
    qtbot.waitUntil(lambda: [one.name for one in table.rows] == ["a spare one", "vat probe"])
    assert table.current().name == "vat probe"
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_F2)
    open_dialog(qtbot, window, SetUp).reject()
    QTest.keyClick(table, Qt.Key.Key_Delete)
    QTest.keyClick(dialog.asking.yes, Qt.Key.Key_Return)
    assert [one.name for one in table.rows] == ["a spare one"]
    dialog.accept()
    window.undo()
    again = sources_dialog(qtbot, window)
    assert [one.name for one in again.table.rows] == ["a spare one", "vat probe"]
    again.accept()
