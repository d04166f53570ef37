"""What a message means, whatever it holds."""

from __future__ import annotations

import contextlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.exchange import ExchangeError
from journal.exchange.sensors.understanding import (
    NotUnderstood,
    field_of,
    instant_of,
    json_of,
    plain_text,
    value_of,
)
from journal.records.kinds import READING_KINDS
from journal.wording.readings import reading_text

MILK, CURD = READING_KINDS["milk-temp"], READING_KINDS["curd-ph"]


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("31.4", "", 31.4),
        (" 31,4\r", "", 31.4),
        ("31.4 °C", "degF", 31.4),
        ("88.7", "degF", 31.5),
        ("-1.5", "", -1.5),
        ("3.14e1", "", 31.4),
    ],
)
def test_a_number_with_or_without_its_unit(text, unit, value):
    assert value_of(text, MILK, unit) == pytest.approx(value)


@pytest.mark.parametrize("text", ["", "warm", "nan", "inf", "31.4.1", "31 kg", "850", "1e400"])
def test_what_is_no_possible_reading_is_refused(text):
    with pytest.raises(NotUnderstood):
        value_of(text, MILK, "")


def test_an_unknown_unit_is_refused_by_its_name():
    with pytest.raises(ExchangeError, match="furlong"):
        value_of("31", MILK, "furlong")


@given(st.text(max_size=40))
def test_no_text_does_worse_than_not_be_understood(text):
    with contextlib.suppress(NotUnderstood):
        assert MILK.low <= value_of(text, MILK, "") <= MILK.high


_JSON = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=8,
)


@given(_JSON, st.text(alphabet="ab.0[]", max_size=8))
def test_no_json_does_worse_than_not_be_understood(found, path):
    with contextlib.suppress(NotUnderstood):
        value = value_of(plain_text(field_of(json_of(json.dumps(found)), path), path), CURD, "")
        assert CURD.low <= value <= CURD.high


def test_json_is_read_by_its_path():
    found = json_of('{"a": {"b": [{"c": "6.52"}, {"c": 6.4}]}}')
    assert plain_text(field_of(found, "a.b.0.c"), "") == "6.52"
    assert plain_text(field_of(found, "a.b[1].c"), "") == "6.4"
    with pytest.raises(NotUnderstood, match=r"exchange.no-field .*a\.b\.7\.c"):
        field_of(found, "a.b.7.c")


@pytest.mark.parametrize("text", ["{", "NaN", '{"a": Infinity}', "[" * 100_000])
def test_what_is_no_json_is_refused(text):
    with pytest.raises(NotUnderstood, match=r"exchange.no-json"):
        json_of(text)


@pytest.mark.parametrize(
    "found",
    [1773478800, "1773478800", 1773478800000.4, "2026-03-14T09:00", "2026-03-14T10:00+01:00"],
)
def test_an_instant_in_every_usual_form(found):
    assert instant_of(found, "Europe/London") == 1773478800000


@pytest.mark.parametrize("found", [None, True, [], "soon", 0, -5, 1e300, "1.2.3"])
def test_what_is_no_instant_is_refused(found):
    with pytest.raises(NotUnderstood):
        instant_of(found, "Europe/London")


def test_a_reading_in_words():
    assert reading_text("milk-temp", 31.44) == "milk 31.4 °C"
    assert reading_text("curd-ph", 5.4) == "curd pH 5.40"
