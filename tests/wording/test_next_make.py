"""What is said of a next make: every plan variable has a word, every reason a sentence."""

from __future__ import annotations

import pytest

from journal.findings.plan_variables import PLAN_VARIABLES, plan_variable_of
from journal.message import Message
from journal.wording import text_of
from journal.wording.sentences import catalogue


def test_each_plan_variable_is_said_by_a_word_of_its_own():
    table = "wording.lever-"
    keys = {one.removeprefix(table).replace("-", "_")
            for one in catalogue("wording") if one.startswith(table)}  # fmt: skip
    assert keys == {plan_variable.key for plan_variable in PLAN_VARIABLES}
    assert all(plan_variable_of(key) is not None for key in keys)


@pytest.mark.parametrize(("key", "value", "was", "unit", "title", "few"), [
    ("curd_size", 8.0, 12.0, "mm", "Change only the curd size: 8 mm instead of 12.",
     "curd size 8 mm instead of 12"),
    ("ph_at_milling", 5.35, 5.4, "pH", "Change only the acid at milling: pH 5.35 instead of 5.4.",
     "acid at milling pH 5.35 instead of 5.4"),
])  # fmt: skip
def test_a_change_is_said_with_its_unit(key, value, was, unit, title, few):
    what = Message("findings.lever", key=key)
    output = Message("findings.change-only", what=what, value=value, was=was, unit=unit)
    assert text_of(output) == title
    short = Message("findings.change-from", what=what, value=value, was=was, unit=unit)
    assert text_of(short) == few


def test_a_change_says_what_it_should_add_and_what_it_costs_if_it_is_wrong():
    assert text_of(Message("findings.promises-more", gain=0.34, cost=0.1)) == (
        "should add 0.3, or cost 0.1 if wrong."
    )
    assert text_of(Message("findings.tried-to-learn", gain=0.21, cost=0.4)) == (
        "to learn: may add 0.2, or cost 0.4."
    )


def test_many_changes_are_counted_and_few_are_named():
    names = [Message("findings.lever", key=key) for key in ("salt_in_curd", "set")]
    assert text_of(Message("findings.change-several", names=names)) == "Change the salt and set."
    assert text_of(Message("findings.best-and-many", count=9)) == (
        "The best known plan, and 9 changes."
    )
