"""Files that could be read wrongly without a word: each is understood, asked about or refused."""

from __future__ import annotations

import numpy as np
import pytest

from journal.exchange import ExchangeError
from journal.exchange.loggers.mapping import Mapping
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.take import LoggerReadings, take
from journal.exchange.loggers.understand import understand
from journal.records.instants import from_iso
from tests.refusals import refused

ZONE = "Europe/London"
START = from_iso("2026-07-14T08:00", ZONE)
MINUTE = 60_000


def taken_from(text: str, output: Mapping | None = None) -> LoggerReadings:
    return take(understand(read_table(text.encode()), output), zone=ZONE, start_ms=START)


def minutes(taken: LoggerReadings, kind: str = "milk-temp") -> list[float]:
    return [round((at - START) / MINUTE, 2) for at in taken.series[kind].at_ms.tolist()]


def values(taken: LoggerReadings, kind: str = "milk-temp") -> list[float]:
    return [round(value, 2) for value in taken.series[kind].value.tolist()]


# Days as a spreadsheet counts them. 5 July 2011 is 40729 in the 1900 date system (Microsoft,
# "Date systems in Excel"), so 14 July 2026 is 46217.


@pytest.mark.parametrize(
    "text",
    [
        "Time,Temp (°C)\n46217.3333333333,31\n46217.3402777778,31.2\n46217.3472222222,31.4\n",
        "Date/Time;Temp (°C)\n46217,3333333333;31\n46217,3402777778;31,2\n46217,3472222222;31,4\n",
        "Date,Time,Temp (°C)\n46217,0.3333333333,31\n46217,0.3402777778,31.2\n"
        "46217,0.3472222222,31.4\n",
    ],
)
def test_day_numbers_of_a_spreadsheet_are_dates(text: str) -> None:
    taken = taken_from(text)
    assert minutes(taken) == [0, 10, 20]
    assert values(taken) == [31, 31.2, 31.4]


def test_a_day_number_is_the_day_its_source_says() -> None:
    taken = taken_from("Time,Temp (°C)\n40729.5,31\n40729.75,31.2\n")
    assert taken.series["milk-temp"].at_ms[0] == from_iso("2011-07-05T12:00", ZONE)


def test_seconds_in_the_tens_of_thousands_are_seconds_still() -> None:
    taken = taken_from("Time,Temp (°C)\n46000,31\n46060,31.2\n46120,31.4\n")
    assert minutes(taken) == [round(s / 60, 2) for s in (46000, 46060, 46120)]


@pytest.mark.parametrize("cells", [("0.3333", "0.3340", "0.3347"), ("0", "0.0167", "0.0333")])
def test_parts_of_a_day_or_an_hour_are_no_seconds(cells: tuple[str, ...]) -> None:
    text = "Time,Temp (°C)\n" + "".join(f"{cell},31.2\n" for cell in cells)
    first, last = float(cells[0]), float(cells[-1])
    with refused(
        ExchangeError, "exchange.time-without-unit", column="Time", first=first, last=last
    ):
        taken_from(text)
    hours = taken_from(text.replace("Time", "Time (h)"))
    assert minutes(hours) == [round(float(cell) * 60, 2) for cell in cells]


def test_another_column_with_the_time_needs_no_unit_there() -> None:
    text = "Stamp,Time,Temp (°C)\n2026-07-14 08:00,0.01,31\n2026-07-14 08:10,0.02,31.2\n"
    assert minutes(taken_from(text)) == [0, 10]


# A decimal comma in a file whose cells stand apart by commas too.


def test_numbers_cut_at_their_comma_are_whole_again() -> None:
    taken = taken_from(
        "Time,Milk temp (°C)\n2026-07-14 08:00,31,4\n2026-07-14 08:10,31,6\n2026-07-14 08:20,32\n"
    )
    assert values(taken) == [31.4, 31.6, 32.0]
    mostly_whole = taken_from(
        "Time,Milk temp (°C)\n2026-07-14 08:00,31\n2026-07-14 08:10,31,5\n2026-07-14 08:20,32\n"
    )
    assert values(mostly_whole) == [31.0, 31.5, 32.0]


def test_two_numbers_in_each_row_are_whole_again() -> None:
    taken = taken_from(
        "No,Time,Milk temp (°C),Milk pH\n1,2026-07-14 08:00,31,4,6,62\n"
        "2,2026-07-14 08:10,31,6,6,60\n"
    )
    assert (values(taken), values(taken, "milk-ph")) == ([31.4, 31.6], [6.62, 6.6])


@pytest.mark.parametrize(
    "rows",
    [
        "2026-07-14 08:00,31,4,7\n2026-07-14 08:10,31,6,7\n",  # 31.4 and 7, or 31 and 4.7
        "2026-07-14 08:00,31,4,6,62,1\n2026-07-14 08:10,31,6,6,60,1\n",
    ],
)
def test_numbers_cut_in_a_way_that_cannot_be_told_are_refused(rows: str) -> None:
    with refused(ExchangeError, "exchange.comma-in-numbers"):
        taken_from(f"Time,Milk temp (°C),Milk pH\n{rows}")


def test_a_column_without_a_name_is_no_cut_number() -> None:
    taken = taken_from("Time,Milk temp (°C)\n2026-07-14 08:00,31.4,5\n2026-07-14 08:10,31.6,6\n")
    assert values(taken) == [31.4, 31.6]


