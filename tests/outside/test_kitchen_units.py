"""Units of the kitchen and the dairy against what the trade and the tables say."""

from __future__ import annotations

import pytest

from journal.quantities.conversion import convert
from journal.quantities.typed import parse
from journal.quantities.written import write
from journal.wording.kitchen import kitchen


# Common practice, no source: what recipes print for these temperatures.
@pytest.mark.parametrize(("celsius", "fahrenheit"), [(31, 88), (39, 102), (10, 50)])
def test_recipe_temperatures_to_the_nearest_degree(celsius: int, fahrenheit: int) -> None:
    assert write(celsius, "temperature", "°F", 0) == f"{fahrenheit} °F"
    assert round(parse(f"{fahrenheit} F", "temperature").stored) == celsius


def test_half_a_teaspoon() -> None:
    """Common practice, no source: the metric teaspoon is 5 ml."""
    assert parse("1/2 tsp", "volume_ml").stored == pytest.approx(2.5, rel=1e-12)
    assert kitchen(2.5) == "about 1/2 tsp"


def test_the_half_inch_of_recipes() -> None:
    """Common practice, no source: a 12.5 mm cut is the half inch, within 2 %."""
    half_inch = parse('1/2"', "length").stored
    assert half_inch == pytest.approx(12.7, rel=1e-12)
    assert parse("12.5 mm", "length").stored == pytest.approx(half_inch, rel=0.02)


def test_warming_rate() -> None:
    """Common practice, no source: from 31 to 39 °C in 40 min is 0.2 °C/min."""
    rise = parse("39 °C", "temperature").stored - parse("31 °C", "temperature").stored
    rate = rise / parse("40 min", "duration").stored
    assert rate == pytest.approx(parse("0.2 degC/min", "temperature_rate").stored, rel=1e-12)


def test_cheddaring_turns() -> None:
    """Common practice, no source: turns of 10, 10, 10 and 15 min are 45 min."""
    turns = [parse(text, "duration").stored for text in ("10 min", "10", "600 s", "0:15")]
    assert sum(turns) == pytest.approx(45, rel=1e-12)
    assert write(sum(turns), "duration") == "45 min"


def test_clean_break_slip() -> None:
    """Common practice, no source: soft at 40 min and clean at 50 is 10 min late."""
    delay = parse("50 min", "duration").stored - parse("40 min", "duration").stored
    assert write(delay, "duration") == "10 min"


def test_pound_force_per_square_inch() -> None:
    """1 psi = 6.894757 kPa (NIST SP 811, table of conversion factors; 7 digits given)."""
    assert parse("1 psi", "pressure").stored == pytest.approx(6.894757, abs=5e-7)


def test_press_pressures() -> None:
    """14 and 28 psi are 96.5 and 193.1 kPa (University of Guelph, Gouda, first and second)."""
    assert parse("14 psi", "pressure").stored == pytest.approx(96.5, abs=0.05)
    assert parse("28 psi", "pressure").stored == pytest.approx(193.1, abs=0.05)


def test_avoirdupois_and_us_gallon() -> None:
    """1 lb = 0.45359237 kg, 1 oz = lb/16, 1 US gal = 3.785411784 L (NIST SP 811, exact)."""
    assert parse("1 lb", "mass").stored == pytest.approx(0.45359237, rel=1e-12)
    assert parse("16 oz", "mass").stored == pytest.approx(0.45359237, rel=1e-12)
    assert parse("1 gal", "volume").stored == pytest.approx(3.785411784, rel=1e-12)


# 1 °SH = 2.5 °Th = 2.25 °D = 0.0225 % lactic acid: exact, from 0.25 N, 0.1 N and N/9 NaOH
# per 100 ml of milk (dairy titration manuals).
@pytest.mark.parametrize(
    ("amount", "unit", "other", "expected"),
    [
        (1, "degSH", "degTh", 2.5),
        (1, "degSH", "degD", 2.25),
        (1, "degSH", "% lactic", 0.0225),
        (1, "degTh", "degD", 0.9),
        (1, "degTh", "degSH", 0.4),
        (1, "degD", "degTh", 10 / 9),
        (1, "degD", "degSH", 4 / 9),
        (7, "degSH", "degD", 15.75),
        (0.16, "% lactic", "degD", 16),
    ],
)
def test_acidity_units(amount: float, unit: str, other: str, expected: float) -> None:
    assert convert(amount, unit, other) == pytest.approx(expected, rel=1e-9)
