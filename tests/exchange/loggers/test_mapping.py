"""The mapping: guesses by header, choices, and what is remembered for the next file."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.exchange import ExchangeError
from journal.exchange.loggers.headers import kinds_of
from journal.exchange.loggers.mapping import Mapping, find_column
from journal.exchange.loggers.table import read_table
from journal.exchange.loggers.take import take
from journal.exchange.loggers.understand import understand

ROWS = "2024-05-12 18:00,50,60,5.5\n2024-05-12 18:01,59,61,5.4\n"
FILE = ("Time,Probe 1,Probe 2,Acid\n" + ROWS).encode()


@pytest.mark.parametrize(
    ("names", "kinds"),
    [
        (["Temp (°C)", "pH"], ["milk-temp", "curd-ph"]),
        (["Vat temperature", "Room temperature"], ["milk-temp", "room-temp"]),
        (["Milk °C", "Water bath °C"], ["milk-temp", "bath-temp"]),
        (["Temperature (°C)", "Humidity (%RH)"], ["room-temp", "room-humidity"]),
        (["Milk temp", "Temp", "RH"], ["milk-temp", "room-temp", "room-humidity"]),
        (["Whey pH", "Milk pH", "curd_pH"], ["whey-ph", "milk-ph", "curd-ph"]),
        (["Acidity (°SH)", "Milk TA (%)"], ["whey-acidity", "milk-acidity"]),
        (["Load kg", "Heater duty %"], ["load", "heat"]),
        (["Ch1 (°C)", "Ch2 (°C)"], ["milk-temp", None]),
        (["#", "Battery (V)", "Record no", "Level"], [None, None, None, None]),
        (["Phase", "Graph", "Alpha"], [None, None, None]),
    ],
)
def test_kinds_by_header(names: list[str], kinds: list[str | None]) -> None:
    assert kinds_of(names) == kinds


def test_columns_are_found_as_people_name_them() -> None:
    header = ("Date Time", "Temp (°C)", "Temp 2 (°C)", "pH", "7")
    assert find_column(header, "Temp (°C)") == 1
    assert find_column(header, "temp 2") == 2
    assert find_column(header, "PH") == 3
    assert find_column(header, "2") == 1
    assert find_column(header, "7") == 4
    for wanted in ("Salt", "9", "Temp", ""):
        with pytest.raises(ExchangeError, match=r"exchange.no-such-column"):
            find_column(header, wanted)


def test_a_chosen_mapping_is_taken_as_said() -> None:
    output = Mapping(kinds={"probe 1": "milk-temp", "Acid": "whey-ph"}, unit="degF")
    found = understand(read_table(FILE), output)
    got = take(found, zone="UTC", start_ms=0)
    assert set(got.series) == {"milk-temp", "whey-ph"}
    assert got.series["milk-temp"].value.tolist() == pytest.approx([10, 15])
    assert got.series["whey-ph"].value.tolist() == [5.5, 5.4]


def test_two_columns_of_one_kind_come_together() -> None:
    output = Mapping(kinds={"Probe 1": "milk-temp", "Probe 2": "milk-temp"}, unit="degC")
    got = take(understand(read_table(FILE)), output, zone="UTC", start_ms=0)
    assert got.series["milk-temp"].value.tolist() == [50, 60, 59, 61]


def test_the_mapping_is_remembered_for_the_next_file_of_that_shape() -> None:
    output = Mapping(kinds={"Probe 2": "room-temp"}, units={"Probe 2": "°F"})
    first = understand(read_table(FILE), output)
    kept = Mapping.from_dict(json.loads(json.dumps(first.mapping.to_dict())))
    assert kept == first.mapping
    following = read_table(FILE.replace(b"18:", b"19:"))
    assert following.shape == kept.shape
    again = understand(following, kept)
    assert again.mapping == kept
    assert set(take(again, zone="UTC", start_ms=0).series) == {"room-temp"}
    other = read_table(FILE.replace(b"Probe 2", b"Probe 3"))
    assert other.shape != kept.shape
    with pytest.raises(ExchangeError, match=r"exchange.mapping-of-other-file"):
        understand(other, kept)


@pytest.mark.parametrize(
    ("output", "word"),
    [
        ({"kinds": {"Probe 1": "cheese"}}, "exchange.no-such-kind"),
        ({"kinds": {"Nothing": "load"}}, "exchange.no-such-column"),
        (
            {"kinds": {"Probe 1": "milk-temp"}, "units": {"Probe 1": "kg"}},
            "quantities.not-its-unit",
        ),
        ({"unit": "furlong"}, "exchange.no-unit-of-a-reading"),
        ({"date_order": "dym"}, "exchange.no-such-date-order"),
        ({"decimal": ";"}, "exchange.no-such-decimal-mark"),
        ({"time_form": "lunar"}, "exchange.no-such-time-form"),
        ({"time": ("Time", "Probe 1", "Acid")}, "exchange.time-in-more-columns"),
        ({"time": ("Nothing",)}, "exchange.no-such-column"),
    ],
)
def test_refused_with_a_sentence(output: dict[str, Any], word: str) -> None:
    with pytest.raises(ExchangeError, match=word):
        understand(read_table(FILE), Mapping(**output))


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)


@given(st.dictionaries(st.sampled_from(sorted(Mapping().to_dict())), _JSON))
def test_a_damaged_mapping_is_refused_or_read(found: dict[str, Any]) -> None:
    try:
        mapping = Mapping.from_dict(found)
        understand(read_table(FILE), mapping)
    except ExchangeError:
        return
    assert Mapping.from_dict(mapping.to_dict()) == mapping


def test_a_column_without_a_unit_is_asked_about() -> None:
    found = understand(read_table(b"Time,Temp\n2024-05-12 18:00,31\n2024-05-12 18:01,32\n"))
    assert any("names no unit" in question for question in found.questions)
