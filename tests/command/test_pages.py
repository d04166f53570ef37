"""make-page, make-chart and makes-table: what is sent to others."""

from __future__ import annotations

import csv

import pytest
from PySide6.QtGui import QImage

from tests.command.test_sheets import drawn


def test_a_make_as_a_page_and_as_a_chart(begun, tmp_path):
    page, chart = tmp_path / "a.html", tmp_path / "a.png"
    done = drawn("make-page", begun, "latest", page)
    assert (done.returncode, done.stderr) == (0, "")
    assert page.read_text("utf-8").startswith("<!DOCTYPE html>")
    done = drawn("make-chart", begun, "latest", chart)
    assert (done.returncode, done.stderr) == (0, "")
    assert QImage(str(chart)).width() == 2400
    done = drawn("make-chart", begun, "latest", tmp_path / "a.svg")
    words = (tmp_path / "a.svg").read_text("utf-8")
    assert "Source: " in words
    assert "Units: °C, pH." in words


def test_the_makes_as_a_table_and_only_those_that_fit(begun, tmp_path):
    out = tmp_path / "makes.csv"
    done = drawn("makes-table", begun, out)
    assert done.stdout == f"Wrote 1 make to {out}.\n", done
    rows = list(csv.DictReader(out.read_text("utf-8-sig").splitlines()))
    assert rows[0]["make"].endswith("0001")
    assert drawn("makes-table", begun, out, "--filter", "goat >7").stdout.startswith(
        "Wrote 0 makes"
    )


@pytest.mark.parametrize("command", ["make-page", "make-chart"])
def test_another_ending_is_refused(begun, tmp_path, command):
    done = drawn(command, begun, "latest", tmp_path / "a.doc")
    assert done.returncode != 0
    assert "does not end in" in done.stderr
