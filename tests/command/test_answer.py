"""An answer: text and JSON come from one list of values."""

from __future__ import annotations

import argparse

import pytest

from journal.command.answer import (
    AnswerColumn,
    CommandAnswer,
    Table,
    Value,
    answer,
    count,
    figure,
    lines,
    optional,
    text_only,
)
from journal.command.parser import FILE, CommandOption, command, several, spelt_out

MILKS: Table[tuple[str, float | None]] = Table(
    AnswerColumn("name", lambda row: row[0], "milk"),
    AnswerColumn("litres", lambda row: figure(row[1], 1, "L"), "how much", right=True),
    AnswerColumn("known", lambda row: row[1] is not None),
    AnswerColumn("", lambda row: "unknown" if row[1] is None else "", ""),
)


def test_a_table_gives_lines_and_records_of_the_same_rows():
    found = MILKS.answer([("evening", 12.04), ("morning", None)], "No milk.")
    assert found.text.splitlines() == [
        "milk     how much",
        "evening    12.0 L",
        "morning         –  unknown",
    ]
    assert found.data == [
        {"name": "evening", "litres": 12.04, "known": True},
        {"name": "morning", "litres": None, "known": False},
    ]
    assert MILKS.answer([], "No milk.") == CommandAnswer([], "No milk.")


def test_a_note_stands_below_for_the_records_that_have_one():
    found = MILKS.answer([("a", 1.0), ("b", None)], "", lambda one: "" if one["known"] else "b?")
    assert found.text.splitlines()[3:] == ["b?"]


def test_a_sentence_leaves_out_lines_with_nothing_to_say():
    found = answer(
        ("{rows} of {file}{odd}", "{verdict}", "", "{notes}", "command.made-journal"),
        rows=count(2, "wording.many-stage"),
        file="a {b}.csv",
        odd=text_only(", odd"),
        verdict=optional(None),
        notes=lines(["One.", "Two."]),
    )
    assert found.text == (
        "2 stages of a {b}.csv, odd\n\nOne.\nTwo.\nMade a new journal, a {b}.csv."
    )
    assert found.data == {"rows": 2, "file": "a {b}.csv", "notes": ["One.", "Two."]}


@pytest.mark.parametrize(
    ("output", "data", "text"),
    [("No.", {"said": "No."}, "No."), (["A", "B"], {"said": ["A", "B"]}, "A\nB"), ([], {}, "")],
)
def test_what_is_optional_is_a_key_only_where_it_is_said(output, data, text):
    found = answer("{said}", said=optional(output))
    assert (found.data, found.text) == (data, text)


def test_a_table_stands_in_a_sentence_as_one_value():
    found = answer("{milks}", 1, milks=MILKS.of([("a", 1.0)]), far=Value(3, "three"))
    assert found.data == {"milks": [{"name": "a", "litres": 1.0, "known": True}], "far": 3}
    assert (found.text, found.code) == ("milk  how much\na        1.0 L", 1)


def test_what_may_be_said_once_follows_from_how_a_command_is_declared():
    def run(args: argparse.Namespace) -> CommandAnswer:
        return answer("")

    one = command("x", "does x", FILE, several("--map", "what", "A=B"))(run)
    more = command(
        "y", "does y", FILE, CommandOption("codes", "…", nargs="+"), several("--map", "", "A")
    )
    assert spelt_out(["x", "f", "--map", "a", "b"], one) == ["x", "f", "--map", "a", "--map", "b"]
    assert spelt_out(["y", "f", "--map", "a", "b"], more(run)) == ["y", "f", "--map", "a", "b"]
