"""Tables of scores: what is a variable, what a label, what is said about gaps."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from journal.findings import AGE_KEY, FindingError, ScoreTable, Variable
from journal.findings.columns import only_numbers_rows
from journal.findings.missing import fill
from journal.message import Message
from journal.wording import text_of
from tests.refusals import refused
from tests.tables import from_columns

TEMPS = [31, 31.5, 32, 31, 30.5, 32]


def table_of(**more: list[object]) -> ScoreTable:
    return from_columns({"score": [5, 6, 7, 6, 5, 8], "temp": TEMPS, **more}, "score")


def names(table: ScoreTable) -> list[str]:
    return [v.name for v in table.variables]


@pytest.mark.parametrize(
    "dates",
    [
        ["2024-01-05", "2024-02-01", "2024-03-07", "2024-03-09", "2024-04-01", "2024-05-02"],
        ["5/1/2024", "1/2/24", "7.3.2024", "09.03.24", "1-4-2024", "2/5/2024"],
        ["5 Jan 2024", "1 Feb 2024", "7 Mar 2024", "9 Mar 2024", "1 Apr 2024", "2 May 2024"],
        [dt.date(2024, m, 1) for m in (1, 2, 3, 5, 8, 9)],
        [dt.datetime(2024, m, 1, tzinfo=dt.UTC) for m in (1, 2, 3, 5, 8, 9)],
    ],
)
def test_dates_are_labels(dates):
    assert names(table_of(made=dates)) == ["temp"]


def test_a_date_column_written_as_numbers_is_a_label():
    assert names(table_of(Date=[45000, 45003, 45001, 45009, 45020, 45011])) == ["temp"]


@pytest.mark.parametrize(
    ("name", "cells"),
    [
        ("row", [1, 2, 3, 4, 5, 6]),
        ("whatever", [1, 2, 3, 4, 5, 6]),
        ("n", [6, 5, 4, 3, 2, 1]),
        ("whatever", [101, 102, 103, 104, 105, 106]),
        ("batch no", [3, 4, 7, 9, 12, 20]),
        ("case", ["1", "2", "3", "4", "5", "6"]),
    ],
)
def test_row_numbers_are_labels(name, cells):
    assert names(table_of(**{name: cells})) == ["temp"]


def test_a_first_column_of_rising_numbers_is_a_label():
    table = from_columns(
        {"vat": [3, 5, 8, 9], "score": [1, 2, 3, 2], "salt": [2, 3, 2, 1]}, "score"
    )
    assert names(table) == ["salt"]


def test_rising_measures_with_gaps_stay_variables():
    assert names(table_of(minutes=[30, 35, 40, 50, 55, 70])) == ["temp", "minutes"]


@pytest.mark.parametrize("word", ["Mean", "average:", "SD", "Total"])
def test_rows_at_the_end_that_sum_the_others_up_are_no_makes(word):
    columns = {
        "Nr": ["1", "2", "3", "4", word],
        "salt": [2, 3, 2, 1, 2.0],
        "score": [5, 6, 7, 6, 6.0],
    }
    table = from_columns(columns, "score")
    assert names(table) == ["salt"]
    assert table.makes == 4
    assert table.notes[0] == Message("findings.summing-row")


def test_a_row_of_words_that_only_mentions_a_mean_is_a_make():
    columns = {"note": ["good", "Mean cow"], "salt": [2, 3], "score": [5, 6]}
    assert from_columns(columns, "score").makes == 2


def test_a_gap_in_the_row_numbers_makes_them_no_variable():
    columns = {"salt": [2, 3, 2, 1], "score": [5, 6, 7, 6], "Nr": [1, 2, None, 4]}
    assert names(from_columns(columns, "score")) == ["salt"]


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        (
            ["x", 5, 5.1, 5.2, 5.3, 5.2],
            "One cell in the column ph is not a number and counts as missing.",
        ),
        (
            ["x", "y", *([5.1, 5.2] * 5)],
            "2 cells in the column ph are not numbers and count as missing.",
        ),
    ],
)
def test_unread_cells_are_said_for_one_and_for_many(cells, says):
    columns = {"score": list(range(len(cells))), "ph": cells}
    (note,) = from_columns(columns, "score").notes
    assert text_of(note) == says


def test_words_are_contrasts_and_few_bad_cells_are_missing():
    table = table_of(
        milk=["cow", "goat", "cow", "cow", "goat", "cow"], ph=[5.4, "5,3", 5.2, "x"] + [5] * 2
    )
    assert names(table) == ["temp", "milk: goat", "ph"]
    assert table.x[:, 1].tolist() == [0, 1, 0, 0, 1, 0]
    assert table.x[1, 2] == 5.3
    assert np.isnan(table.x[3, 2])
    assert any(note.values.get("column") == "ph" for note in table.notes)


def test_named_variables_are_taken_even_when_they_number_rows():
    columns = {"year": [2001, 2002, 2003], "score": [1, 2, 3]}
    assert names(from_columns(columns, "score", ["year"])) == ["year"]


def test_rows_without_a_score_are_left_out_and_said():
    table = from_columns({"score": [5, "", 7], "salt": [1, 2, 4]}, "score")
    assert table.makes == 2
    assert table.notes == [Message("findings.row-left-out")]


def test_rows_of_one_make_count_as_one():
    table = from_columns({"make": ["A", "A", "B"], "score": [5, 6, 7], "salt": [1, 2, 4]}, "score")
    assert (table.makes, table.wheels) == (2, 3)


@pytest.mark.parametrize(
    ("columns", "score", "says"),
    [
        ({"a": [1], "b": [2]}, "taste", "findings.no-such-column"),
        ({"taste": ["good"], "b": [2]}, "taste", "findings.column-without-numbers"),
        ({"taste": [None], "b": [2]}, "taste", "findings.column-without-numbers"),
        ({"taste": [1, 2], "b": ["x", "y"]}, "taste", "findings.no-column-to-look-at"),
        ({"taste": [1, 2]}, "taste", "findings.no-column-to-look-at"),
    ],
)
def test_a_table_that_cannot_do_says_why(columns, score, says):
    with refused(FindingError, says):
        from_columns(columns, score)


def test_a_column_is_found_whatever_its_capitals():
    assert from_columns({"Taste": [1, 2], "b": [2, 1.5]}, "taste").score_name == "Taste"


def test_a_unit_in_the_header_is_read():
    table = from_columns({"score": [1, 2], "salt (%)": [2.5, 2.1]}, "score")
    assert table.variables[0].unit == "%"
    assert table.position("Salt (%)") == table.position("salt") == 0


def test_choosing_says_that_the_age_stays():
    ages = [Variable("salt"), Variable("age at tasting", "age_at_tasting")]
    x = np.array([[1.0, 60.0], [2.0, 90.0]])
    whole = ScoreTable("overall", ["a", "b"], ["A", "A"], x[:, 0], x[:, 0], ages, x)
    assert whole.choosing(["salt"]).notes == [Message("findings.age-stays")]
    assert whole.choosing(["salt", "age at tasting"]).notes == []


def test_choosing_keeps_the_age():
    table = ScoreTable(
        "overall",
        ["1", "2"],
        ["A", "A"],
        np.array([5.0, 6.0]),
        np.zeros(2),
        [Variable("salt"), Variable("acid"), Variable("age at tasting", AGE_KEY)],
        np.ones((2, 3)),
    )
    assert names(table.choosing(["acid"])) == ["acid", "age at tasting"]
    with refused(FindingError, "findings.no-such-variable", variable="sweet"):
        table.choosing(["sweet"])


def test_a_table_must_be_whole():
    with refused(FindingError, "findings.table-uneven"):
        ScoreTable("s", ["1"], ["A"], np.array([1.0, 2.0]), np.zeros(1), [], np.empty((1, 0)))
    with refused(FindingError, "findings.row-without-score"):
        ScoreTable("s", ["1"], ["A"], np.array([np.nan]), np.zeros(1), [], np.empty((1, 0)))


def scored(x, scores, makes=None):
    makes = range(len(x)) if makes is None else makes
    names = [Variable(f"v{j}") for j in range(x.shape[1])]
    one = ["A"] * len(x)
    rows = [str(make) for make in makes]
    return ScoreTable("overall", rows, one, np.array(scores), np.zeros(len(x)), names, x)


def test_gaps_are_filled_from_the_make_then_from_the_middle():
    nan = np.nan
    table = ScoreTable(
        "overall",
        ["a", "a", "b", "c", "d"],
        ["A", "B", "A", "A", "A"],
        np.arange(5.0),
        np.zeros(5),
        [Variable("salt"), Variable("load")],
        np.array([[2.0, nan], [nan, nan], [nan, nan], [3.0, nan], [7.0, nan]]),
    )
    filled = fill(table)
    assert filled.x[:, 0].tolist() == [2, 2, 3, 3, 7]
    assert filled.x[:, 1].tolist() == [0] * 5
    assert filled.filled[:, 0].tolist() == [False, True, True, False, False]
    assert "salt is missing in 2 of 4 makes" in text_of(filled.notes[0])
    assert filled.notes[1] == Message("findings.never-measured", variable="load")


def test_a_gap_is_no_wider_for_a_make_that_was_tasted_more_often():
    """The same makes with the gap's make tasted once, three times, and once with, once without."""
    draw = np.random.default_rng(5)
    salt = draw.normal(size=20)
    x = np.column_stack([salt, salt + 0.5 * draw.normal(size=20)])
    x[3, 1] = np.nan
    filled = fill(scored(x, [0.0] * 20))
    once = filled.covariance_at(np.arange(20) == 3)
    assert once[1, 1] == pytest.approx(filled.unsure[0].covariance[0, 0])
    assert once[1, 1] > 0
    assert not once[0].any()
    several = np.vstack([x, x[3], x[3]])
    more = fill(scored(several, [0.0] * 22, makes=[*range(20), 3, 3]))
    rows = np.isin(np.arange(22), [3, 20, 21])
    assert more.covariance_at(rows)[1, 1] == pytest.approx(more.unsure[0].covariance[0, 0])
    both = filled.covariance_at(np.isin(np.arange(20), [3, 4]))
    assert both[1, 1] == pytest.approx(once[1, 1] / 2)


def test_rising_measures_in_halves_are_no_row_numbers():
    assert not only_numbers_rows("temp", [31.5, 32.5], first=True)
