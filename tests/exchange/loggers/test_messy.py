"""What goes wrong in real files: gaps, repeats, bad cells, open quotes, hostile bytes."""

from __future__ import annotations

import io
import random
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.exchange import ExchangeError
from journal.exchange.loggers import table
from journal.exchange.loggers.preview import account, preview
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.take import LoggerReadings, take
from journal.exchange.loggers.understand import understand
from tests.refusals import refused

START_MS = 1_715_536_800_000  # 2024-05-12T18:00:00Z


def taken_from(text: str | bytes) -> LoggerReadings:
    data = text if isinstance(text, bytes) else text.encode()
    return take(understand(read_table(data)), zone="UTC", start_ms=START_MS)


GOOD = [f"2024-05-12 18:{m:02d}:00,{31 + m / 10:.1f}" for m in range(10)]


def lines(*rows: str) -> str:
    return "\n".join(["Time,Temp (°C)", *rows]) + "\n"


def test_each_reason_is_counted() -> None:
    rows = [
        *GOOD[:3],
        "2024-05-12 18:10:00,",
        "2024-05-12 18:11:00,---",
        "2024-05-12 18:12:00,warm",
        "2024-05-12 18:13:00,850",
        "2024-13-45 18:14:00,31",
        "2024-05-12 25:14:00,31",
        "2023-02-29 18:14:00,31",
        "later,31",
        "Time,Temp (°C)",
        GOOD[1],
        "2024-05-12 18:15:00,31 %",
        "2024-05-12 18:16:00,NaN",
        "2024-05-12 18:17:00,1e999",
        *GOOD[3:],
    ]
    taken = taken_from(lines(*rows))
    assert taken.reasons == {
        "repeated header": 1,
        "impossible time": 4,
        "empty value": 3,
        "not a number": 2,
        "a unit that does not fit": 1,
        "outside what is possible": 1,
        "duplicate": 1,
    }
    assert taken.read == len(rows) == taken.kept + taken.skipped
    assert taken.kept == len(GOOD)
    assert account(taken).startswith("23 rows read, 10 values saved, 13 skipped: ")


def test_two_columns_count_two_values() -> None:
    taken = taken_from(
        "Time,Milk temp (°C),pH\n2024-05-12 18:00,31,6.6\n2024-05-12 18:01,31.1,\n"
        "Time,Milk temp (°C),pH\n2024-05-12 18:02,31.2,6.5\n"
    )
    assert (taken.read, taken.kept, taken.skipped) == (4, 5, 3)
    assert taken.reasons == {"repeated header": 2, "empty value": 1}


def test_rows_out_of_order_are_sorted_and_said() -> None:
    shuffled = GOOD[:]
    random.Random(3).shuffle(shuffled)
    taken = taken_from(lines(*shuffled))
    whole = taken_from(lines(*GOOD))
    np.testing.assert_array_equal(taken.series["milk-temp"].at_ms, whole.series["milk-temp"].at_ms)
    np.testing.assert_array_equal(taken.series["milk-temp"].value, whole.series["milk-temp"].value)
    assert any("out of order" in note for note in taken.notes)
    newest_first = taken_from(lines(*reversed(GOOD)))
    assert newest_first.kept == len(GOOD)
    assert any("reversed" in note for note in newest_first.notes)


def test_a_file_appended_to_itself_is_kept_once() -> None:
    once = lines(*GOOD)
    taken = taken_from(once + once)
    assert (taken.kept, taken.reasons) == (10, {"repeated header": 1, "duplicate": 10})


def test_lines_before_the_header_that_come_again() -> None:
    before = "Logger;3\nSerial;0001\n"
    body = lines(*GOOD).replace(",", ";")
    taken = taken_from(before + body + before + body.replace("18:", "19:"))
    assert (taken.kept, taken.skipped) == (20, 3)
    assert taken.reasons == {"repeated header": 3}


def test_the_same_instant_with_another_value_is_kept() -> None:
    taken = taken_from(lines(*GOOD, "2024-05-12 18:00:00,31.7"))
    assert taken.kept == 11
    assert taken.series["milk-temp"].value[:2].tolist() == [31.0, 31.7]


