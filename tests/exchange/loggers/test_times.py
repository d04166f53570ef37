"""Times: which order dates have, the doubled and the skipped hour, counted and bare times."""

from __future__ import annotations

import locale
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.exchange import ExchangeError
from journal.exchange.loggers.mapping import DATE_ORDERS, Mapping
from journal.exchange.loggers.preview import preview
from journal.exchange.loggers.stamps import DAY_MS, date_ms, read_elapsed, read_parts
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.take import LoggerReadings, take
from journal.exchange.loggers.understand import Understood, understand
from journal.exchange.loggers.zones import to_utc
from journal.wording import text_of
from tests.refusals import refused

BERLIN = ZoneInfo("Europe/Berlin")


def understood(stamps: list[str], mapping: Mapping | None = None) -> Understood:
    rows = [f"{stamp};{30 + i / 10:.1f}" for i, stamp in enumerate(stamps)]
    return understand(read_table("\n".join(["Time;Temp (°C)", *rows]).encode()), mapping)


def taken(stamps: list[str], start: datetime, zone: str = "UTC") -> LoggerReadings:
    return take(understood(stamps), zone=zone, start_ms=int(start.timestamp() * 1000))


def at(found: LoggerReadings) -> list[datetime]:
    return [datetime.fromtimestamp(ms / 1000, UTC) for ms in found.series["milk-temp"].at_ms]


@pytest.mark.parametrize(
    ("stamps", "order"),
    [
        (["12/05/2024 23:50", "13/05/2024 00:00"], "dmy"),
        (["05/12/2024 23:50", "05/13/2024 00:00"], "mdy"),
        (["24-05-12 23:50", "24-05-13 00:00"], "ymd"),
        (["31.05.24 23:50", "01.06.24 00:00"], "dmy"),
        # No number over 12: the order in which the rows follow one another.
        (["30/04/2024 23:50", "01/05/2024 00:00"], "dmy"),
        (["03/05/2024 23:50", "04/05/2024 00:00", "05/05/2024 00:10"], "dmy"),
        (["05/03/2024 23:50", "05/04/2024 00:00", "05/05/2024 00:10"], "mdy"),
        (["01/12/2024 10:00", "02/12/2024 10:00", "03/12/2024 10:00"], "dmy"),
        (["05/05/2024 10:00", "05/05/2024 10:05"], "dmy"),
        # Open: one day, and both readings exist.
        (["03/05/2024 10:00", "03/05/2024 10:05"], ""),
        (["2024-05-03 10:00", "2024-05-03 10:05"], "ymd"),
    ],
)
def test_the_order_of_dates(stamps: list[str], order: str) -> None:
    found = understood(stamps)
    assert found.date_order == order
    assert bool(found.questions) == (order == "")


def test_an_open_order_asks_and_takes_a_choice() -> None:
    stamps = ["03/05/2024 10:00", "03/05/2024 10:05"]
    far = datetime(2024, 1, 1, tzinfo=UTC)
    orders = {"one": DATE_ORDERS["dmy"], "other": DATE_ORDERS["mdy"]}
    with refused(ExchangeError, "exchange.dates-open", **orders) as caught:
        taken(stamps, far)
    assert caught.value.asks == "date order"
    assert text_of(caught.value) == "The dates could be day first or month first. Choose one."
    for order, month, day in (("dmy", 5, 3), ("mdy", 3, 5)):
        found = understood(stamps, Mapping(date_order=order))
        got = take(found, zone="UTC", start_ms=int(far.timestamp() * 1000))
        assert at(got)[0] == datetime(2024, month, day, 10, tzinfo=UTC)


def test_an_open_order_is_settled_by_the_start_of_the_make() -> None:
    got = taken(["03/05/2024 10:00", "03/05/2024 10:05"], datetime(2024, 3, 5, 9, tzinfo=UTC))
    assert at(got)[0] == datetime(2024, 3, 5, 10, tzinfo=UTC)
    assert "Dates are read month first: only then are they near the day of the make." in got.notes
    found = understood(["03/05/2024 10:00", "03/05/2024 10:05"])
    assert any("Choose one" in one for one in preview(found).questions)
    assert not any("Choose one" in one for one in preview(found, got).questions)


@pytest.mark.parametrize(
    ("stamps", "why"),
    [
        (["12/05/2024 23:50", "13/05/2024 00:00"], "high-numbers"),
        (["03/05/2024 23:50", "04/05/2024 00:00", "05/05/2024 00:10"], "shortest-steps"),
        (["12/11/2024 10:00", "01/12/2024 10:00", "02/12/2024 10:00"], "sequence"),
        (["10/01/2024", "11/01/2024", "05/02/2024", "06/02/2024", "05/02/2024", "07/02/2024"],
         "fewest-back"),
    ],
)  # fmt: skip
def test_the_reason_for_an_order_is_the_real_one(stamps: list[str], why: str) -> None:
    assert understood(stamps).timing.reason.id == f"exchange.dates-by-{why}"