def test_halves_of_numbers_without_a_header_are_said() -> None:
    text = "2026-07-14 08:00,31,4\n2026-07-14 08:10,31,6\n"
    found = understand(read_table(text.encode()), Mapping(kinds={"2": "milk-temp"}))
    assert any("two halves of numbers with a decimal comma" in one for one in found.doubts)


# A column whose unit nobody named.


@pytest.mark.parametrize("values_f", [(86, 88, 102), (50, 86, 101), (68, 68, 68)])
def test_fahrenheit_that_nobody_named_is_asked_about(values_f: tuple[int, ...]) -> None:
    rows = "".join(f"2026-07-14 08:{m:02d},{v}\n" for m, v in enumerate(values_f))
    with refused(ExchangeError, "exchange.rather-fahrenheit", column="Milk temp") as caught:
        taken_from(f"Time,Milk temp\n{rows}")
    assert caught.value.asks == "unit"
    span = pytest.approx(np.quantile(values_f, [0.1, 0.9]))
    assert [caught.value.values[name] for name in ("low", "high")] == span
    fahrenheit = taken_from(f"Time,Milk temp\n{rows}", Mapping(unit="degF"))
    assert values(fahrenheit) == [round((v - 32) / 1.8, 2) for v in values_f]
    assert values(taken_from(f"Time,Milk temp\n{rows}", Mapping(unit="degC"))) == list(values_f)


def test_a_unit_that_was_only_assumed_is_not_remembered_as_said() -> None:
    cool = "Time,Milk temp\n2026-07-14 08:00,31\n2026-07-14 08:10,31.5\n"
    found = understand(read_table(cool.encode()))
    assert found.doubts == ("“Milk temp” names no unit, so °C is assumed.",)
    with refused(ExchangeError, "exchange.rather-fahrenheit"):
        taken_from(cool.replace("31", "88"), found.mapping)


def test_milk_that_is_heated_is_not_taken_for_fahrenheit() -> None:
    heated = [20, 45, 63, 72, 72, 72, 72, 60, 40, 32]
    rows = "".join(f"2026-07-14 08:{m:02d},{v}\n" for m, v in enumerate(heated))
    assert values(taken_from(f"Time,Milk temp\n{rows}")) == heated


# A row for each value.

LONG = """Time,Sensor,Value (°C)
2026-07-14 08:00,vat,31.0
2026-07-14 08:00,room,12.0
2026-07-14 08:10,vat,31.2
2026-07-14 08:10,room,12.1
2026-07-14 08:20,vat,31.4
2026-07-14 08:20,room,
"""


def test_a_long_table_is_a_column_for_each_sensor() -> None:
    taken = taken_from(LONG)
    assert (values(taken), minutes(taken)) == ([31.0, 31.2, 31.4], [0, 10, 20])
    assert values(taken, "room-temp") == [12.0, 12.1]
    assert (taken.read, taken.kept, taken.skipped) == (6, 5, 1)
    assert taken.reasons == {"empty value": 1}


def test_sensors_that_could_each_be_the_milks_are_asked_about() -> None:
    text = LONG.replace("vat", "T1").replace("room", "T2")
    with pytest.raises(ExchangeError, match=r"exchange.one-sensor-a-row .*“T1 .°C.”', '“T2 .°C.”"):
        taken_from(text)
    taken = taken_from(text, Mapping(kinds={"T2": "milk-temp"}))
    assert values(taken) == [12.0, 12.1]
    assert (taken.read, taken.kept, taken.skipped) == (6, 2, 1)


@pytest.mark.parametrize("name", ["who", "channel"])
def test_a_long_table_is_known_by_its_rows_too(name: str) -> None:
    text = LONG.replace("Sensor", name).replace("vat", "3").replace("room", "4")
    if name == "who":
        text = text.replace(",3,", ",Ann,").replace(",4,", ",Bo,")
    with refused(ExchangeError, "exchange.one-sensor-a-row"):
        taken_from(text)


def test_several_values_a_row_and_a_growing_file_are_cut_alike() -> None:
    from journal.exchange.loggers.table import continued

    text = "Time,Probe,Temp (°C),pH\n2026-07-14 08:00,milk,31.0,6.6\n2026-07-14 08:00,whey,30,6.5\n"
    text += text.split("\n", 1)[1].replace("08:00", "08:10")
    raw = read_table(text.encode())
    assert raw.header == ("Time", "milk Temp (°C)", "milk pH", "whey Temp (°C)", "whey pH")
    more = continued(raw, b"2026-07-14 08:20,whey,29.5,6.4\n", "utf-8")
    found = take(understand(more, understand(raw).mapping), zone=ZONE, start_ms=START)
    assert values(found, "whey-ph") == [6.4]
    assert len(found.series["milk-ph"]) == 0


def test_a_column_of_states_makes_no_long_table() -> None:
    rows = "".join(f"2026-07-14 08:{m:02d},{31 + m / 10},{'alarm' if m == 4 else 'ok'}\n"
                   for m in range(10))  # fmt: skip
    assert len(values(taken_from(f"Time,Temp (°C),State\n{rows}"))) == 10


# Two values at one instant.


def test_two_values_at_one_instant_are_found() -> None:
    taken = taken_from(
        "Time,Temp (°C)\n2026-07-14 08:00,31\n2026-07-14 08:10,31\n2026-07-14 08:10,40\n"
        "2026-07-14 08:20,31.2\n"
    )
    found = taken.series["milk-temp"]
    assert found.at_odds(0.5).tolist() == [False, True, True, False]
    assert not found.at_odds(9.0).any()
    np.testing.assert_array_equal(found.value, [31, 31, 40, 31.2])
