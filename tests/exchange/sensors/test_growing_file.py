"""A file a logger keeps appending to: half lines, rotation, truncation, restarts."""

from __future__ import annotations

import os
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.understand import understand
from journal.exchange.sensors.growing_file import FileSensor
from journal.exchange.sensors.sensor import Backoff
from journal.exchange.sensors.tail import CHUNK, Tail
from journal.records.instants import from_iso
from journal.records.traces import DOUBTFUL

HEADER = "Time,Probe (°C),Note\n"
FIRST = datetime(2026, 3, 14, 9, 0, tzinfo=UTC)  # London keeps UTC in March
QUICK = Backoff(first=0.02, most=0.1)


def row(number: int) -> str:
    """A row every ten seconds, each with a temperature of its own."""
    at = FIRST + timedelta(seconds=10 * number)
    return f"{at:%Y-%m-%d %H:%M:%S},{value(number):.2f},\n"


def value(number: int) -> float:
    return round(20 + number * 0.01, 2)


def values(count: int) -> list[float]:
    return [value(n) for n in range(count)]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    folder = tmp_path / "logger"
    folder.mkdir()
    return folder / "vat.csv"


@pytest.fixture
def sensor_on(source_for, clock):
    """A sensor on a file, with the mapping that setting it up on such a file gave."""
    mapping = understand(read_table((HEADER + row(0) + row(1)).encode())).mapping

    def made(path: Path, **others) -> FileSensor:
        source = source_for("file", path=str(path), mapping=mapping.to_dict())
        return FileSensor(
            source, zone="Europe/London", clock=clock, since_ms=clock.now_ms, poll_s=0.01,
            backoff=QUICK, **others,
        )  # fmt: skip

    return made


def add(path: Path, text: str) -> None:
    with path.open("ab") as file:
        file.write(text.encode())


def test_rows_arrive_as_they_are_written(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0))
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1)
    for number in range(1, 40):
        add(path, row(number))
    wait(lambda: len(heap.arrived) >= 40)
    assert heap.values == values(40)
    assert heap.instants == [heap.instants[0] + 10_000 * n for n in range(40)]


def test_a_half_written_line_waits_for_its_end(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0) + "2026-03-14 09:00:10,2")
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1)
    add(path, "0.01,\n" + row(2)[:9])
    wait(lambda: len(heap.arrived) == 2)
    add(path, row(2)[9:])
    wait(lambda: len(heap.arrived) == 3)
    assert heap.values == values(3)


@pytest.mark.parametrize("size", [1, 7, 64])
def test_it_may_come_in_any_pieces(path, sensor_on, run, heap, wait, size):
    text = (HEADER + "".join(row(n) for n in range(12))).encode()
    sensor = run(sensor_on(path))
    for at in range(0, len(text), size):
        with path.open("ab") as file:
            file.write(text[at : at + size])
    wait(lambda: len(heap.arrived) >= 12)
    assert heap.values == values(12)
    assert sensor.state.word == "connected"


def test_a_file_that_is_not_there_yet_is_waited_for(path, sensor_on, run, heap, wait):
    sensor = run(sensor_on(path))
    wait(lambda: "no file vat.csv" in sensor.state.sentence)
    assert sensor.state.word == "waiting"
    add(path, HEADER)
    wait(lambda: "no rows" in sensor.state.sentence)
    add(path, row(0))
    wait(lambda: heap.values == values(1))
    assert sensor.state.word == "connected"


def test_rotated_by_renaming_nothing_is_lost(path, sensor_on, run, heap, wait):
    add(path, HEADER)
    run(sensor_on(path))
    number = 0
    for turn in range(5):
        add(path, row(number))
        wait(lambda: heap.values[-1:] == [value(number)])  # noqa: B023 - waited for here
        number += 1
        for _ in range(20):
            add(path, row(number))
            number += 1
        path.rename(path.with_suffix(f".{turn}"))
        add(path.with_suffix(f".{turn}"), row(number))  # the logger's last word in the old file
        number += 1
        add(path, HEADER)
    add(path, row(number))
    number += 1
    wait(lambda: len(heap.arrived) >= number)
    assert heap.values == values(number)
    assert sorted(set(heap.instants)) == heap.instants


