"""A serial line on a pair of pseudo-terminals: half lines, unplugging, patterns."""

from __future__ import annotations

import os
import subprocess
import sys
import tty
from collections.abc import Iterator
from pathlib import Path

import pytest

from journal.exchange import ExchangeError
from journal.exchange.sensors.sensor import Backoff
from journal.exchange.sensors.serial_line import SerialSensor, pattern_of
from tests.locales import environment


def _pseudo_terminals() -> bool:
    """Whether the machine gives pseudo-terminals: some bare roots lack the file system for them."""
    try:
        ends = os.openpty()
    except (AttributeError, OSError):
        return False
    for end in ends:
        os.close(end)
    return True


pytestmark = pytest.mark.skipif(not _pseudo_terminals(), reason="no pseudo-terminals here")
QUICK = Backoff(first=0.02, most=0.1)


class Cable:
    """A device that can be plugged in and pulled out, always under one name."""

    def __init__(self, folder: Path) -> None:
        self.device = folder / "serial0"
        self.far: int | None = None
        self.near: int | None = None

    def plug_in(self) -> None:
        self.far, self.near = os.openpty()
        tty.setraw(self.near)
        fresh = self.device.with_name("plugging")
        fresh.symlink_to(os.ttyname(self.near))
        fresh.replace(self.device)

    def pull_out(self) -> None:
        for end in (self.far, self.near):
            if end is not None:
                os.close(end)
        self.far = self.near = None
        self.device.unlink(missing_ok=True)

    def send(self, text: str) -> None:
        assert self.far is not None
        os.write(self.far, text.encode())


@pytest.fixture
def cable(tmp_path: Path) -> Iterator[Cable]:
    made = Cable(tmp_path)
    made.plug_in()
    yield made
    made.pull_out()


@pytest.fixture
def sensor_on(source_for, clock):
    def made(cable: Cable, **settings) -> SerialSensor:
        unit = settings.pop("unit", "")
        source = source_for("line", unit=unit, device=str(cable.device), **settings)
        return SerialSensor(source, clock=clock, backoff=QUICK)

    return made


def connected(sensor: SerialSensor):
    return lambda: sensor.state.word == "connected"


def test_every_line_arrives_in_order(cable, sensor_on, run, heap, wait, clock):
    sensor = run(sensor_on(cable))
    wait(connected(sensor))
    for number in range(300):
        cable.send(f"{20 + number / 100:.2f}\r\n")
    wait(lambda: len(heap.arrived) >= 300)
    assert heap.values == [round(20 + n / 100, 2) for n in range(300)]
    assert heap.instants == list(range(clock.now_ms, clock.now_ms + 300)), "no two share an instant"


def test_a_line_may_come_in_pieces(cable, sensor_on, run, heap, wait):
    sensor = run(sensor_on(cable))
    wait(connected(sensor))
    for letter in "T=31.4 C\nT=31.5 C\nT=31.":
        cable.send(letter)
    wait(lambda: len(heap.arrived) == 2)
    cable.send("6 C\n")
    wait(lambda: len(heap.arrived) == 3)
    assert heap.values == [31.4, 31.5, 31.6]


def test_pulled_out_and_plugged_in_again(cable, sensor_on, run, heap, wait):
    sensor = run(sensor_on(cable))
    for turn in range(3):
        wait(connected(sensor))
        for number in range(10):
            cable.send(f"{30 + turn}.{number}\n")
        wait(lambda: len(heap.arrived) == 10 * (turn + 1))  # noqa: B023 - waited for here
        cable.pull_out()
        wait(lambda: sensor.state.word == "failed")
        cable.plug_in()
    assert heap.values == [float(f"{30 + t}.{n}") for t in range(3) for n in range(10)]


def test_opened_in_mid_line_the_half_line_is_passed_over(cable, sensor_on):
    # Letters that are already coming: the rest of a line whose beginning nobody has seen.
    sensor = sensor_on(cable)
    session = sensor._open()
    cable.send("1.4\n31.5\n")
    assert sensor._first_letters(session) == b"31.5\n"
    session.close()


def test_the_pattern_finds_the_value_and_the_unit_is_converted(cable, sensor_on, run, heap, wait):
    sensor = run(sensor_on(cable, pattern=r"B=(\S+)", unit="degF"))
    wait(connected(sensor))
    cable.send("A=10 B=88.7\nA=11\nA=12 B=-\nA=13 B=900\nA=14 B=89,6\n")
    wait(lambda: len(heap.options) == 5)
    assert heap.values == [pytest.approx(31.5), pytest.approx(32.0)]
    assert [one.good for one in heap.options] == [True, False, False, False, True]
    assert "does not find" in heap.options[1].understood
    assert "no value" in heap.options[2].understood
    assert "outside" in heap.options[3].understood


def test_a_device_that_is_not_there_is_said_and_waited_for(cable, sensor_on, run, heap, wait):
    cable.pull_out()
    sensor = run(sensor_on(cable))
    wait(lambda: sensor.state.word == "failed")
    assert "nothing is plugged in" in sensor.state.sentence
    cable.plug_in()
    wait(connected(sensor))


def test_a_line_is_read_by_one_program_alone(cable, sensor_on, run, wait, heap):
    first = run(sensor_on(cable))
    wait(connected(first))
    second = run(sensor_on(cable), type(heap)())
    wait(lambda: second.state.word == "failed")
    assert "another program" in second.state.sentence


def test_silence_is_told_by_the_clock(cable, sensor_on, run, heap, wait, clock):
    sensor = run(sensor_on(cable))
    wait(connected(sensor))
    clock.after(30)
    cable.send("31.4\n")
    wait(lambda: len(heap.arrived) == 1)
    clock.after(60)
    assert (sensor.state.word, sensor.state.since_ms) == ("silent", clock.now_ms - 60_000)


@pytest.mark.parametrize("pattern", ["T=[0-9]+", "T=(", "*"])
def test_a_pattern_without_a_value_is_refused(pattern):
    with pytest.raises(ExchangeError, match=r"exchange.(pattern-without-group|no-pattern)"):
        pattern_of(pattern)


def test_what_is_not_plugged_in_is_known_on_a_german_desktop_too():
    """The system's words for it are German there; its number is the same everywhere."""
    there = environment("de_DE.UTF-8")
    if there is None:
        pytest.skip("no German locale here")
    asked = (
        "import locale, serial; locale.setlocale(locale.LC_ALL, '')\n"
        "from journal.exchange.sensors.serial_line import _fault\n"
        "from journal.wording import text_of\n"
        "try:\n    serial.Serial('/dev/no-such-probe', 9600)\n"
        "except OSError as error:\n    print(text_of(_fault('/dev/no-such-probe', error)), error)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", asked], env={**os.environ, **there, "PYTHONIOENCODING": "utf-8"},
        capture_output=True, text=True, encoding="utf-8", check=True,
    )  # fmt: skip
    assert done.stdout.startswith("There is no /dev/no-such-probe: nothing is plugged in there.")
    assert "Datei" in done.stdout
