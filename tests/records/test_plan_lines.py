"""The line of each table and key of a plan's file, and a fault that names its own."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.records import RecordError
from journal.records.plan_lines import lines_of
from journal.records.plan_text import builtin_plans, read_plan, write_plan
from journal.wording import text_of
from tests.refusals import refused

TEXT = '''\
form = 1
name = "mine"  # [[stage]] = 3
note = """
[[stage]]
kind = "no key"
"""
taste_at = [
  "5 days",  # kind = 1
  "9 days",
]
source = \'\'\'
it's 'so' \'\'\'

[[stage]]
kind = "warm"
"length" = "30 min"

[[stage]]
kind = "set"
length = "1 h"
gate.kind = "curd-ph"
gate.low = "4.4 pH"
gate.high = "4.6 pH"
[[stage.dose]]
kind = "rennet"
name = "a # b"
amount = "0.02 ml/l"
[[stage.dose]]
kind = "salt"
name = 'with "quotes"'
amount = "2 g/l"

[[care]]
kind = "turn"
from = "2 days"
to = "10 days"
every = "1 day"
'''


def test_lines_are_those_an_editor_shows() -> None:
    lines = lines_of(TEXT)
    shown = TEXT.split("\n")
    assert lines["stage", 1] == 14
    assert lines["stage", 2] == 18
    assert lines["stage", 1, "length"] == 16
    assert lines["stage", 2, "gate", "low"] == 22
    assert lines["stage", 2, "dose", 1, "amount"] == 27
    assert lines["stage", 2, "dose", 2, "name"] == 30
    assert lines["care", 1, "every"] == 37
    for path, line in lines.items():
        last = str(path[-1] if isinstance(path[-1], str) else path[-2])
        assert last in shown[line - 1], (path, line)
    assert ("kind",) not in lines


def test_the_file_is_sound_and_lines_end_as_another_system_ends_them() -> None:
    assert read_plan(TEXT).stages[1].doses[1].name == 'with "quotes"'
    assert lines_of(TEXT.replace("\n", "\r\n")) == lines_of(TEXT)


def test_every_key_of_every_plan_brought_along_has_its_line() -> None:
    for plan in builtin_plans():
        text = write_plan(plan)
        shown, lines = text.split("\n"), lines_of(text)
        keys = [line for line in shown if " = " in line and not line.startswith(" ")]
        named = [path for path in lines if isinstance(path[-1], str) and path[-1] != "gate"]
        assert len(named) == len(keys), plan.name
        for path in named:
            assert shown[lines[path] - 1].startswith(f"{path[-1]} = ")


@given(st.text(max_size=300))
def test_lines_are_found_or_not_but_never_fail(text: str) -> None:
    assert all(1 <= line <= text.count("\n") + 1 for line in lines_of(text).values())


@given(st.text(alphabet="ab\"'#[]{}=\\\n. ", max_size=40))
def test_any_string_may_stand_before_a_key(text: str) -> None:
    from journal.records.plan_values import quoted

    whole = f"first = {quoted(text)}\nlast = 1\n"
    assert tomllib.loads(whole)["first"] == text
    assert lines_of(whole)["last",] == whole.split("\n").index("last = 1") + 1


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('length = "1 h"', 'length = "1 hour"', 20),  # a value that is none
        ('length = "1 h"', 'length = "1 h"\ntarget = "400 degC"', 21),  # one that cannot be
        ('length = "1 h"', 'lenght = "1 h"', 20),  # a key nobody knows
        ('kind = "set"\n', "", 18),  # a key that is missing: where its table begins
        ('gate.high = "4.6 pH"', 'gate.high = "4.1 pH"', 21),  # two that do not go together
        ('amount = "2 g/l"', 'amount = "2 g"', 31),
        ('every = "1 day"', 'every = "0 days"', 33),
        ('  "9 days",', '  "nine",', 7),  # within a list: the line of its key
        ('"mine"', '"mine"\nmilk = "0 l"', 3),
        ("[[care]]", "[[care]", 33),  # no TOML
        ('"mine"', '"mine', 2),
        ("form = 1", "form 1", 1),
    ],
)
def test_a_fault_names_its_line(old: str, new: str, line: int) -> None:
    text = TEXT.replace(old, new, 1)
    assert text != TEXT
    with refused(RecordError, "records.at-line", line=line) as caught:
        read_plan(text)
    assert text_of(caught.value).startswith(f"line {line}: ")


def test_an_end_that_comes_too_soon_names_the_last_line() -> None:
    with refused(RecordError, "records.at-line", line=3) as caught:
        read_plan('name = "x"\n[[stage]]\nkind = ["warm"\n\n')
    assert caught.value.values["why"].id == "records.no-toml-at-end"
    assert text_of(caught.value).startswith("line 3: This cannot be read as a plan: ")


def test_a_fault_of_the_whole_plan_names_no_line() -> None:
    with refused(RecordError, "records.at-place") as caught:
        read_plan("form = 1")
    assert text_of(caught.value).startswith("plan: the key “name” is missing")
