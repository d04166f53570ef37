"""What an import or a typed reading doubts, does not take or asks about, by command."""

from __future__ import annotations

import pytest

from journal.keeping import Journal
from journal.records.traces import DOUBTFUL


@pytest.fixture
def log_file(tmp_path):
    def write(text):
        path = tmp_path / "log.csv"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def test_log_marks_what_the_window_would_ask_about(begun, run):
    at = ("--at", "2026-07-14T08:00")
    assert run("log", begun, "latest", "milk-temp", "31.3", *at, "--json").data["doubtful"] is False
    far = ("log", begun, "latest", "milk-temp", "42.1", "--at", "2026-07-14T08:01")
    done = run(*far)
    assert done.code == 0
    assert "unusual for milk here, so it is marked as doubtful." in done.out
    assert run(*far[:4], "43", "--at", "2026-07-14T08:00:30", "--json").data["doubtful"] is True
    with Journal.open(begun) as journal:
        trace = journal.readings.trace(journal.makes.by_code("latest").id, "milk-temp")
    assert trace.flags.tolist() == [0, DOUBTFUL, DOUBTFUL]


def test_an_import_counts_what_it_marks(begun, run, log_file):
    path = log_file(
        "Time,Milk (°C)\n2026-07-14 08:00,31\n2026-07-14 08:01,42.1\n2026-07-14 08:02,31.1\n"
    )
    seen = run("import-readings", begun, "latest", path, "--preview", "--json").data
    assert (seen["would_keep"], seen["doubtful"]) == (3, 1)
    done = run("import-readings", begun, "latest", path, "--json").data
    assert (done["kept"], done["skipped"], done["doubtful"]) == (3, 0, 1)
    assert any("42.1 °C at 08:01" in note for note in done["notes"])


def test_room_air_alone_is_refused_and_beside_milk_left_out(begun, run, refused, log_file):
    rows = "".join(f"2026-07-14 08:{m:02d},12.{m},85,31.{m}\n" for m in range(9))
    path = log_file(f"Time,Cave temp (°C),RH (%),Milk (°C)\n{rows}")
    done = run("import-readings", begun, "latest", path, "--json").data
    assert (done["read"], done["kept"], done["skipped"], done["reasons"]) == (9, 9, 0, {})
    assert any("“Cave temp (°C)” and “RH (%)” hold the air" in note for note in done["notes"])
    alone = log_file("".join(f"{line.rsplit(',', 1)[0]}\n" for line in path.read_text(
        encoding="utf-8").splitlines()))  # fmt: skip
    output = refused("import-readings", begun, "latest", alone)
    assert "which “air” imports into that room" in output
    assert "--map COLUMN=milk-temp" in output
    with Journal.open(begun) as journal:
        assert journal.readings.count(journal.makes.by_code("latest").id) == 9


def test_a_unit_that_nobody_named_is_asked_for_with_its_option(begun, run, refused, log_file):
    path = log_file("Time,Milk\n2026-07-14 08:00,86\n2026-07-14 08:10,102\n")
    output = refused("import-readings", begun, "latest", path)
    assert output.endswith("Choose its unit. Add --unit degF or --unit degC.")
    done = run("import-readings", begun, "latest", path, "--unit", "degF", "--json").data
    assert done["kept"] == 2
    with Journal.open(begun) as journal:
        trace = journal.readings.trace(journal.makes.by_code("latest").id, "milk-temp")
    assert trace.value.tolist() == pytest.approx([30, (102 - 32) / 1.8])
