"""What is doubtful among imported readings is marked, counted and said; nothing of sound ones."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from journal.exchange.air_file import bring_air
from journal.exchange.bring_in import bring_in, preview
from journal.exchange.loggers.mapping import Mapping
from journal.records.traces import DOUBTFUL
from journal.records.wheels import Room

START = datetime(2026, 7, 14, 8)


def logged(*values: float, minutes: float = 1.0, first: float = 0.0) -> str:
    stamps = (START + timedelta(minutes=first + i * minutes) for i in range(len(values)))
    rows = "".join(f"{at:%Y-%m-%d %H:%M:%S},{v}\n" for at, v in zip(stamps, values, strict=True))
    return f"Time,Milk (°C)\n{rows}"


def marked(kept, make, kind="milk-temp"):
    trace = kept.readings.trace(make.id, kind)
    return trace.value[(trace.flags & DOUBTFUL) != 0].tolist()


def test_a_value_far_from_its_neighbours_is_marked_counted_and_said(kept, make, write):
    path = write("log.csv", logged(31.0, 31.1, 42.1, 31.2, 31.3))
    assert preview(kept, make, path).doubts.count == 1
    report = bring_in(kept, make, path)
    assert (report.kept, report.doubtful) == (5, 1)
    assert marked(kept, make) == [42.1]
    assert "1 value is marked as doubtful: milk 42.1 °C at 08:02." in report.notes
    again = bring_in(kept, make, path)
    assert (again.kept, again.doubtful) == (0, 0)
    kept.undo()  # the second, which changed nothing but the memory of the columns
    kept.undo()
    assert kept.readings.count(make.id) == 0


@pytest.mark.parametrize(
    "values",
    [
        (85.0, 31.0, 31.1, 31.2, 31.3),
        (85.0, 85.0, 85.0, 31.1, 31.2),
        (31.0, 31.1, 85.0, 31.2, 31.3),
        (31.0, 31.1, 85.0, 85.0, 31.3),
    ],
)
def test_a_sensor_that_just_woke_is_marked_and_nothing_else(kept, make, write, values):
    # "The power-on reset value of the temperature register is +85°C" (DS18B20 data sheet).
    report = bring_in(kept, make, write("log.csv", logged(*values, minutes=1 / 6)))
    assert marked(kept, make) == [v for v in values if v == 85.0]
    assert report.doubtful == values.count(85.0)
    assert "Exactly 85.0 °C is what some sensors show before they have measured." in report.notes


def test_whey_that_is_heated_to_85_is_not_marked(kept, make, write):
    values = [31 + i * 2.0 for i in range(27)] + [85.0] * 5 + [83.5, 82.0]
    assert bring_in(kept, make, write("log.csv", logged(*values))).doubtful == 0


def test_it_is_doubted_beside_what_is_there(kept, make, write):
    kept.readings.log(make.id, "milk-temp", 31.0, make.started_ms + 60_000)
    report = bring_in(kept, make, write("log.csv", logged(48.0, 31.2, first=2)))
    assert (report.doubtful, marked(kept, make)) == (1, [48.0])


def test_two_values_of_one_instant_are_both_kept_marked_and_said(kept, make, write):
    text = logged(31.0, 31.1, 31.2) + "2026-07-14 08:01:00,33.0\n"
    report = bring_in(kept, make, write("log.csv", text))
    assert (report.kept, report.doubtful) == (4, 2)
    assert sorted(marked(kept, make)) == [31.1, 33.0]
    assert any("1 instant of milk has values that differ; all are saved" in n for n in report.notes)


def test_a_logger_that_writes_whole_minutes_is_not_doubted(kept, make, write):
    rows = "".join(f"2026-07-14 08:{i // 6:02d},{31 + i * 0.02:.2f}\n" for i in range(60))
    assert bring_in(kept, make, write("log.csv", f"Time,Milk (°C)\n{rows}")).doubtful == 0


@pytest.mark.parametrize(
    "values",
    [
        [8 + i * 1.0 for i in range(24)],  # a quick fire, each minute
        [31.0] * 5 + [29.5, 29.0, 29.4, 30.2, 30.8] + [31.0] * 5,  # a lid lifted
        [31 + i * 0.35 for i in range(22)] + [38.7] * 10,  # cooked
    ],
)
def test_ordinary_courses_are_not_doubted(kept, make, write, values):
    assert bring_in(kept, make, write("log.csv", logged(*values))).doubtful == 0


def test_room_air_is_not_taken_and_named(kept, make, write):
    rows = "".join(f"2026-07-14 08:{m:02d},31.{m},12.5,85\n" for m in range(4))
    path = write("log.csv", f"Time,Milk (°C),Room (°C),RH (%)\n{rows}")
    report = bring_in(kept, make, path)
    assert (report.read, report.kept, report.skipped) == (4, 4, 0)
    assert kept.readings.kinds(make.id) == ["milk-temp"]
    output = (
        "“Room (°C)” and “RH (%)” hold the air of a room, which “air” imports into that room; "
        "they were left out."
    )
    assert output in report.notes
    assert output in report.warnings
    seen = preview(kept, make, path)
    assert "“Room (°C)” is left out." in seen.preview.sentences
    assert not any("room-temp" in sentence for sentence in seen.preview.sentences)
    assert output in bring_in(kept, make, path, Mapping(kinds={"Room (°C)": "room-temp",
        "Milk (°C)": "milk-temp", "RH (%)": "room-humidity"})).notes  # fmt: skip


def test_after_a_long_silence_of_a_logger_without_dates_the_day_is_marked_as_a_guess(
    kept, make, write
):
    rows = "".join(f"{one},31.5\n" for one in ("08:00", "08:10", "21:30", "21:40"))
    path = write("bare.csv", f"Time,Milk (°C)\n{rows}")
    seen = preview(kept, make, path)
    assert any("from 08:10 to 21:30" in one for one in seen.preview.questions)
    report = bring_in(kept, make, path)
    assert report.doubtful == 2
    assert any("from 08:10 to 21:30" in one for one in report.warnings)
    trace = kept.readings.trace(make.id, "milk-temp")
    assert trace.flags.tolist() == [0, 0, DOUBTFUL, DOUBTFUL]
    assert any("is marked as doubtful" in one for one in report.warnings)


@pytest.mark.parametrize(
    ("clocks", "flags", "says"),
    [
        ("10:00 10:10 08:05 10:20 10:30", [DOUBTFUL, 0, 0, 0, 0], "1 row out of order, of 08:05, "
         "was read as of the day of the rows around, and may be of another."),
        ("10:00 10:10 08:05 10:20 10:30 08:15 10:40", [DOUBTFUL, DOUBTFUL, 0, 0, 0, 0, 0],
         "2 rows out of order, the first of 08:05, were read as of the day of the rows around, "
         "and may be of another."),
    ],
)  # fmt: skip
def test_a_time_of_day_out_of_order_is_marked_and_said(kept, make, write, clocks, flags, says):
    clocks = clocks.split()
    path = write("bare.csv", "Time,Milk (°C)\n" + "".join(f"{one},31.5\n" for one in clocks))
    report = bring_in(kept, make, path)
    trace = kept.readings.trace(make.id, "milk-temp")
    assert trace.flags.tolist() == flags
    assert f"{says} What is a guess is marked as doubtful." in report.warnings


def test_air_says_that_the_day_is_a_guess_and_of_no_mark(kept, write):
    rows = "".join(f"{one},12.5\n" for one in ("08:00", "08:10", "21:30", "21:40"))
    path = write("air.csv", f"Time,Room (°C)\n{rows}")
    room = kept.rooms.save(Room("Cellar"))
    begin = int(START.replace(tzinfo=UTC).timestamp() * 1000)
    notes = " ".join(bring_air(kept, room, path, start_ms=begin).notes)
    assert "what comes after may be days too early" in notes
    assert "marked" not in notes
