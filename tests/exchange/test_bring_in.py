"""A logger's file into a make: counted, remembered, one step, nothing twice."""

from __future__ import annotations

import pytest

from journal.exchange import ExchangeError
from journal.exchange.bring_in import ALREADY, AS_BEFORE, bring_in, preview, remembered_mapping
from journal.exchange.loggers.mapping import Mapping
from journal.message import Message
from journal.records.instants import from_iso
from journal.wording import worded

LOG = """Time,Milk (°F),Curd pH
2026-07-14 08:00,87.8,6.60
2026-07-14 08:10,89.6,
2026-07-14 08:10,89.6,
2026-07-14 08:20,999,6.50
"""


def test_the_preview_keeps_nothing(kept, make, write):
    seen = preview(kept, make, write("log.csv", LOG))
    assert seen.taken is not None
    assert seen.taken.kept == 4
    assert [column.kind for column in seen.preview.columns] == ["", "milk-temp", "curd-ph"]
    assert kept.readings.count(make.id) == 0
    assert remembered_mapping(kept, seen.understood.raw.shape) is None


def test_values_are_counted_and_kept_in_kept_units(kept, make, write):
    report = bring_in(kept, make, write("log.csv", LOG))
    assert (report.read, report.kept, report.skipped) == (4, 4, 4)
    assert report.kept + report.skipped == report.read * 2
    assert sum(report.reasons.values()) == report.skipped
    milk = kept.readings.trace(make.id, "milk-temp")
    assert milk.value.tolist() == pytest.approx([31.0, 32.0])
    assert milk.at_ms[0] == from_iso("2026-07-14T08:00", "Europe/London")


def test_nothing_is_kept_twice(kept, make, write):
    path = write("log.csv", LOG)
    bring_in(kept, make, path)
    again = bring_in(kept, make, path)
    assert again.kept == 0
    assert again.reasons[ALREADY] == 4
    assert again.kept + again.skipped == again.read * 2
    assert kept.readings.count(make.id) == 4
    longer = bring_in(kept, make, write("more.csv", LOG + "2026-07-14 08:30,91.4,6.40\n"))
    assert longer.kept == 2


def test_it_is_one_step_to_undo(kept, make, write):
    bring_in(kept, make, write("log.csv", LOG))
    assert kept.undo_name == Message("import log.csv")
    kept.undo()
    assert kept.readings.count(make.id) == 0
    kept.redo()
    assert kept.readings.count(make.id) == 4


def test_the_mapping_is_remembered_for_the_next_file_of_the_shape(kept, make, write):
    first = "when,A,B\n2026-07-14 08:00,88,20\n2026-07-14 08:05,89,20.5\n"
    output = Mapping(kinds={"A": "milk-temp"}, unit="degF")
    assert bring_in(kept, make, write("one.csv", first), output).kept == 2
    second = "when,A,B\n2026-07-14 09:00,90,21\n2026-07-14 09:05,91,21\n"
    report = bring_in(kept, make, write("two.csv", second))
    assert worded(AS_BEFORE) in report.notes
    assert report.kept == 2
    milk = kept.readings.trace(make.id, "milk-temp").value
    assert milk.tolist() == pytest.approx([(f - 32) / 1.8 for f in (88, 89, 90, 91)])
    other = "when,A,C\n2026-07-14 10:00,30,21\n2026-07-14 10:05,31,21\n"
    assert not preview(kept, make, write("three.csv", other)).remembered


def test_what_is_said_goes_before_what_is_remembered(kept, make, write):
    text = "when,A,B\n2026-07-14 08:00,88,20\n2026-07-14 08:05,89,20.5\n"
    path = write("one.csv", text)
    bring_in(kept, make, path, Mapping(kinds={"A": "milk-temp"}, unit="degF"))
    bring_in(kept, make, path, Mapping(kinds={"B": "load"}, unit="kg"))
    assert len(kept.readings.trace(make.id, "milk-temp")) == 2
    assert kept.readings.trace(make.id, "load").value.tolist() == [20.0, 20.5]
    bring_in(kept, make, path, Mapping(unit="lb"))
    assert len(kept.readings.trace(make.id, "load")) == 4


def test_a_spoilt_memory_is_no_obstacle(kept, make, write):
    path = write("log.csv", LOG)
    shape = preview(kept, make, path).understood.raw.shape
    for spoilt in ("no json", "[1]", '{"kinds": {"Milk (°F)": "moon"}}'):
        kept.set_setting(f"mapping:{shape}", spoilt)
        assert remembered_mapping(kept, shape) is None
    assert bring_in(kept, make, path).kept == 4


