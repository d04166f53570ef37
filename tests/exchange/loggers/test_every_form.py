"""Files in every combination of encoding, delimiter, decimal mark, time and unit."""

from __future__ import annotations

import itertools
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.take import LoggerReadings, take
from journal.exchange.loggers.understand import Understood, understand

ZONE = "Europe/Berlin"
START = datetime(2024, 5, 12, 20, 0, tzinfo=ZoneInfo(ZONE))
START_MS = int(START.timestamp() * 1000)
MINUTES = [0, 5, 10, 20, 45, 90, 150, 240, 241, 242, 300, 1000]  # gaps and a midnight
CELSIUS = [31.0, 31.5, 32.25, 33.0, 38.5, 39.0, 39.0, 30.75, 29.0, 25.5, 21.0, 18.25]
PH = [6.6, 6.55, 6.5, 6.45, 6.3, 6.1, 5.9, 5.6, 5.6, 5.59, 5.4, 5.25]

WHEN = [START + timedelta(minutes=m) for m in MINUTES]


def _hms(minutes: int) -> str:
    return f"{minutes // 60}:{minutes % 60:02d}:00"


TIMES: dict[str, tuple[list[str], list[list[str]]]] = {
    "iso": (["Time"], [[w.strftime("%Y-%m-%d %H:%M:%S")] for w in WHEN]),
    "iso T": (["Timestamp"], [[w.strftime("%Y-%m-%dT%H:%M:%S.000")] for w in WHEN]),
    "iso offset": (["Time"], [[w.isoformat()] for w in WHEN]),
    "iso Z": (
        ["Time"],
        [[w.astimezone(ZoneInfo("UTC")).strftime("%Y-%m-%dT%H:%M:%SZ")] for w in WHEN],
    ),
    "year first": (["Date Time"], [[w.strftime("%Y/%m/%d %H:%M")] for w in WHEN]),
    "day first": (["Date/Time"], [[w.strftime("%d.%m.%Y %H:%M:%S")] for w in WHEN]),
    "day first short": (["Date/Time"], [[w.strftime("%d/%m/%y %H:%M")] for w in WHEN]),
    "month first": (["Date Time"], [[w.strftime("%m/%d/%Y %H:%M:%S")] for w in WHEN]),
    "12-hour": (["Date Time"], [[w.strftime("%m/%d/%Y %I:%M:%S %p")] for w in WHEN]),
    "12-hour loose": (
        ["Date Time"],
        [[f"{w.month}/{w.day}/{w.year} {w:%I:%M}".replace(" 0", " ") + f" {w:%p}".lower()]
         for w in WHEN],
    ),
    "month named": (["Date Time"], [[w.strftime("%d-%b-%Y %H:%M:%S")] for w in WHEN]),
    "two columns": (
        ["Date", "Time"],
        [[w.strftime("%d/%m/%Y"), w.strftime("%H:%M:%S")] for w in WHEN],
    ),
    "two columns, 12-hour": (
        ["Date", "Time"],
        [[w.strftime("%m/%d/%y"), w.strftime("%I:%M:%S %p")] for w in WHEN],
    ),
    "zone in the header": (
        ["Date Time, GMT-05:00"],
        [[(w.astimezone(ZoneInfo("UTC")) - timedelta(hours=5)).strftime("%Y-%m-%d %H:%M:%S")]
         for w in WHEN],
    ),
    "epoch s": (["Unix time"], [[str(int(w.timestamp()))] for w in WHEN]),
    "epoch ms": (["ts"], [[str(int(w.timestamp() * 1000))] for w in WHEN]),
    "elapsed s": (["Elapsed (s)"], [[str(m * 60)] for m in MINUTES]),
    "elapsed min": (["Time (min)"], [[str(m)] for m in MINUTES]),
    "elapsed h:mm:ss": (["Elapsed time"], [[_hms(m)] for m in MINUTES]),
    "time of day": (["Time"], [[w.strftime("%H:%M:%S")] for w in WHEN]),
}  # fmt: skip
ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "latin-1")
BEFORE = ["Logger: dairy no. 3", "Serial number{d}00123456", "Interval (s){d}60", ""]