def test_a_channel_that_is_nearly_always_empty_is_found() -> None:
    rows = [f"2024-05-12 18:{i // 60 % 60:02d}:{i % 60:02d},31," for i in range(3000)]
    rows[1234] += "6.6"
    taken = taken_from("Time,Temp (°C),pH\n" + "\n".join(rows))
    assert taken.series["curd-ph"].value.tolist() == [6.6]
    assert taken.reasons == {"empty value": 2999}


def test_rows_of_uneven_length() -> None:
    rows = [*GOOD[:4], "2024-05-12 18:20:00", "2024-05-12 18:21:00,33.5,x,y", *GOOD[4:]]
    taken = taken_from(lines(*rows))
    assert (taken.kept, taken.reasons) == (11, {"empty value": 1})
    assert "2 rows had more or fewer cells than the others." in taken.notes


def test_zero_bytes_are_dropped() -> None:
    data = lines(*GOOD).encode()
    taken = taken_from(data[:60] + b"\0\0\0" + data[60:] + b"\0" * 40)
    assert taken.kept == 10


def test_a_quote_never_closed_swallows_nothing() -> None:
    rows = [f"{row},ok" for row in GOOD]
    rows[2] = '2024-05-12 18:02:00,31.2,"the 12 inch vat'
    taken = taken_from("Time,Temp (°C),note\n" + "\n".join(rows))
    assert taken.kept == 10


def test_quoted_cells_with_the_delimiter_and_line_ends() -> None:
    taken = taken_from('"Time","Temp,\n(°F)","a, b"\n' + "".join(
        f'"2024-05-12 18:0{m}:00","5{m},5","x, y"\n' for m in range(5)
    ))  # fmt: skip
    np.testing.assert_allclose(
        taken.series["milk-temp"].value, [(50.5 + m - 32) / 1.8 for m in range(5)]
    )


def test_thousands_in_a_load() -> None:
    taken = taken_from(
        "Time;Load (kg)\n2024-05-12 18:00;1.020,5\n2024-05-12 18:01;999,5\n"
        "2024-05-12 18:02;1 100,25\n2024-05-12 18:03;12,5\n"
    )
    assert taken.series["load"].value.tolist() == [1020.5, 999.5, 1100.25, 12.5]


def test_a_footer_is_an_impossible_time() -> None:
    taken = taken_from(lines(*GOOD, "End of data,", "Total,10"))
    assert taken.kept == 10
    assert taken.reasons == {"impossible time": 2}


def test_a_cut_off_utf16_file() -> None:
    taken = taken_from(lines(*GOOD).encode("utf-16")[:-3])
    assert (taken.kept, taken.skipped) == (9, 1)


@pytest.mark.parametrize(
    ("data", "message_id"),
    [
        (b"", "exchange.file-empty"),
        (b"\n\n  \n", "exchange.file-empty"),
        (b"PK\x03\x04rest", "exchange.is-a-spreadsheet"),
        (b"SQLite format 3\0", "exchange.is-a-database"),
        (b"%PDF-1.7", "exchange.is-a-pdf"),
        (b"hello there\nno table\n", "exchange.no-numbers"),
        (b"Time,Temp\n", "exchange.no-numbers"),
        (b"1," * 400, "exchange.too-many-columns"),
        (b"a" * 300_000, "exchange.line-too-long"),
    ],
)
def test_refused_with_a_sentence(data: bytes, message_id: str) -> None:
    with refused(ExchangeError, message_id):
        read_table(data)


def test_files_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with refused(ExchangeError, "exchange.file-not-there"):
        read_table(tmp_path / "gone.csv")
    with refused(ExchangeError, "keeping.file-not-read"):
        read_table(tmp_path)
    with refused(ExchangeError, "keeping.file-not-read"):
        read_table("a\0b")
    path = tmp_path / "log.csv"
    path.write_text(lines(*GOOD), encoding="utf-8")
    assert read_table(str(path)).rows == 10
    monkeypatch.setattr(table, "LARGEST_BYTES", 50)
    mb = path.stat().st_size / 1e6
    with refused(ExchangeError, "exchange.file-too-large", mb=mb, most=50 / 1e6):
        read_table(path)
    monkeypatch.setattr(table, "open_other", lambda _path: io.BytesIO(b"x" * 51))  # it grew
    path.write_bytes(b"x")
    with refused(ExchangeError, "many", size=51):
        table.bytes_of(path, 50, lambda size: ExchangeError("many", size=size))


