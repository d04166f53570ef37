"""The commands on a machine of another language: numbers by comma or point, dates, files."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from journal.keeping import Journal
from tests.locales import DESKTOPS, spoken

AT = "2026-07-14T09"


@pytest.fixture(params=DESKTOPS, autouse=True)
def _language(request):
    with spoken(request.param) as differs:
        assert differs(f"{date(2026, 3, 14):%A %B}")
        yield


def test_what_is_typed_there_is_read_and_comes_back(begun, run, tmp_path):
    for minute, typed in enumerate(("31,5", "31.6 °C", "88,52 °F", "٣١٫٧", "３１．８")):
        assert run("log", begun, "latest", "milk-temp", typed, "--at", f"{AT}:0{minute}").code == 0
    assert run("log", begun, "latest", "curd-ph", "6,55", "--at", f"{AT}:30").code == 0
    log = tmp_path / "logger.csv"
    log.write_text("Zeit;Milch (°C)\n14.07.2026 10:00;32,5\n14.07.2026 10:10;33,5\n", "utf-8")
    words = ("--map", "Milch (°C)=milk-temp")
    assert "2 values saved" in run("import-readings", begun, "latest", str(log), *words).out
    assert run("due", begun, "--on", "2026-12-14").code == 0
    with Journal.open(Path(begun), read_only=True) as journal:
        (make,) = journal.makes.newest(2)
        kept = journal.readings.trace(make.id, "milk-temp").value
    assert kept.tolist() == pytest.approx([31.5, 31.6, 31.4, 31.7, 31.8, 32.5, 33.5])
    out = tmp_path / "out"
    assert run("export", begun, str(out)).code == 0
    table = "".join(one.read_text("utf-8-sig") for one in out.rglob("*.csv"))
    for value in ("31.5", "31.6", "31.4", "31.7", "31.8", "32.5", "33.5", "6.55"):
        assert value in table
    again = str(tmp_path / "again.vatside")
    assert run("import-export", again, str(out)).code == 0
    assert run("check", again).code == 0
    assert run("makes", again, "--json").out == run("makes", begun, "--json").out