def test_elapsed_times_count_from_the_makes_start(kept, make, write):
    text = "elapsed (min),milk temp (C)\n0,30\n10,31\n20,31.5\n"
    bring_in(kept, make, write("log.csv", text))
    milk = kept.readings.trace(make.id, "milk-temp")
    assert milk.minutes_from(make.started_ms).tolist() == [0, 10, 20]


def test_an_open_question_keeps_nothing(kept, make, write):
    path = write("log.csv", "Time,X\n2026-07-14 08:00,1\n2026-07-14 08:05,2\n")
    seen = preview(kept, make, path)
    assert seen.taken is None
    assert seen.why_not
    with pytest.raises(ExchangeError, match=r"exchange.nothing-mapped"):
        bring_in(kept, make, path)
    assert kept.undo_name == Message("keeping.act-begin-make")


def test_readings_of_another_season_are_kept_with_a_word_of_warning(kept, make, write):
    text = LOG.replace("2026-07-14", "2025-01-14")
    report = bring_in(kept, make, write("log.csv", text))
    assert report.kept == 4
    assert any("Check the dates" in note for note in report.notes)


def test_a_unit_that_nobody_named_is_said_once_it_is_kept(kept, make, write):
    path = write("log.csv", "Time,Temp\n2026-07-14 08:00,31\n2026-07-14 08:05,31.5\n")
    assert "“Temp” names no unit, so °C is assumed." in bring_in(kept, make, path).notes
    named = write("named.csv", LOG)
    assert not any("names no unit" in note for note in bring_in(kept, make, named).notes)


def test_readings_before_the_make_are_said(kept, make, write):
    early = "".join(f"2026-07-14 06:{m:02},{30 + m / 100}\n" for m in range(34, 60))
    path = write("log.csv", f"Time,Temp (°C)\n{early}2026-07-14 08:00,31\n")
    output = "26 readings lie before the make began, the first by 1 h 26 min."
    assert output in preview(kept, make, path).preview.sentences
    report = bring_in(kept, make, path)
    assert output in report.notes
    assert report.warnings == (output,)
    one = write("one.csv", "Time,Temp (°C)\n2026-07-14 07:57,31.2\n2026-07-14 08:05,31.5\n")
    assert bring_in(kept, make, one).warnings == (
        "1 reading lies before the make began, by 3 min.",
    )


def test_a_column_that_looks_like_a_reading_and_was_not_named_is_said(kept, make, write):
    path = write("log.csv", LOG)
    seen = preview(kept, make, path, Mapping(kinds={"Curd pH": "whey-ph"}))
    output = [
        one for one in seen.preview.questions if "only the columns you name are imported" in one
    ]
    assert [one.startswith("“Milk (°F)” looks like milk (milk-temp)") for one in output] == [True]
    report = bring_in(kept, make, path, Mapping(kinds={"Curd pH": "whey-ph"}))
    assert set(output) <= set(report.notes)
    both = {"Curd pH": "whey-ph", "Milk (°F)": ""}  # left out on purpose
    assert preview(kept, make, path, Mapping(kinds=both)).passed_over == ()


def test_one_of_everything_is_told_as_one(kept, make, write):
    path = write("log.csv", "Logger 7\nTime,Temp (°C)\n2026-07-14 08:00,31\n")
    output = preview(kept, make, path).preview.sentences
    assert output[0].startswith("1 row, 2 columns with commas between them")
    assert "1 line before the header was skipped." in output
    assert output[-1] == "1 row read, 1 value saved, 0 skipped."


def test_the_form_of_the_time_and_the_decimal_mark_are_found_in_each_file(kept, make, write):
    # 46217 is 14 July 2026 in the 1900 date system (5 July 2011 is 40729: Microsoft, "Date systems
    # in Excel").
    head = "Time;Milk (°C)\n"
    bring_in(kept, make, write("one.csv", f"{head}0;31.1\n600;31.2\n"))
    report = bring_in(kept, make, write("two.csv", f"{head}46217,375;31,2\n46217,5;31,4\n"))
    assert (report.kept, report.skipped) == (2, 0)
    milk = kept.readings.trace(make.id, "milk-temp")
    assert milk.minutes_from(make.started_ms).tolist() == [0, 10, 60, 240]
    assert milk.value.tolist() == [31.1, 31.2, 31.2, 31.4]
    again = write("three.csv", f"{head}2026-07-14 13:00;31,5\n2026-07-14 13:10;31,6\n")
    assert bring_in(kept, make, again).kept == 2
