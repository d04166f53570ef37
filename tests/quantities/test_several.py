"""Several values on one line, with either decimal mark."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.quantities import QuantityError
from journal.quantities.several import parse_several
from tests.refusals import refused


@pytest.mark.parametrize(
    ("line", "kilograms"),
    [
        ("1.18 kg, 1.16 kg", [1.18, 1.16]),
        ("1,18 kg; 1,16 kg", [1.18, 1.16]),
        ("1,18, 1,16", [1.18, 1.16]),
        ("1180 g and 1.2", [1.18, 1.2]),
        ("1.18kg,1.16kg", [1.18, 1.16]),
        ("1.18", [1.18]),
        ("2 lb 3 oz, 1 kg", [0.992, 1.0]),
        ("", []),
        ("  ", []),
    ],
)
def test_every_value_is_read(line, kilograms):
    found = [typed.stored for typed in parse_several(line, "mass", default_unit="kg")]
    assert found == pytest.approx(kilograms, abs=0.001)


def test_one_wrong_value_refuses_the_line():
    with refused(QuantityError, "quantities.not-of-quantity", quantity="mass"):
        parse_several("1.18 kg, heavy", "mass")


@given(st.lists(st.integers(1, 99_999), max_size=6), st.sampled_from([", ", "; ", " + "]))
def test_what_is_written_is_read_back(grams, link):
    line = link.join(f"{g} g" for g in grams)
    found = [typed.stored for typed in parse_several(line, "mass", default_unit="kg")]
    assert found == pytest.approx([g / 1000 for g in grams])