def test_copied_and_emptied_nothing_is_lost(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0))
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1)
    number = 1
    for turn in range(4):
        for _ in range(30):
            add(path, row(number))
            number += 1
        shutil.copy(path, path.with_name(f"vat-{turn}.csv"))
        os.truncate(path, 0)
        add(path, HEADER + row(number))
        number += 1
        wait(lambda: heap.values[-1:] == [value(number - 1)])  # noqa: B023 - waited for here
    assert heap.values == values(number)


def test_emptied_while_longer_than_before(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0))
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1)
    path.write_text(HEADER + "".join(row(n) for n in range(1, 60)), encoding="utf-8")
    wait(lambda: len(heap.arrived) >= 60)
    assert heap.values == values(60)


def test_emptied_between_two_looks_no_row_is_taken_from_the_middle(path):
    """The file is written anew, longer than before, while what was added to it is being read."""
    before = [row(n) for n in range(3 * CHUNK // len(row(0)))]
    after = [row(n) for n in range(100_000, 100_000 + 2 * len(before))]
    path.write_text("".join(before), encoding="utf-8")
    tail = Tail(path)
    reading = tail.read()
    taken = next(reading).data
    path.write_text("".join(after), encoding="utf-8")
    taken += b"".join(part.data for part in reading)
    anew = list(tail.read())
    tail.close()
    assert "".join(before).startswith(taken.decode())
    assert [part.fresh for part in anew] == [True] + [False] * (len(anew) - 1)
    assert b"".join(part.data for part in anew).decode() == "".join(after)


def test_a_half_number_whose_end_is_lost_is_none(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0) + row(1)[:-5])  # its 20.01 is a 20 as yet
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1)
    path.write_text(HEADER + row(2), encoding="utf-8")
    wait(lambda: len(heap.arrived) >= 2)
    assert heap.values == [value(0), value(2)]


def test_a_new_file_without_header_goes_on_as_the_first(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0) + row(1))
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 2)
    path.rename(path.with_suffix(".old"))
    add(path, "".join(row(n) for n in range(2, 6)))
    wait(lambda: len(heap.arrived) >= 6)
    assert heap.values == values(6)


def test_other_columns_are_said_and_not_guessed_at(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0))
    sensor = run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1)
    path.unlink()
    add(path, "Time;Room °C;Vat °C\n2026-03-14 09:00:20;19.0;31.0\n")
    wait(lambda: sensor.state.word == "failed")
    assert "other columns" in sensor.state.sentence
    assert len(heap.arrived) == 1


def test_started_again_it_keeps_nothing_twice_and_misses_nothing(path, sensor_on, into, wait):
    add(path, HEADER + "".join(row(n) for n in range(30)))
    sensor = into.start(sensor_on(path))
    wait(lambda: len(into.values()) == 30)
    sensor.stop()
    path.rename(path.with_suffix(".old"))
    add(path, HEADER + "".join(row(n) for n in range(25, 50)))
    sensor = into.start(sensor_on(path))
    wait(lambda: len(into.values()) >= 50)
    sensor.stop()
    assert into.values() == values(50)


def test_what_was_written_before_the_make_began_is_left_out(path, sensor_on, run, heap, wait):
    before = FIRST - timedelta(days=1)
    add(path, HEADER + f"{before:%Y-%m-%d %H:%M:%S},55.0,\n" + row(0))
    run(sensor_on(path))
    wait(lambda: heap.values == values(1))


