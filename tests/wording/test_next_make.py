"""What is said of a next make: a variable goes by its one name, every reason has a sentence."""

from __future__ import annotations

import pytest

from journal.findings.readers import MAKE_VARIABLES
from journal.findings.series_plans import offers
from journal.message import Message
from journal.records.plan_text import builtin_plan
from journal.wording import text_of
from journal.wording.trade_words import name_words


def test_a_make_variable_has_one_name_wherever_it_is_said():
    names = {one.variable.key: one.variable.name for one in MAKE_VARIABLES}
    assert {key: name_words(key) for key in names} == names
    offered = offers(builtin_plan("cheddar type"))
    assert len(offered) > 5
    assert {offer.key: offer.name for offer in offered}.items() <= names.items()


@pytest.mark.parametrize(("key", "value", "was", "unit", "title", "few"), [
    ("curd_size", 8.0, 12.0, "mm", "Change only the curd size: 8 mm instead of 12.",
     "curd size 8 mm instead of 12"),
    ("ph_at_milling", 5.35, 5.4, "pH", "Change only the pH at milling: 5.35 instead of 5.4.",
     "pH at milling 5.35 instead of 5.4"),
])  # fmt: skip
def test_a_change_is_said_with_its_unit(key, value, was, unit, title, few):
    what = name_words(key)
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
    names = [name_words(key) for key in ("salt_in_curd", "heal")]
    output = text_of(Message("findings.change-several", names=names))
    assert output == "Change the salt in curd and heal."
    assert text_of(Message("findings.best-and-many", count=9)) == (
        "The best known plan, and 9 changes."
    )
