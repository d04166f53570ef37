"""How values are written, and that what is written reads back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.quantities import QuantityError
from journal.quantities.conversion import convert
from journal.quantities.typed import parse
from journal.quantities.units import quantities
from journal.quantities.written import write
from tests.refusals import refused


@pytest.mark.parametrize(
    ("value", "quantity", "unit", "digits", "text"),
    [
        (31.4, "temperature", None, None, "31.4 °C"),
        (31.0, "temperature", None, None, "31.0 °C"),
        (-3.25, "temperature", None, 2, "−3.25 °C"),
        (-0.01, "temperature", None, None, "0.0 °C"),
        (10.0, "temperature", "F", 0, "50 °F"),
        (5.4, "ph", None, None, "pH 5.40"),
        (1.18, "mass", None, None, "1.18 kg"),
        (1.18, "mass", "g", None, "1180 g"),
        (150, "duration", None, None, "2 h 30 min"),
        (45, "duration", None, None, "45 min"),
        (0.5, "duration", None, None, "30 s"),
        (3000, "duration", None, None, "2 d 2 h"),
        (-10, "duration", None, None, "−10 min"),
        (0, "duration", None, None, "0 s"),
        (150, "duration", "min", None, "150 min"),
        (0.2, "temperature_rate", None, None, "0.2 °C/min"),
        (12.7, "length", "in", None, "0.5 in"),
        (0.16, "acidity", "D", None, "16 °D"),
        (3.785411784, "volume", "gal", None, "1 US gal"),
        (7, "number", None, None, "7"),
        (100, "percent", None, None, "100 %"),
    ],
)
def test_written(
    value: float, quantity: str, unit: str | None, digits: int | None, text: str
) -> None:
    assert write(value, quantity, unit, digits) == text


def test_what_is_no_number_is_not_written() -> None:
    for value in (math.nan, math.inf):
        with refused(QuantityError, "quantities.nothing-to-write", quantity="mass"):
            write(value, "mass")


_UNITS = [(found, unit) for found in quantities().values() for unit in found.units]


@given(st.sampled_from(_UNITS), st.floats(0, 0.999))  # the last digit may round past the end
def test_what_is_written_reads_back(pair: tuple, share: float) -> None:
    found, unit = pair
    low, high = max(found.low, 0), min(found.high, 5000)
    value = low + share * (high - low)
    text = write(value, found.key, unit.key or None)
    back = parse(text, found.key)
    half = 0.5 * 10.0**-unit.digits if found.key != "duration" or unit.key != "min" else 0.5
    there = convert(value, found.stored, unit.key)
    assert convert(back.stored, found.stored, unit.key) == pytest.approx(there, abs=half * 1.0001)


@given(st.floats(0, 1e6))
def test_a_duration_in_parts_reads_back_to_the_minute(minutes: float) -> None:
    tolerance = 1 / 120 if minutes < 1 else 0.5
    assert parse(write(minutes, "duration"), "duration").stored == pytest.approx(
        minutes, abs=tolerance * 1.0001
    )