def test_impossible_values_are_said_and_left_out(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0) + "2026-03-14 09:00:05,850,\n2026-03-14 09:00:07,Err,\n" + row(1))
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 2 and len(heap.options) >= 4)
    assert heap.values == values(2)
    assert [one.understood for one in heap.options[-4:]] == [
        "milk 20.0 °C", "outside what is possible", "empty value", "milk 20.0 °C",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("mark", "encoding"),
    [
        (b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"), (b"", "utf-16-le"),
        (b"", "utf-16-be"), (b"", "latin-1"),
    ],
)  # fmt: skip
def test_another_encoding_is_followed_too(path, sensor_on, run, heap, wait, mark, encoding):
    path.write_bytes(mark + (HEADER + row(0)).encode(encoding))
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1)
    for number in range(1, 10):
        with path.open("ab") as file:
            file.write(row(number).encode(encoding)[:13])
            file.flush()
            file.write(row(number).encode(encoding)[13:])
    wait(lambda: len(heap.arrived) >= 10)
    assert heap.values == values(10)


CLOCKED = "Clock,Probe (°C)\n"


@pytest.fixture
def clocked_on(path, source_for, clock):
    """A sensor on a file whose rows have a time of day alone."""

    def made(since_ms: int) -> FileSensor:
        mapping = understand(read_table(path)).mapping
        source = source_for("file", path=str(path), mapping=mapping.to_dict())
        return FileSensor(source, zone="Europe/London", clock=clock, since_ms=since_ms,
                          poll_s=0.01, backoff=QUICK)  # fmt: skip

    return made


@pytest.mark.parametrize(
    ("begun", "come", "hours", "doubtful"),
    [
        ("10:00", [("07:00", 0.1), ("10:10", 1 / 6)], [0, -3, 1 / 6], [1]),  # one row astray
        ("10:00", [("07:00", 0.1), ("07:10", 0.3)], [0, -3, -17 / 6], [1, 2]),  # its clock was set
        ("10:00", [("15:00", 0.1), ("10:10", 1 / 6)], [0, 5, 1 / 6], [2]),  # one that is ahead
        ("20:00", [("07:00", 11), ("07:10", 11.2)], [0, 11, 67 / 6], []),  # a night
        ("23:55", [("00:05", 1 / 6), ("00:15", 1 / 3)], [0, 1 / 6, 1 / 3], []),  # midnight
        ("22:10", [("00:05", 0), ("00:15", 0)], [0, 23 / 12, 25 / 12], []),  # it goes ahead
        ("20:00", [("09:00", 13), ("09:10", 13.2)], [0, 13, 79 / 6], [1, 2]),  # a long silence
    ],
)
def test_times_of_day_followed_live_are_of_no_day_to_come(
    path, clocked_on, clock, run, heap, wait, begun, come, hours, doubtful
):
    start_ms = clock.now_ms = from_iso(f"2026-03-14T{begun}", "Europe/London")
    add(path, f"{CLOCKED}{begun}:00,20\n")
    run(clocked_on(start_ms - 8 * 3_600_000))
    wait(lambda: len(heap.arrived) == 1)
    for number, (written, later) in enumerate(come):
        clock.now_ms = start_ms + round(later * 3_600_000)
        add(path, f"{written}:00,{21 + number}\n")
        wait(lambda: len(heap.arrived) == number + 2)  # noqa: B023 - waited for here
    assert [(at - start_ms) / 3_600_000 for at in heap.instants] == pytest.approx(hours)
    assert [n for n, one in enumerate(heap.arrived) if one.flags == DOUBTFUL] == doubtful


def test_a_file_of_several_days_that_is_followed_ends_now(path, clocked_on, clock, run, heap, wait):
    clock.after(14 * 3600)  # 23:00, as a make begins
    rows = [f"{(10 + i) % 24:02d}:00:00,{20 + i}\n" for i in range(38)]  # from yesterday, 10:00
    add(path, CLOCKED + "".join(rows))
    run(clocked_on(clock.now_ms))
    wait(lambda: heap.instants == [clock.now_ms])
    clock.after(3600)
    add(path, "00:00:00,58\n")
    wait(lambda: heap.instants == [clock.now_ms - 3_600_000, clock.now_ms])


