"""What is said of quantities and units: each has its example, and the example is understood."""

from __future__ import annotations

import pytest

from journal.quantities.typed import parse
from journal.quantities.units import quantities
from journal.wording.amounts import EXAMPLES, UNIT_NOTES, quoted
from journal.wording.sentences import a_quantity, offer, understood


@pytest.mark.parametrize("key", quantities())
def test_each_quantity_has_examples_that_are_understood(key: str) -> None:
    for example in EXAMPLES[key].replace(", ", " or ").split(" or "):
        assert parse(example, key).quantity == key


def test_a_note_is_of_a_unit_there_is() -> None:
    units = {unit.key for found in quantities().values() for unit in found.units}
    assert set(UNIT_NOTES) <= units
    assert set(EXAMPLES) == set(quantities())


def test_what_would_do_ends_a_sentence() -> None:
    assert offer("mass") == "write it in kg, g, mg, lb or oz, for example 1.18 kg."
    assert offer("number") == "write a number, for example 12."
    assert [a_quantity(key) for key in ("acidity", "ph")] == ["an acidity", "a pH"]


def test_what_was_typed_is_quoted_short_and_printable() -> None:
    assert quoted("5-6") == "“5-6”"
    assert quoted("a\x00b" + "c" * 40) == f"“ab{'c' * 28}…”"


def test_a_field_says_what_it_understood() -> None:
    assert understood(parse("50 F", "temperature")) == "50.0 °F is 10.0 °C"
    assert understood(parse("1 gal", "volume")) == "1 US gal is 3.785 L"
    assert understood(parse("31,4", "temperature")) == "31.4 °C"
