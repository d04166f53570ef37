"""Rows of a day from paper, as they are typed."""

from __future__ import annotations

from itertools import pairwise

import pytest

from journal.records.instants import from_iso, iso
from journal.records.paper_day import PaperDay, PaperRow, read_rows
from journal.records.plans import Stage

STAGES = (Stage("warm", 30, target_c=31.0), Stage("ripen", 45), Stage("set", 40),
          Stage("cut", 10), Stage("stir", 30))  # fmt: skip
KINDS = ("milk-ph", "milk-ph", "milk-ph", "curd-ph", "whey-acidity")


def day(began: str = "2026-03-14T08:30", zone: str = "Europe/London", unit: str = "C") -> PaperDay:
    start = from_iso(began, zone)
    return PaperDay(
        STAGES, KINDS, (start, None, None, None, None),
        {"temperature": unit, "ph": "pH", "acidity": "lactic"}, zone, start, start + 30 * 3_600_000,
    )  # fmt: skip


def rows(*texts: str) -> list[PaperRow]:
    return [PaperRow(*(cell.strip() for cell in text.split("|"))) for text in texts]


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        (("8:35", "50", "5"), ("08:35", "08:50", "09:05")),
        (("0835", "9.10", "10h05"), ("08:35", "09:10", "10:05")),
        (("835", "08:35", "34"), ("08:35", "08:35", "09:34")),
        (("23:50", "10", "0200"), ("23:50", "00:10", "02:00")),
        (("2026-03-14T09:00", "2026-03-15T01:00"), ("09:00", "01:00")),
    ],
)
def test_times_go_on_from_the_row_above(typed, read):
    lines, faults = read_rows(rows(*typed), day())
    assert faults == []
    assert [iso(line.at_ms, "Europe/London")[11:16] for line in lines] == list(read)
    assert all(a.at_ms <= b.at_ms for a, b in pairwise(lines))


def test_the_hour_that_comes_twice_is_asked_for_or_goes_on():
    london = day("2026-10-25T00:30")
    lines, faults = read_rows(rows("0050", "01:20", "01:20 second", "40"), london)
    assert [(fault.row, fault.message.id) for fault in faults] == [(1, "records.time-twice")]
    assert [iso(line.at_ms, "Europe/London")[11:] for line in lines] == [
        "00:50:00+01:00", "01:20:00+00:00", "01:40:00+00:00",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("unit", "typed", "temp"),
    [("C", "312", 31.2), ("C", "31,2", 31.2), ("C", "88 F", 31.1), ("C", "102", 102.0),
     ("F", "880", 31.1), ("F", "1022", 39.0), ("F", "31 C", 31.0)],
)  # fmt: skip
def test_a_temperature_may_lack_its_mark_where_nothing_else_is_possible(unit, typed, temp):
    lines, faults = read_rows(rows(f"0840||{typed}"), day(unit=unit))
    assert faults == []
    assert lines[0].temp_c == pytest.approx(temp, abs=0.05)


@pytest.mark.parametrize(
    ("typed", "kind", "value"),
    [("652", "milk-ph", 6.52), ("65", "milk-ph", 6.5), ("6,52", "milk-ph", 6.52),
     ("18 D", "milk-acidity", 0.18), ("6", "milk-ph", 6.0)],
)  # fmt: skip
def test_an_acidity_is_of_its_stage_and_may_be_titrated(typed, kind, value):
    lines, faults = read_rows(rows(f"0840|||{typed}"), day())
    assert faults == []
    assert (lines[0].acid_kind, lines[0].acid) == (kind, pytest.approx(value, abs=0.005))


def test_stages_by_number_or_letters_begin_once_and_carry_on():
    lines, faults = read_rows(
        rows("0831|1", "0900|rip", "30||31", "0945|3", "1030|STI", "1040|stir", "1100|end"), day()
    )
    assert faults == []
    assert [(line.position, line.begins) for line in lines] == [
        (0, False), (1, True), (1, False), (2, True), (4, True), (4, False), (4, False),
    ]  # fmt: skip
    assert [line.ended for line in lines] == [False] * 6 + [True]


@pytest.mark.parametrize(
    ("typed", "cell", "fault"),
    [
        (("|ripen",), "time", "records.paper-no-time"),
        (("0900", "2026-03-14T08:00"), "time", "records.paper-out-of-order"),
        (("0900|set", "0930|rip"), "stage", "records.paper-stage-before"),
        (("0900|brew",), "stage", "records.no-stage-called"),
        (("0900|9",), "stage", "records.no-stage-called"),
        (("0900|end", "0910"), "time", "records.paper-after-end"),
        (("0900||warmish",), "temp", "quantities.not-of-quantity"),
        (("25:10",), "time", "records.no-time"),
    ],
)
def test_what_cannot_be_is_said_of_its_cell(typed, cell, fault):
    _, faults = read_rows(rows(*typed), day())
    assert [(one.row, one.cell, one.message.id) for one in faults] == [
        (len(typed) - 1, cell, fault)
    ]