def test_times_of_day_followed_live_pass_a_night_and_are_marked_after_a_silence(
    path, clocked_on, into, journal, make, clock, wait
):
    add(path, f"{CLOCKED}19:50:00,20\n20:00:00,21\n")
    clock.after(11 * 3600)
    sensor = into.start(clocked_on(clock.now_ms - 3_600_000))  # since 19:00
    wait(lambda: into.values() == [20, 21])
    clock.after(13 * 3600 + 600)
    add(path, "09:00:00,22\n")
    wait(lambda: into.values() == [20, 21, 22])
    add(path, "09:10:00,23\n")
    wait(lambda: into.values() == [20, 21, 22, 23])
    trace = journal.readings.trace(make.id, "milk-temp")
    hours = (trace.at_ms - trace.at_ms[0]) / 3_600_000
    assert hours.tolist() == pytest.approx([0, 1 / 6, 13 + 1 / 6, 13 + 1 / 3])
    assert trace.flags.tolist() == [0, 0, DOUBTFUL, DOUBTFUL]
    assert "from 20:00 to 09:00" in sensor.caution


def test_a_file_of_anything_else_is_given_up_and_one_in_its_place_is_read(
    path, sensor_on, run, heap, wait
):
    path.write_bytes(b"no row\n" * 200_000)
    sensor = run(sensor_on(path))
    wait(lambda: "no rows that can be understood" in sensor.state.sentence)
    add(path, HEADER + row(0))
    path.unlink()
    add(path, HEADER + row(0))
    wait(lambda: len(heap.arrived) == 1)
    assert heap.values == values(1)


def test_a_path_that_leads_through_a_file_or_to_a_folder_cannot_be_read(path, sensor_on, run, wait):
    add(path, HEADER)
    for wrong in (path / "more.csv", path.parent):
        sensor = run(sensor_on(wrong))
        wait(lambda: sensor.state.word == "failed")  # noqa: B023 - waited for here
        assert "cannot be read" in sensor.state.sentence


def test_a_last_half_line_counts_when_the_file_was_put_away(path, sensor_on, run, heap, wait):
    add(path, HEADER + row(0))
    run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1)
    add(path, row(1).rstrip("\n"))
    path.rename(path.with_suffix(".old"))
    wait(lambda: len(heap.arrived) == 2)
    assert heap.values == values(2)


def test_the_hour_that_comes_twice_is_taken_row_by_row(path, source_for, clock, run, heap, wait):
    """London, 25 October 2026: at 02:00 summer time clocks go back to 01:00 (IANA zone data)."""
    begin = datetime(2026, 10, 25, 0, 0, tzinfo=UTC)
    shown = [(begin + timedelta(minutes=10 * n)) for n in range(15)]
    lines = [
        f"{at.astimezone(ZoneInfo('Europe/London')):%Y-%m-%d %H:%M:%S},{value(n):.2f},\n"
        for n, at in enumerate(shown)
    ]
    mapping = understand(read_table((HEADER + "".join(lines[:3])).encode())).mapping
    source = source_for("file", path=str(path), mapping=mapping.to_dict())
    add(path, HEADER)
    run(FileSensor(source, zone="Europe/London", clock=clock, poll_s=0.01, backoff=QUICK))
    # The rows round the step back are written at once, as a logger does that has a buffer.
    pieces = [[line] for line in lines[:5]] + [lines[5:8]] + [[line] for line in lines[8:]]
    for piece in pieces:
        add(path, "".join(piece))
        done = lines.index(piece[-1]) + 1
        wait(lambda: len(heap.arrived) >= done)  # noqa: B023 - waited for here
    assert heap.values == values(15)
    assert heap.instants == [round(1000 * at.timestamp()) for at in shown]


def test_silence_is_told_by_the_clock_and_forgotten_when_rows_come(
    path, sensor_on, run, heap, wait, clock
):
    add(path, HEADER + row(0))
    sensor = run(sensor_on(path))
    wait(lambda: len(heap.arrived) == 1 and sensor.state.word == "connected")
    heard = clock.now_ms
    clock.after(59.9)
    assert sensor.state.word == "connected"
    clock.after(0.1)
    assert (sensor.state.word, sensor.state.since_ms) == ("silent", heard)
    add(path, row(1))
    wait(lambda: sensor.state.word == "connected")
