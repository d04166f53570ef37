"""A serial line: each line of text a reading, where a regular expression finds its value."""

from __future__ import annotations

import errno
import time
from typing import TYPE_CHECKING, Any

from journal.exchange import ExchangeError
from journal.exchange.sensors.line_pattern import LinePattern
from journal.exchange.sensors.sensor import Sensor, SensorFault
from journal.exchange.sensors.understanding import value_of
from journal.records.kinds import READING_KINDS
from journal.records.sources import Arrived, Source
from journal.wording import text_of, worded
from journal.wording.readings import reading_text

if TYPE_CHECKING:
    from serial import Serial

BAUD = 9600
NUMBER = r"([-+−]?\d+(?:[.,]\d+)?)"  # where no pattern is set: the first number of the line
_LONGEST_LINE = 2000
_READ_S = 0.2
# Letters of one line follow each other within milliseconds, even at 300 baud. One that comes
# after a longer quiet begins a line; one that comes at once may be in the middle of a line.
_QUIET_S = 0.1


class SerialSensor(Sensor):
    """Reads a serial device and opens it again when it comes back."""

    def __init__(self, source: Source, *, zone: str = "UTC", **others: Any) -> None:
        super().__init__(source, **others)
        self._kind = READING_KINDS[source.reading]
        self._device = source.text("device")
        self._baud = source.number("baud", BAUD)
        self._pattern = pattern_of(source.text("pattern"))

    def _session(self) -> None:
        line = self._open()
        try:
            buffered = self._first_letters(line)
            self._connected()
            while not self._ending.is_set():
                buffered = self._lines(buffered + _some(line))
        except OSError as error:
            raise SensorFault("exchange.broke-off", what=self._device, why=error) from None
        finally:
            line.close()

    def _open(self) -> Serial:
        import serial

        try:
            return serial.Serial(
                self._device, self._baud, timeout=_READ_S, exclusive=_may_be_exclusive()
            )
        except (OSError, ValueError) as error:
            raise _fault(self._device, error) from None

    def _first_letters(self, line: Serial) -> bytes:
        """Nothing, once the line was quiet; else what follows the half line that is skipped."""
        until = time.monotonic() + _QUIET_S
        half = b""
        while time.monotonic() < until:
            line.timeout = max(0.0, until - time.monotonic())
            half += _some(line)
            if half:
                break
        line.timeout = _READ_S
        while half and b"\n" not in half and not self._ending.is_set():
            half = (half + _some(line))[-_LONGEST_LINE:]
        return half.partition(b"\n")[2]

    def _lines(self, data: bytes) -> bytes:
        """Take whole lines; returns the half one behind them."""
        *whole, half = data.replace(b"\r\n", b"\n").split(b"\n")
        for raw in whole:
            text = raw.decode("utf-8", "replace").strip("\0\r ")
            if text:
                self._on_line(text[:_LONGEST_LINE])
        return half[-_LONGEST_LINE:]

    def _on_line(self, text: str) -> None:
        found = self._pattern.value(text)
        if found is None:
            self._tell(text, worded("exchange.pattern-finds-nothing"), good=False)
            return
        try:
            value = value_of(found, self._kind, self.source.unit)
        except ExchangeError as error:
            self._tell(text, text_of(error), good=False)
            return
        arrived = Arrived(self._arrival_ms(), self._kind.key, value)
        self._tell(text, reading_text(arrived.kind, arrived.value), good=True)
        self._hand_on([arrived], {"at": arrived.at_ms})


def pattern_of(text: str) -> LinePattern:
    """The pattern that finds the value in a line; the first number where none is set.

    Raises
    ------
    ExchangeError
        When it cannot be followed.
    """
    return LinePattern(text or NUMBER)


def _some(line: Serial) -> bytes:
    """What is there, or the first letter that comes within the line's patience."""
    data: bytes = line.read(max(1, line.in_waiting))
    return data


def _may_be_exclusive() -> bool | None:
    """Two readers of one line would each get half of it; Windows keeps them apart by itself."""
    import os

    return None if os.name == "nt" else True


def _fault(device: str, error: Exception) -> SensorFault:
    """Why it cannot be opened, by the system's number: its words are in the desktop's language.
    On Windows the error's name stands in the library's text."""
    text, number = text_of(error), getattr(error, "errno", None)
    if "exclusive" in text:
        return SensorFault("exchange.device-in-use", device=device)
    if number in (errno.EACCES, errno.EPERM) or "PermissionError" in text:
        return SensorFault("exchange.device-not-permitted", device=device)
    if number in (errno.ENOENT, errno.ENXIO, errno.ENODEV) or "FileNotFoundError" in text:
        return SensorFault("exchange.no-device", device=device)
    return SensorFault("keeping.not-opened", file=device, why=text.rstrip("."))