def test_dates_of_two_orders_are_said_to_be_mixed() -> None:
    stamps = ["13/05/2024 10:00", "05/14/2024 10:00", "15/05/2024 10:00"]
    found = understood(stamps)
    assert found.date_order == ""
    with refused(ExchangeError, "exchange.dates-mixed"):
        taken(stamps, datetime(2024, 5, 13, 9, tzinfo=UTC))
    output = understood(stamps, Mapping(date_order="dmy"))
    got = take(output, zone="UTC", start_ms=0)
    assert (got.kept, got.reasons) == (2, {"impossible time": 1})


def test_one_slip_among_many_dates_is_no_other_order() -> None:
    stamps = [f"{day:02}/05/2024 10:00" for day in range(1, 32)] + ["05/14/2024 10:00"]
    assert understood(stamps).date_order == "dmy"


def test_one_day_over_12_far_down_settles_the_order() -> None:
    stamps = [f"12/05/2024 {i // 3600:02d}:{i // 60 % 60:02d}:{i % 60:02d}" for i in range(20000)]
    stamps[7777] = "13/05/2024 00:00:00"
    assert understood(stamps).date_order == "dmy"


def _local(start: datetime, steps: int, minutes: int) -> list[datetime]:
    return [(start + timedelta(minutes=minutes * i)).astimezone(BERLIN) for i in range(steps)]


