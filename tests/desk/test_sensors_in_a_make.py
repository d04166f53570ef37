"""Sensors through the real window while a make runs: a real broker killed, a file rotated, a line
pulled out; and nothing that connects unless it was set up and switched on."""

from __future__ import annotations

import json
import os
import signal
import socket
import tty
from collections.abc import Iterator

import keyring  # noqa: TID253 - a test's own keyring stands in for the system's
import pytest
from PySide6.QtCore import Qt

from journal.desk.sensors.dialog import SensorsDialog
from journal.desk.sensors.password import AskPassword
from journal.desk.sensors.setup import SetUp
from journal.desk.sensors.watch import LINES as LINES_SHOWN
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import understand
from journal.keeping import Journal
from journal.records.sources import FILE, LINE, TOPIC, Source
from tests.desk.hands import Hands, read_beside
from tests.desk.test_sensors import HEADER, lines_of, open_dialog, row, saved, sources_dialog
from tests.exchange.sensors.real_broker import PASSWORD, Broker, Publisher, guarded_broker
from tests.exchange.sensors.test_secrets import Ring

PATIENCE_MS = 30_000


@pytest.fixture
def window(qtbot, kitchen, window_on):
    kitchen.after(1)
    window = window_on(kitchen.journal, clock=kitchen.clock, place="vat")
    qtbot.waitUntil(window.settled)
    yield window
    window.stop_sensors()


@pytest.fixture
def ring() -> Iterator[Ring]:
    """A keyring of this test alone."""
    before = keyring.get_keyring()
    made = Ring()
    keyring.set_keyring(made)
    yield made
    keyring.set_keyring(before)


@pytest.fixture
def broker(tmp_path) -> Iterator[Broker]:
    made = Broker(tmp_path)
    made.start()
    yield made
    made.end()


@pytest.fixture
def publisher(broker, qtbot) -> Iterator[Publisher]:
    made = Publisher(broker.port)
    qtbot.waitUntil(made.client.is_connected)
    yield made
    made.close()


def choose(choice, key: str) -> None:
    choice.setCurrentIndex(choice.findData(key))
    choice.activated.emit(choice.currentIndex())


def output(number: int) -> str:
    return json.dumps({"n": number, "probe": {"temp": value(number)}})


def value(number: int) -> float:
    return round(30 + number / 100, 2)


def topic_on(port: int, name: str = "vat probe", make_id: int | None = None) -> Source:
    settings = {"host": "127.0.0.1", "port": port, "topic": "kitchen/vat", "field": "probe.temp",
                "count": "n"}  # fmt: skip
    return Source(name, TOPIC, "milk-temp", "degC", json.dumps(settings), make_id)


# A broker