def write_file(
    time: str, *, delimiter: str = ",", decimal: str = ".", encoding: str = "utf-8",
    unit: str = "°C", before: bool = False, end: str = "\n", index: bool = False,
) -> bytes:  # fmt: skip
    """A logger's file with a temperature and a pH column."""
    heads, stamps = TIMES[time]
    degrees = CELSIUS if unit == "°C" else [c * 9 / 5 + 32 for c in CELSIUS]
    rows = [[*heads, f"Temp ({unit})", "pH"]]
    for stamp, c, ph in zip(stamps, degrees, PH, strict=True):
        rows.append([*stamp, *(f"{v:.2f}".replace(".", decimal) for v in (c, ph))])
    if index:
        rows = [["#", *rows[0]], *([str(i), *row] for i, row in enumerate(rows[1:], 1))]
    lines = [
        delimiter.join(f'"{cell}"' if delimiter in cell else cell for cell in row) for row in rows
    ]
    if before:
        lines = [line.format(d=delimiter) for line in BEFORE] + lines
    return (end.join(lines) + end).encode(encoding)


def taken_from(data: bytes) -> tuple[Understood, LoggerReadings]:
    found = understand(read_table(data))
    return found, take(found, zone=ZONE, start_ms=START_MS)


def check(taken: LoggerReadings) -> None:
    at_ms = START_MS + np.array(MINUTES) * 60_000
    assert (taken.read, taken.kept, taken.skipped) == (len(WHEN), 2 * len(WHEN), 0)
    np.testing.assert_array_equal(taken.series["milk-temp"].at_ms, at_ms)
    np.testing.assert_array_equal(taken.series["curd-ph"].at_ms, at_ms)
    np.testing.assert_allclose(taken.series["milk-temp"].value, CELSIUS, atol=0.0051)
    np.testing.assert_allclose(taken.series["curd-ph"].value, PH, rtol=1e-12)
    assert taken.series["milk-temp"].at_ms.dtype == np.int64
    assert taken.series["milk-temp"].value.dtype == np.float64


@pytest.mark.parametrize("time", TIMES)
@pytest.mark.parametrize("encoding", ENCODINGS)
def test_every_combination(time: str, encoding: str) -> None:
    for delimiter, decimal, unit, before in itertools.product(
        (",", ";", "\t"), (".", ","), ("°C", "°F"), (False, True)
    ):
        data = write_file(
            time, delimiter=delimiter, decimal=decimal, encoding=encoding, unit=unit,
            before=before, end="\r\n" if before else "\n",
        )  # fmt: skip
        found, taken = taken_from(data)
        assert found.raw.delimiter == delimiter
        assert found.decimal == decimal
        assert len(found.raw.before) == (3 if before else 0)
        check(taken)


@pytest.mark.parametrize("time", TIMES)
def test_a_column_that_numbers_the_rows_is_left_out(time: str) -> None:
    found, taken = taken_from(write_file(time, index=True))
    assert found.columns[0].role == "left out"
    check(taken)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends(end: str) -> None:
    check(taken_from(write_file("iso", end=end))[1])


@pytest.mark.parametrize(
    "header", ["Temp (°F)", "Temp °F", "temp_f", "tempF", "Temperature [degF]", "Probe 1, deg F",
               "Milk/F", "Temp (Â°F)", "T (°F)", "Temp F"],
)  # fmt: skip
def test_fahrenheit_by_header(header: str) -> None:
    data = write_file("day first", delimiter=";", unit="°F").decode()
    found, taken = taken_from(data.replace("Temp (°F)", header).encode())
    assert found.readings[0].unit == "degF"
    check(taken)


def test_units_in_a_row_of_their_own() -> None:
    lines = write_file("iso", unit="°F").decode().splitlines()
    lines[0:1] = ["Time,Temp,pH", "yyyy-mm-dd hh:mm:ss,°F,"]
    check(taken_from("\n".join(lines).encode())[1])


def test_units_behind_the_numbers() -> None:
    lines = write_file("iso", delimiter=";", decimal=",").decode().splitlines()
    head = ["Time;Temp;pH"]
    body = [";".join([a, f"{b} °C", c]) for a, b, c in (line.split(";") for line in lines[1:])]
    check(taken_from("\n".join(head + body).encode())[1])


def test_a_file_without_a_header() -> None:
    lines = write_file("iso").decode().splitlines()[1:]
    raw = read_table("\n".join(lines).encode())
    assert raw.header == ("column 1", "column 2", "column 3")
    assert raw.rows == len(WHEN)


def test_the_separator_line_of_spreadsheets() -> None:
    check(taken_from(b"sep=;\r\n" + write_file("iso", delimiter=";"))[1])