@pytest.mark.parametrize("minutes", [1, 5, 20, 45, 60])
@pytest.mark.parametrize("newest_first", [False, True])
def test_the_hour_that_comes_twice(minutes: int, newest_first: bool) -> None:
    start = datetime(2024, 10, 26, 22, 0, tzinfo=UTC)  # 00:00 summer time; back at 03:00
    times = _local(start, 360 // minutes, minutes)
    stamps = [when.strftime("%Y-%m-%d %H:%M:%S") for when in times]
    got = taken(stamps[::-1] if newest_first else stamps, start, "Europe/Berlin")
    assert at(got) == [when.astimezone(UTC) for when in times]
    assert any("clocks repeat" in note for note in got.notes)


def test_a_file_twice_over_through_the_doubled_hour_is_kept_once() -> None:
    start = datetime(2024, 10, 26, 22, 0, tzinfo=UTC)
    times = _local(start, 72, 5)
    rows = [f"{when:%Y-%m-%d %H:%M:%S},{30 + i / 10:.1f}" for i, when in enumerate(times)]
    text = "\n".join(["Time,Temp (°C)", *rows, *rows])
    found = understand(read_table(text.encode()))
    got = take(found, zone="Europe/Berlin", start_ms=int(start.timestamp() * 1000))
    assert at(got) == [when.astimezone(UTC) for when in times]
    assert got.reasons == {"duplicate": 72}


def test_offsets_need_no_order() -> None:
    start = datetime(2024, 10, 26, 22, 0, tzinfo=UTC)
    times = _local(start, 72, 5)
    got = taken([when.isoformat() for when in times[::-1]], start, "America/New_York")
    assert at(got) == [when.astimezone(UTC) for when in times]


@pytest.mark.parametrize(
    ("clocks", "hours", "guessed"),
    [
        ("20:00 20:10 10:00 10:10", [0, 1 / 6, 14, 14 + 1 / 6], [2, 3]),  # silent over midnight
        ("20:00 07:00 19:30", [0, 11, 23.5], [2]),  # a night of 11 hours is told, 12.5 are not
        ("20:00 09:00 20:30", [0, 13, 24.5], [1, 2]),  # too few rows to call one astray
        ("20:00 08:00 20:00 08:00", [0, 12, 24, 36], [1, 2, 3]),
        ("20:00 22:00 06:00 08:00", [0, 2, 10, 12], []),
        ("20:00 20:10 20:20 20:15 20:30", [0, 1 / 6, 1 / 3, 1 / 4, 0.5], []),  # out of order
        ("20:00 22:00 19:00 22:10 22:20", [-1, 0, 2, 2 + 1 / 6, 2 + 1 / 3], [0]),  # a late row
        ("19:00 23:00 19:10 19:20", [-1, -1 + 1 / 6, -1 + 1 / 3, 3], [3]),  # one that is ahead
        ("20:00 20:10 07:00 20:20 20:30", [-13, 0, 1 / 6, 1 / 3, 0.5], [0]),  # by half a day
        ("10:10 10:00 20:10 20:00", [14 + 1 / 6, 14, 1 / 6, 0], [2, 3]),  # the newest first
    ],
)
def test_times_of_day_after_a_long_silence(
    clocks: str, hours: list[float], guessed: list[int]
) -> None:
    start = datetime(2024, 5, 3, 20, tzinfo=UTC)
    got = taken([f"{one}:00" for one in clocks.split()], start)
    assert at(got) == sorted(start + timedelta(hours=one) for one in hours)
    assert np.flatnonzero(got.series["milk-temp"].guessed).tolist() == guessed
    assert bool(got.unsure.words) == bool(guessed)


def test_times_of_day_of_each_sensor_pass_midnight_by_themselves() -> None:
    """A row for each value, the sensors one after the other."""
    clocks = [f"{(9 + i // 4) % 24:02d}:{15 * (i % 4):02d}" for i in range(70)]  # over midnight
    rows = [f"{sensor},{one},{31 + i / 100}" for sensor in ("vat", "bath")
            for i, one in enumerate(clocks)]  # fmt: skip
    raw = read_table("\n".join(["Sensor,Time,Value (°C)", *rows]).encode())
    assert raw.sensors is not None
    vat, bath = raw.header[-2:]
    found = understand(raw, Mapping(kinds={vat: "milk-temp", bath: "bath-temp"}))
    start = datetime(2024, 5, 3, 9, tzinfo=UTC)
    got = take(found, zone="UTC", start_ms=int(start.timestamp() * 1000))
    for part in got.series.values():
        assert (part.at_ms / 1000 - start.timestamp()).tolist() == [900 * i for i in range(70)]
    assert not got.unsure.words


def test_a_sensor_that_joins_the_next_day_is_of_that_day() -> None:
    rows = [f"vat,{(20 + i) % 24:02d}:00,31" for i in range(14)]
    rows += [f"{one},{h}:00,33" for h in range(10, 14) for one in ("bath", "vat")]
    raw = read_table("\n".join(["Sensor,Time,Value (°C)", *rows]).encode())
    vat, bath = raw.header[-2:]
    found = understand(raw, Mapping(kinds={vat: "milk-temp", bath: "bath-temp"}))
    got = take(found, zone="UTC", start_ms=20 * 3_600_000)
    assert (got.series["bath-temp"].at_ms // 3_600_000).tolist() == [34, 35, 36, 37]
    assert (got.series["milk-temp"].at_ms // 3_600_000).tolist() == list(range(20, 38))


@pytest.mark.parametrize("minutes", [5, 60])
def test_the_hour_that_never_comes(minutes: int) -> None:
    """A clock that was not put forward shows it, and is read so to the end."""
    start = datetime(2024, 3, 30, 23, 0, tzinfo=UTC)  # 00:00 local; forward at 02:00
    times = [start + timedelta(minutes=minutes * i) for i in range(360 // minutes)]
    stamps = [(when + timedelta(hours=1)).strftime("%Y-%m-%d %H:%M:%S") for when in times]
    got = taken(stamps, start, "Europe/Berlin")
    assert at(got) == times
    assert any("not yet put forward" in note for note in got.notes)


def test_a_clock_put_forward_late() -> None:
    stamps = ["2024-03-31 01:50", "2024-03-31 02:00", "2024-03-31 02:10", "2024-03-31 03:20",
              "2024-03-31 03:30"]  # fmt: skip
    got = taken(stamps, datetime(2024, 3, 31, tzinfo=UTC), "Europe/Berlin")
    assert [when.strftime("%H:%M") for when in at(got)] == [
        "00:50", "01:00", "01:10", "01:20", "01:30",
    ]  # fmt: skip


@given(
    st.datetimes(datetime(2000, 1, 1), datetime(2037, 1, 1)),
    st.sampled_from(["Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata"]),
)
def test_local_times_that_exist_once_agree_with_the_standard_library(
    when: datetime, name: str
) -> None:
    zone = ZoneInfo(name)
    first, second = (when.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    if first.utcoffset() != second.utcoffset():
        return
    local = np.array([(when - datetime(1970, 1, 1)) // timedelta(milliseconds=1)], np.int64)
    utc, notes = to_utc(local, zone)
    assert notes == []
    assert int(utc[0]) == (first - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(milliseconds=1)


FORMATS = ["%Y-%m-%dT%H:%M:%S.%f", "%Y/%m/%d %H:%M:%S,%f", "%d.%m.%Y %H:%M:%S.%f",
           "%d %B %Y %I:%M:%S.%f %p", "%a %d %b %Y %H:%M:%S.%f", "%b %d, %Y %H:%M:%S.%f",
           "%Y%m%dT%H%M%S", "%H:%M:%S.%f %d/%m/%Y"]  # fmt: skip


@given(st.datetimes(datetime(1970, 1, 1), datetime(2199, 12, 31)), st.sampled_from(FORMATS))
def test_stamps_agree_with_the_standard_library(when: datetime, form: str) -> None:
    desktop = locale.setlocale(locale.LC_TIME)
    locale.setlocale(locale.LC_TIME, "C")  # a logger writes English months, AM and PM
    try:
        stamp = when.strftime(form)
    finally:
        locale.setlocale(locale.LC_TIME, desktop)
    parts = read_parts([stamp])
    midnight, good = date_ms(parts, "dmy")
    if "%f" not in form:
        when = when.replace(microsecond=0)
    assert good.all()
    assert int(midnight[0] + parts.clock_ms[0]) == (when - datetime(1970, 1, 1)) // timedelta(
        milliseconds=1
    )


@pytest.mark.parametrize(
    "cell",
    ["2024-02-30", "2023-02-29 10:00", "2024-00-10", "2024-05-12 24:01", "2024-05-12 10:60",
     "2024-05-12 13:00 PM", "2024-05-12 0:30 AM", "1969-12-31", "2200-01-01", "12 Foo 2024", "",
     "2024-05-12 10:00 extra", "x" * 60],
)  # fmt: skip
def test_times_that_are_none(cell: str) -> None:
    parts = read_parts([cell])
    assert not date_ms(parts, "dmy")[1].any()


def test_midnight_of_either_day() -> None:
    parts = read_parts(["2024-05-12 24:00", "2024-05-13 00:00", "05/12/2024 12:00 AM"])
    midnight, good = date_ms(parts, "mdy")
    assert good.all()
    assert (midnight + parts.clock_ms - midnight[0]).tolist() == [DAY_MS, DAY_MS, 0]


def test_elapsed_forms() -> None:
    cells = ["0:00:05", "1:02:03", "26:00:00", "1:30", "0:00:00.250", "1 d 2:00:00", "1:75:00", "x"]
    assert read_elapsed(cells).tolist() == [
        5000, 3_723_000, 93_600_000, 5_400_000, 250, 93_600_000, -1, -1,
    ]  # fmt: skip
    assert read_elapsed(["1:30"], minutes_first=True).tolist() == [90_000]


def test_counted_times_begin_at_the_start_of_the_make() -> None:
    start = datetime(2024, 5, 12, 9, 0, tzinfo=UTC)
    for head, cells in {
        "Elapsed (ms)": ["0", "60000", "90000"],
        "t [s]": ["0", "60", "90"],
        "Elapsed minutes": ["0", "1", "1.5"],
        "Hours": ["0", "0.0166666667", "0.025"],
        "Elapsed mm:ss": ["0:00", "1:00", "1:30"],
        "Run time": ["0:00:00", "0:01:00", "0:01:30"],
    }.items():
        rows = "".join(f"{cell};3{i}\n" for i, cell in enumerate(cells))
        found = understand(read_table(f"{head};Temp (°C)\n{rows}".encode()))
        got = take(found, zone="UTC", start_ms=int(start.timestamp() * 1000))
        assert at(got) == [start + timedelta(seconds=s) for s in (0, 60, 90)], head


def test_elapsed_without_a_unit_is_said_and_can_be_chosen() -> None:
    data = b"time;Temp (\xb0C)\n0;30\n1;31\n2;32\n"
    found = understand(read_table(data))
    assert found.timing.form == "elapsed-s"
    assert any("seconds" in question for question in found.questions)
    chosen = understand(found.raw, Mapping(time=("time",), time_form="elapsed-min"))
    got = take(chosen, zone="UTC", start_ms=0)
    assert got.series["milk-temp"].at_ms.tolist() == [0, 60_000, 120_000]


def test_times_of_day_pass_midnight() -> None:
    start = datetime(2024, 5, 12, 22, 0, tzinfo=UTC)
    got = taken(["22:10", "23:50", "00:10", "08:00", "22:30"], start)
    assert at(got) == [start + timedelta(minutes=m) for m in (10, 110, 130, 600, 24 * 60 + 30)]


def test_times_of_day_newest_first_and_from_before_the_start() -> None:
    start = datetime(2024, 5, 12, 0, 5, tzinfo=UTC)
    got = taken(["00:30", "00:10", "23:50", "23:30"], start)
    assert at(got) == [start + timedelta(minutes=m) for m in (-35, -15, 5, 25)]


def test_a_zone_that_does_not_exist() -> None:
    with refused(ExchangeError, "records.no-zone", name="Moon/1"):
        taken(["2024-05-12 10:00", "2024-05-12 10:01"], datetime(2024, 5, 12, tzinfo=UTC), "Moon/1")