def test_a_topic_is_set_up_tried_and_switched_on(qtbot, kitchen, window, broker, publisher):
    dialog = sources_dialog(qtbot, window)
    dialog.set_up.click()
    made = open_dialog(qtbot, window, SetUp)
    made.name.setText("vat probe")
    choose(made.kind, TOPIC)
    asked = {"host": "127.0.0.1", "port": str(broker.port), "topic": "kitchen/vat",
             "field": "probe.temp", "count": "n"}  # fmt: skip
    for key, text in asked.items():
        made.topic.lines[key].setText(text)
    made.try_it.click()
    preview = made.preview
    qtbot.waitUntil(lambda: preview.state.text().endswith("connected, no reading yet"))
    publisher.send(output(0), qos=0)
    qtbot.waitUntil(lambda: preview.words[0].text() == "milk 30.0 °C")
    assert "QoS 0" in preview.caution.text()
    publisher.send(output(1))
    qtbot.waitUntil(
        lambda: preview.words[0].text() == "milk 30.0 °C" and not preview.caution.text()
    )
    assert preview.state.text() == "vat probe: 30.0 °C at 09:01:00"
    made.save.click()
    qtbot.waitUntil(lambda: len(dialog.table.rows) == 1)
    dialog.switch.click()
    qtbot.waitUntil(lambda: lines_of(window) == ["vat probe: connected, no reading yet"])
    assert len(saved(kitchen)) == 0, "a try keeps nothing"
    publisher.send(output(2))
    qtbot.waitUntil(lambda: saved(kitchen).tolist() == [value(2)])
    dialog.accept()


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGKILL], ids=["ended", "killed"])
def test_the_broker_goes_and_comes_back_in_mid_make(qtbot, kitchen, window, broker, publisher, how):
    """The make goes on meanwhile: hands type on, the state is said, and it connects by itself."""
    sources_dialog(qtbot, window).accept()
    kitchen.journal.sources.save(topic_on(broker.port, make_id=kitchen.make.id))
    qtbot.waitUntil(lambda: "connected" in "".join(lines_of(window)))
    vat, number = window.place("vat"), 0
    for minutes in (2, 5):
        kitchen.after(minutes)
        for _ in range(10):
            publisher.send(output(number))
            number += 1
        qtbot.waitUntil(lambda: len(saved(kitchen)) == number + minutes // 3)  # noqa: B023
        qtbot.waitUntil(publisher.all_out)
        broker.end(how)
        qtbot.waitUntil(lambda: "No broker answers" in "".join(lines_of(window)))
        assert not vat.messages.text("silent"), "it is given a minute"
        kitchen.after(minutes + 1)
        window.desk.sensors.bridge.look()
        assert "out of reach for a minute" in vat.messages.text("silent")
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        Hands(window).type("30.7" if minutes == 2 else "30.8").press(Qt.Key.Key_Return)
        for _ in range(10):
            publisher.send(output(number))
            number += 1
        broker.start()
        qtbot.waitUntil(lambda: not vat.messages.text("silent"), timeout=PATIENCE_MS)
        qtbot.waitUntil(publisher.all_out, timeout=PATIENCE_MS)
        want = number + 1 + minutes // 3
        qtbot.waitUntil(lambda: len(saved(kitchen)) == want, timeout=PATIENCE_MS)  # noqa: B023
    with Journal.open(kitchen.journal.path, read_only=True) as other:
        trace = other.readings.trace(kitchen.make.id, "milk-temp")
        assert other.check() == []
    typed = [v for v in trace.value.tolist() if v > 30.5]
    assert typed == [30.7, 30.8]
    assert [v for v in trace.value.tolist() if v < 30.5] == [value(n) for n in range(number)]
    assert lines_of(window)[0].startswith(f"vat probe: {value(number - 1):.1f} °C at ")


def test_tls_and_a_password_that_is_nowhere_in_the_file(qtbot, kitchen, window, tmp_path, ring):
    """The password is asked for in the sensor's line, goes to the keyring, and the next window
    takes it from there."""
    broker = guarded_broker(tmp_path / "guarded")
    broker.start()
    publisher = Publisher(broker.port, guarded=broker)
    sources_dialog(qtbot, window).accept()
    settings = {"host": "localhost", "port": broker.port, "topic": "kitchen/vat", "user": "vat",
                "tls": True, "authority": broker.authority}  # fmt: skip
    source = kitchen.journal.sources.save(
        Source("vat probe", TOPIC, "milk-temp", "degC", json.dumps(settings), kitchen.make.id)
    )
    vat = window.place("vat")
    qtbot.waitUntil(lambda: vat.sensors.lines and vat.sensors.lines[0].password.isVisible())
    for typed, until in (("rennet at 13", "refused"), (PASSWORD, "connected, no reading yet")):
        vat.sensors.lines[0].password.click()
        asked = open_dialog(qtbot, window, AskPassword)
        asked.field.line.setText(typed)
        asked._on_use()
        qtbot.waitUntil(lambda: until in lines_of(window)[0])  # noqa: B023 - waited for here
    qtbot.waitUntil(lambda: ring.held == {("Vatside", source.uuid): PASSWORD})
    qtbot.waitUntil(publisher.client.is_connected)
    publisher.send("31.25")
    qtbot.waitUntil(lambda: saved(kitchen).tolist() == [31.25])
    window.stop_sensors()
    window.start_sensors()
    qtbot.waitUntil(lambda: window.desk.sensors.bridge is not None)
    publisher.send("31.30")
    qtbot.waitUntil(lambda: saved(kitchen).tolist() == [31.25, 31.3])
    window.stop_sensors()
    publisher.close()
    broker.end()
    kitchen.journal.back_up(kitchen.now_ms)
    for path in kitchen.journal.path.parent.rglob("kitchen*.vatside*"):
        if path.is_file():
            assert PASSWORD.encode() not in read_beside(path)


# A file, a line


def test_a_file_is_rotated_in_mid_make(qtbot, kitchen, window, tmp_path):
    path = tmp_path / "logger.csv"
    start = kitchen.start_ms
    path.write_text(HEADER + "".join(row(start + 1000 * n, value(n)) for n in range(5)))
    mapping = understand(read_table(path.read_bytes())).mapping
    settings = json.dumps({"path": str(path), "mapping": mapping.to_dict()})
    sources_dialog(qtbot, window).accept()
    on = Source("vat probe", FILE, "milk-temp", "", settings, kitchen.make.id)
    kitchen.journal.sources.save(on)
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 5)
    number = 5
    for turn in range(3):
        with path.open("a") as file:
            file.writelines(row(start + 1000 * n, value(n)) for n in range(number, number + 4))
        path.rename(tmp_path / f"logger.{turn}.csv")
        path.write_text(
            HEADER + "".join(row(start + 1000 * n, value(n)) for n in range(number + 4, number + 7))
        )
        number += 7
        qtbot.waitUntil(lambda: len(saved(kitchen)) == number)  # noqa: B023 - waited for here
    assert saved(kitchen).tolist() == [value(n) for n in range(number)]


