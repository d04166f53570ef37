"""Tables for spreadsheets: read back by csv and openpyxl, numbers as numbers, never a formula."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from journal.exchange import ExchangeError
from journal.exchange.tables_out import as_csv, number_of, write_table

TITLES = ["make", "note", "milk, L"]
EVIL = ("=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "a;=1", 'say "hi", you', "x\x07y")


@pytest.mark.parametrize(
    ("text", "number"),
    [("12.0", 12.0), ("1,204", 1204), ("−0.5", -0.5), ("7", 7), ("HL-0001", None), ("007", None),
     ("", None), ("1 Feb", None), ("12 L", None), ("1,2", None), ("1e5", None), ("0", 0)],
)  # fmt: skip
def test_what_is_a_number(text: str, number: float | None) -> None:
    assert number_of(text) == number


def test_csv_comes_back_as_it_was_and_starts_no_formula(tmp_path: Path) -> None:
    rows = [[f"HL-{n:04d}", text, "12.0"] for n, text in enumerate(EVIL)]
    path = write_table(tmp_path / "a.csv", "Makes", TITLES, rows)
    words = path.read_bytes().decode("utf-8-sig")
    back = list(csv.reader(io.StringIO(words)))
    assert back[0] == TITLES
    assert [row[2] for row in back[1:]] == ["12.0"] * len(EVIL)
    for text, row in zip(EVIL, back[1:], strict=True):
        assert row[1].replace("'", "") == text.replace("'", "")
        assert row[1][0] not in "=+-@\t"
    assert as_csv(["a"], [["−0.5"]]).decode("utf-8-sig") == "a\r\n-0.5\r\n"


def test_xlsx_comes_back_with_numbers_and_text_that_is_text(tmp_path: Path) -> None:
    from openpyxl import load_workbook

    rows = [[f"HL-{n:04d}", text, "1,204.5"] for n, text in enumerate(EVIL)]
    path = write_table(tmp_path / "a.xlsx", "Makes: all/of [them]", TITLES, rows)
    sheet = load_workbook(path).active
    cells = list(sheet.iter_rows())
    assert [cell.value for cell in cells[0]] == TITLES
    assert cells[0][0].font.bold
    for text, row in zip(EVIL, cells[1:], strict=True):
        assert row[1].value == text.replace("\x07", "")
        assert row[1].data_type != "f"
        assert row[2].value == 1204.5
    assert sheet.freeze_panes == "A2"


def test_another_ending_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ExchangeError, match=r"exchange.no-table-suffix"):
        write_table(tmp_path / "a.ods", "Makes", TITLES, [])