def test_a_table_with_nothing_to_map() -> None:
    with refused(ExchangeError, "exchange.nothing-mapped"):
        taken_from("Time,Level\n2024-05-12 18:00,3\n2024-05-12 18:01,4\n")
    with refused(ExchangeError, "exchange.no-time-column"):
        taken_from("Vat,Temp (°C)\nA,31\nB,32\n")


def test_the_preview_says_what_was_understood() -> None:
    raw = read_table(lines(*GOOD, "Time,Temp (°C)").encode())
    found = understand(raw)
    taken = take(found, zone="UTC", start_ms=START_MS)
    shown = preview(found, taken, rows=3)
    assert shown.rows == tuple(tuple(row.split(",")) for row in GOOD[:3])
    assert [(c.name, c.taken_as, c.kind) for c in shown.columns] == [
        ("Time", "date and time", ""),
        ("Temp (°C)", "milk, °C", "milk-temp"),
    ]
    assert "11 rows, 2 columns with commas between them, decimal point, UTF-8." in shown.sentences
    assert shown.sentences[-1] == ("11 rows read, 10 values saved, 1 skipped: repeated header 1.")
    assert preview(found).questions == ()


def _never_more_than_an_exchange_error(data: bytes) -> None:
    try:
        found = understand(read_table(data))
        taken = take(found, zone="Europe/Berlin", start_ms=START_MS)
        preview(found, taken)
    except ExchangeError:
        return
    assert taken.kept + taken.skipped == taken.read * len(found.readings)
    for series in taken.series.values():
        pairs = list(zip(series.at_ms.tolist(), series.value.tolist(), strict=True))
        assert len(set(pairs)) == len(pairs)
        assert (np.diff(series.at_ms) >= 0).all()
        assert np.isfinite(series.value).all()


@given(st.binary(max_size=400))
def test_any_bytes(data: bytes) -> None:
    _never_more_than_an_exchange_error(data)


_CELLS = st.sampled_from(
    ["", "31", "31,5", "-4.2", "2024-05-12 18:00", "12/05/2024", "05/12/24 6:01 PM", "18:00",
     "1715536800", "1715536800000", "0:05:00", "12 May 2024 18:00:01.5", "99999999999999999999",
     "88 °F", "%", "Temp", "Time", "pH", '"', "2024-10-27 02:30", "2024-03-31 02:30", "1e308",
     "-", "nan", "١٢", "\ufffd", "2024-05-12T18:00+25:99", "9999-99-99", "Elapsed (s)"]
)  # fmt: skip


@settings(max_examples=300)
@given(
    st.lists(st.lists(_CELLS, min_size=1, max_size=4), min_size=1, max_size=12),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["utf-8", "utf-16", "utf-16-le"]),
    st.booleans(),
)
def test_likely_cells_in_any_order(
    rows: list[list[str]], mark: str, encoding: str, headed: bool
) -> None:
    head = [["Time", "Temp (°C)", "pH", "Temp 2"]] if headed else []
    text = "\n".join(mark.join(row) for row in [*head, *rows])
    _never_more_than_an_exchange_error(text.encode(encoding))


@given(st.lists(st.tuples(st.integers(0, 59), st.integers(200, 400)), min_size=1, max_size=40))
def test_nothing_is_kept_twice(found: list[tuple[int, int]]) -> None:
    rows = [f"2024-05-12 18:{m:02d}:00,{t / 10:.1f}" for m, t in found]
    taken = taken_from(lines(*rows))
    assert taken.kept == len(set(found))
    assert taken.reasons.get("duplicate", 0) == len(found) - len(set(found))
    series = taken.series["milk-temp"]
    minutes = ((series.at_ms - START_MS) // 60_000).tolist()
    assert set(zip(minutes, np.round(series.value * 10).astype(int).tolist(), strict=True)) == set(
        found
    )