def test_a_serial_line_is_pulled_out_in_mid_make(qtbot, kitchen, window, tmp_path):
    """What is plugged in again has another name in the system, so the device is a link."""
    device = tmp_path / "probe"
    try:
        far, near = os.openpty()
    except OSError:
        pytest.skip("no pseudo-terminals here")
    tty.setraw(near)
    device.symlink_to(os.ttyname(near))
    sources_dialog(qtbot, window).accept()
    settings = json.dumps({"device": str(device), "pattern": r"T=(\S+)"})
    on = Source("vat probe", LINE, "milk-temp", "degC", settings, kitchen.make.id)
    kitchen.journal.sources.save(on)
    qtbot.waitUntil(lambda: lines_of(window) == ["vat probe: connected, no reading yet"])
    for number in range(20):
        os.write(far, f"T={value(number):.2f} ok\r\n".encode())
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 20)
    os.close(near)
    os.close(far)
    device.unlink()
    qtbot.waitUntil(
        lambda: "nothing is plugged in" in "".join(lines_of(window)), timeout=PATIENCE_MS
    )
    far, near = os.openpty()
    tty.setraw(near)
    device.symlink_to(os.ttyname(near))
    qtbot.waitUntil(
        lambda: lines_of(window)[0].startswith("vat probe: 30.2 °C"), timeout=PATIENCE_MS
    )
    qtbot.waitUntil(lambda: window.desk.sensors.bridge.running[0].state.word == "connected")
    for number in range(20, 40):
        os.write(far, f"T={value(number):.2f} ok\r\n".encode())
    qtbot.waitUntil(lambda: len(saved(kitchen)) == 40)
    assert saved(kitchen).tolist() == [value(n) for n in range(40)]
    os.close(near)
    os.close(far)


# What is said, what is not done


def test_nothing_connects_before_it_is_switched_on(qtbot, kitchen, window):
    """Neither setting up nor looking at the list nor opening a window reaches for the broker."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen()
        listening.setblocking(False)
        source = kitchen.journal.sources.save(topic_on(listening.getsockname()[1]))
        dialog = sources_dialog(qtbot, window)
        dialog.change.click()
        made = open_dialog(qtbot, window, SetUp)
        assert made.preview.state.text() == "Nothing connects until you try it."
        made.save.click()
        window.go("makes")
        window.go("vat")
        qtbot.waitUntil(window.settled)
        with pytest.raises(BlockingIOError):
            listening.accept()
        assert kitchen.journal.sources.get(source.id).make_id is None
        dialog.switch.click()
        listening.settimeout(5)
        reached, _ = listening.accept()
        reached.close()
        dialog.accept()


def test_several_that_are_wrong_are_one_message_and_two_lines(qtbot, kitchen, window):
    sources_dialog(qtbot, window).accept()
    for number in range(4):
        kitchen.journal.sources.save(topic_on(1, f"probe {number}", kitchen.make.id))
    vat = window.place("vat")
    qtbot.waitUntil(lambda: "".join(lines_of(window)).count("No broker answers") == 4)
    kitchen.now_ms += 60_000
    window.desk.sensors.bridge.look()
    assert vat.messages.text("silent") == ("Out of reach: probe 0, probe 1, probe 2 and probe 3.")
    shown = [line for line in vat.sensors.lines if line.isVisible()]
    assert len(shown) == LINES_SHOWN
    more = [line.more for line in shown if line.more.isVisible()]
    assert [word.text() for word in more] == ["2 more…"]
    more[0].click()
    dialog = open_dialog(qtbot, window, SensorsDialog)
    assert len(dialog.table.rows) == 4
    dialog.accept()
