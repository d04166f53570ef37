"""Typed values: what is understood, what is refused, and that nothing else can happen."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.quantities import AmbiguousNumber, QuantityError
from journal.quantities.typed import parse, parse_any
from journal.quantities.units import quantities, spellings_of
from journal.wording import text_of
from tests.refusals import refused

UNDERSTOOD = [
    ("31,4", "temperature", 31.4),
    ("31.4", "temperature", 31.4),
    ("-2.5 °C", "temperature", -2.5),
    ("−2,5 ºC", "temperature", -2.5),
    ("٣١٫٧", "temperature", 31.7),
    ("３１．８", "temperature", 31.8),
    ("50 F", "temperature", 10.0),
    ("50F", "temperature", 10.0),
    ("50 degF", "temperature", 10.0),
    ("88.5F", "temperature", (88.5 - 32) / 1.8),
    ("50\u2009℉", "temperature", 10.0),
    ("5 °C", "temperature_difference", 5.0),
    ("9 F", "temperature_difference", 5.0),
    ("0,2 degC/min", "temperature_rate", 0.2),
    ("0.9 °F per min", "temperature_rate", 0.5),
    ("12 °C/h", "temperature_rate", 0.2),
    ("0,5 l", "volume", 0.5),
    ("12L", "volume", 12.0),
    ("12 litres", "volume", 12.0),
    ("1 gal", "volume", 3.785411784),
    ("1 imp gal", "volume", 4.54609),
    ("11 kg", "mass", 11.0),
    ("1\u202f200 g", "mass", 1.2),
    ("2 lb 3 oz", "mass", 0.992233309375),
    ("20", "mass_g", 20.0),
    ("1/2 tsp", "volume_ml", 2.5),
    ("1 1/2 tsp", "volume_ml", 7.5),
    ("1½ tsp.", "volume_ml", 7.5),
    ("¼ tsp", "volume_ml", 1.25),
    ("⅛tsp", "volume_ml", 0.625),
    ("3 ¾ tbsp", "volume_ml", 56.25),
    ("1⁄2 cup", "volume_ml", 125.0),
    ("5 drops", "volume_ml", 0.25),
    ("1 pinch", "volume_ml", 0.3125),
    ('1/2"', "length", 12.7),
    ("½ inch", "length", 12.7),
    ("1.25 cm", "length", 12.5),
    ("40 min", "duration", 40.0),
    ("2 h 30 min", "duration", 150.0),
    ("2 h, 30 min", "duration", 150.0),
    ("1h30", "duration", 90.0),
    ("1 d 2 h 3 min", "duration", 1563.0),
    ("1:30", "duration", 90.0),
    ("0:00:30", "duration", 0.5),
    ("1,5h", "duration", 90.0),
    ("90 s", "duration", 1.5),
    ("2 weeks", "duration", 20160.0),
    ("12 months", "duration", 365.25 * 1440),
    ("pH 5,42", "ph", 5.42),
    ("5.42 pH", "ph", 5.42),
    ("1 bar", "pressure", 100.0),
    ("1,8 %", "percent", 1.8),
    ("85 % RH", "humidity", 85.0),
    ("17 D", "acidity", 0.17),
    ("7 °SH", "acidity", 0.1575),
    ("0.16", "acidity", 0.16),
    ("1030 kg/m³", "density", 1.03),
    ("1030 kg/m3", "density", 1.03),
    ("1030 kg/m^3", "density", 1.03),
    ("1.03 g/cm³", "density", 1.03),
    ("1,030 kg/L", "density", 1.03),
    ("5,421", "ph", 5.421),
    ("31,250 °C", "temperature", 31.25),
    ("0,180 kg", "mass", 0.18),
    ("1234,567 g", "mass_g", 1234.567),
    ("1 234,567 g", "mass_g", 1234.567),
    ("1,2345 kg", "mass", 1.2345),
    ("1.234 kg", "mass", 1.234),
    ("0.02 g/l", "mass_per_volume", 0.02),
    ("0.2 ml per litre", "volume_per_volume", 0.2),
    ("1/8 tsp/l", "volume_per_volume", 0.625),
    ("20 ml/100 l", "volume_per_volume", 0.2),
    ("12", "number", 12.0),
]


@pytest.mark.parametrize(("text", "quantity", "stored"), UNDERSTOOD)
def test_understood(text: str, quantity: str, stored: float) -> None:
    assert parse(text, quantity).stored == pytest.approx(stored, rel=1e-12)


REFUSED = [
    ("", "mass", "for example"),
    ("   ", "mass", "No mass"),
    ("some", "mass", "begin with a number"),
    ("nan", "number", "number"),
    ("inf", "temperature", "number"),
    ("1e400", "number", "exponent"),
    ("1e3 g", "mass", "exponent"),
    ("9**9**9", "number", "one number"),
    ("1,234.5", "number", "two marks"),
    ("1.234,5 kg", "mass", "two marks"),
    ("1.2.3", "number", "two marks"),
    ("1,234 L", "volume", "1.234 L or 1234 L"),
    ("1,200 kg", "mass", "1.200 or as 1200"),
    ("12,500 g", "mass_g", "12.500 g or 12500 g"),
    ("-1,234", "number", "1.234 or 1234"),
    ("1,030 kg/m³", "density", "1.030 or as 1030"),
    ("5-6", "ph", "unit"),
    ("1/0 tsp", "volume_ml", "fraction"),
    ("1 3/2 tsp", "volume_ml", "1 1/2"),
    ("1/2/3 l", "volume", "one number"),
    ("88 F", "mass", "not a unit of mass"),
    ("11 kg", "volume", "not a unit of volume"),
    ("31 C", "duration", "not a unit of duration"),
    ("12 l", "length", "not a unit of length"),
    ("5 pH", "temperature", "not a unit of temperature"),
    ("-1 kg", "mass", "too low"),
    ("15", "ph", "too high"),
    ("101 %", "humidity", "too high"),
    ("-300", "temperature", "too low"),
    ("9" * 60, "number", "too high"),
    ("9" * 400, "number", "too long"),
    ("30 min 2 h", "duration", "added up"),
    ("2 h 90 min", "duration", "added up"),
    ("1.5 h 10 min", "duration", "added up"),
    ("2 h 30 kg", "duration", "not a unit"),
    ("३१", "temperature", "begin with a number"),
    ("1'234", "number", "one number"),
]


@pytest.mark.parametrize(("text", "quantity", "word"), REFUSED)
def test_refused_with_a_sentence(text: str, quantity: str, word: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, quantity)
    sentence = text_of(caught.value)
    assert word in sentence
    assert sentence.endswith(".")
    assert len(sentence) < 300


def test_two_readings_are_refused_whatever_else_the_text_might_be() -> None:
    with refused(
        AmbiguousNumber, "quantities.two-readings", decimal=1.234, digits="1,234", rest="kg"
    ):
        parse_any("1,234 kg", ("volume", "mass"))


def test_a_bare_number_takes_the_unit_it_is_told() -> None:
    typed = parse("50", "temperature", default_unit="°F")
    assert (typed.value, typed.unit) == (50.0, "degF")
    assert typed.stored == pytest.approx(10.0)
    assert parse("50 C", "temperature", default_unit="°F").stored == 50.0


def test_the_first_quantity_that_fits() -> None:
    assert parse_any("0.02 g/L", ("volume_per_volume", "mass_per_volume")).unit == "g/L"
    with refused(QuantityError, "quantities.not-its-unit", quantity="volume_per_volume"):
        parse_any("3 kg", ("volume_per_volume", "mass_per_volume"))


def test_no_spelling_names_two_units_of_one_quantity() -> None:
    for quantity in quantities().values():
        for unit in quantity.units:
            for spelling in (unit.key, unit.label, *unit.spellings):
                assert spellings_of(quantity.key)[spelling.lower()] is unit, spelling


@given(st.text(max_size=60), st.sampled_from(sorted(quantities())))
def test_any_text_is_understood_or_refused(text: str, quantity: str) -> None:
    try:
        typed = parse(text, quantity)
    except QuantityError:
        return
    found = quantities()[quantity]
    assert found.low <= typed.stored <= found.high


_PIECES = st.lists(
    st.sampled_from([*"0123456789", ".", ",", "/", " ", "-", "½", "e", "h", "min", "kg", "°F", ":",
                     "lb", "oz", "%", "g/l", "\u00a0", "'", '"', "pH"]),
    max_size=14,
)  # fmt: skip


@given(_PIECES, st.sampled_from(sorted(quantities())))
def test_likely_text_is_understood_or_refused(pieces: list[str], quantity: str) -> None:
    try:
        typed = parse("".join(pieces), quantity)
    except QuantityError:
        return
    assert math.isfinite(typed.stored)


@given(st.decimals(0, 99999, places=4, allow_nan=False))
def test_both_decimal_marks_say_the_same(number: object) -> None:
    text = str(number)
    assert parse(text, "mass") == parse(text.replace(".", ","), "mass")


@given(st.integers(-10000, 30000), st.integers(-10000, 30000), st.sampled_from(["°C", "F", "degC"]))
def test_the_greater_number_is_the_greater_temperature(a: int, b: int, unit: str) -> None:
    low, high = sorted((a, b))
    first = parse(f"{low / 100:.2f} {unit}", "temperature").stored
    second = parse(f"{high / 100:.2f} {unit}", "temperature").stored
    assert (first < second) == (low < high)


@given(st.integers(0, 300), st.integers(0, 59))
def test_hours_and_minutes_add_up(hours: int, minutes: int) -> None:
    for text in (f"{hours} h {minutes} min", f"{hours}h{minutes}", f"{hours}:{minutes:02d}"):
        assert parse(text, "duration").stored == hours * 60 + minutes
