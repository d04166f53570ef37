"""What is said of a next make: every lever has a word, every reason a sentence."""

from __future__ import annotations

import pytest

from journal.findings.levers import LEVERS, lever_of
from journal.message import Message
from journal.wording import text_of
from journal.wording.messages.next_make import LEVERS as WORDS


def test_each_lever_is_said_by_a_word_of_its_own():
    assert set(WORDS) == {lever.key for lever in LEVERS}
    assert all(lever_of(key) is not None for key in WORDS)


@pytest.mark.parametrize(("key", "value", "was", "unit", "title", "few"), [
    ("curd_size", 8.0, 12.0, "mm", "Change only the curd size: 8 mm instead of 12.",
     "curd size 8 mm"),
    ("ph_at_milling", 5.35, 5.4, "pH", "Change only the acid at milling: pH 5.35 instead of 5.4.",
     "acid at milling pH 5.35"),
])  # fmt: skip
def test_a_change_is_said_with_its_unit(key, value, was, unit, title, few):
    what = Message("findings.lever", key=key)
    said = Message("findings.change-only", what=what, value=value, was=was, unit=unit)
    assert text_of(said) == title
    assert text_of(Message("findings.change-to", what=what, value=value, unit=unit)) == few


@pytest.mark.parametrize(("unit", "between"), [("mm", "between 10 and 12.5 mm"),
                                               ("pH", "between pH 10 and 12.5")])  # fmt: skip
def test_a_reason_is_two_sentences_and_a_third_of_the_acid(unit, between):
    reason = Message(
        "findings.learn-moved-little",
        makes=Message("findings.some-makes", known=7, makes=16), low=10.0, high=12.5, unit=unit,
        sure=Message("findings.only-leans"),
        then=Message("findings.would-narrow", value=8.0, unit=unit, percent=41.6),
    )  # fmt: skip
    amount = "pH 8" if unit == "pH" else "8 mm"
    said = (
        f"In 7 of 16 makes it was only {between}, and its effect is not clear yet. "
        f"Two makes at {amount} would narrow the range of its effect by 42 %."
    )
    assert text_of(reason) == said
    acid = text_of(Message("findings.mind-the-acid", why=reason))
    assert acid.startswith(said)
    assert acid.endswith("watch the acid targets.")
