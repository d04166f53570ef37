"""Conversion: points and differences, arrays, refusals, and a start without the registry."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.quantities import QuantityError
from journal.quantities.conversion import convert
from journal.quantities.units import quantities
from tests.refusals import refused

PAIRS = [
    (found.key, a.key, b.key)
    for found in quantities().values()
    for a in found.units
    for b in found.units[:3]
]


def test_a_temperature_is_a_point_and_a_difference_is_not() -> None:
    assert convert(2.0, "degC", "degF") == pytest.approx(35.6)
    assert convert(2.0, "delta_degC", "delta_degF") == pytest.approx(3.6)
    assert convert(0.0, "degC", "K") == pytest.approx(273.15)


def test_an_array_converts_whole_and_is_left_alone() -> None:
    given_f = np.array([[50.0, 86.0], [104.0, 32.0]])
    found = convert(given_f, "degF", "degC")
    np.testing.assert_allclose(found, [[10.0, 30.0], [40.0, 0.0]], atol=1e-12)
    np.testing.assert_array_equal(given_f, [[50.0, 86.0], [104.0, 32.0]])


@pytest.mark.parametrize(("quantity", "a", "b"), PAIRS)
def test_there_and_back(quantity: str, a: str, b: str) -> None:
    assert convert(convert(21.5, a, b), b, a) == pytest.approx(21.5, rel=1e-12)
    assert convert(22.5, a, b) > convert(21.5, a, b)


@pytest.mark.parametrize(
    ("a", "b"),
    [("kg", "L"), ("degC", "kg"), ("degC", "delta_degC"), ("mm", "min"), ("pH", "%"), ("g", "")],
)
def test_two_things_do_not_convert(a: str, b: str) -> None:
    with refused(QuantityError, "quantities.different-things"):
        convert(1.0, a, b)


def test_an_unknown_unit_is_named() -> None:
    with refused(QuantityError, "quantities.no-such-unit", unit="furlong"):
        convert(1.0, "furlong", "mm")


@given(st.floats(-200, 900), st.floats(-200, 900))
def test_order_survives_conversion(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert convert(low, "degF", "degC") <= convert(high, "degF", "degC")


def test_the_registry_waits_until_a_unit_differs() -> None:
    script = (
        "import sys; from journal.quantities.typed import parse; "
        "from journal.quantities.written import write; "
        "parse('31,4 °C', 'temperature'); write(31.4, 'temperature'); "
        "assert 'pint' not in sys.modules; "
        "parse('88 F', 'temperature'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", script], check=True, timeout=60)
