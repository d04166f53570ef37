"""The value and the change of a make variable in other units, against their definitions: a °F is
5/9 °C and its zero lies at −160/9 °C, an inch is 25.4 mm, a pound 0.45359237 kg, a US gallon
231 in³ or 3.785411784 L, each exactly (NIST SP 811, 2008, appendix B)."""

from __future__ import annotations

import re

import pytest

from journal.message import Message
from journal.wording import text_of, written_in
from journal.wording.style import Style
from journal.wording.variable_values import (
    figure_words,
    in_unit_shown,
    in_unit_stored,
    step_words,
    value_words,
)

US = Style(temperature="F", mass="lb", volume="gal", length="in")
LB_KG, GAL_L, IN_MM = 0.45359237, 3.785411784, 25.4
CASES = (  # unit, stored value, the same shown, its unit, a stored change, the same shown
    ("°C", 38.5, 38.5 * 1.8 + 32, "°F", 1.0, 1.8),
    ("°C/min", 0.25, 0.25 * 1.8, "°F/min", 0.05, 0.05 * 1.8),
    ("°C days", 1200.0, 1200 * 1.8, "°F days", 300.0, 300 * 1.8),
    ("°C min", 120.0, 120 * 1.8, "°F min", -30.0, -30 * 1.8),
    ("kg", 20.0, 20 / LB_KG, "lb", 5.0, 5 / LB_KG),
    ("L", 12.0, 12 / GAL_L, "US gal", -1.0, -1 / GAL_L),
    ("mm", 9.5, 9.5 / IN_MM, "in", 2.0, 2 / IN_MM),
    ("g/L", 0.017, 0.017 * GAL_L, "g/US gal", 0.0017, 0.0017 * GAL_L),
    ("ml/L", 0.2, 0.2 * GAL_L, "ml/US gal", 0.02, 0.02 * GAL_L),
)


def number(text: str) -> float:
    found = re.match(r"[+−]?[\d.]+", text)
    assert found is not None, text
    return float(found[0].replace("−", "-"))


@pytest.mark.parametrize(("unit", "value", "shown", "label", "change", "changed"), CASES)
def test_a_value_and_a_change_are_in_the_units_chosen(unit, value, shown, label, change, changed):
    assert value_words(value, unit) == f"{figure_words(value, unit)} {unit}"
    assert value_words(value, unit, "3g") == f"{value:.3g} {unit}"
    with written_in(US):
        assert in_unit_shown(value, unit) == pytest.approx(shown, rel=1e-12)
        assert in_unit_stored(shown, unit) == pytest.approx(value, rel=1e-12)
        for form in ("short", "3g", "g"):
            words = value_words(value, unit, form)
            assert words.endswith(f" {label}")
            assert number(words) == pytest.approx(shown, rel=0.012)  # a curd to 0.01 in
        assert step_words(change, unit).endswith(f" {label}")
        assert number(step_words(change, unit)) == pytest.approx(changed, rel=0.005)


def test_what_is_in_no_chosen_unit_stays():
    with written_in(US):
        for unit in ("min", "days", "%", "% of milk", "kPa"):
            assert value_words(12.5, unit) == f"12.5 {unit}"
            assert step_words(-2.0, unit) == f"−2 {unit}"
        assert (value_words(5.35, "pH"), step_words(0.1, "pH")) == ("5.35", "+0.1 pH")


def test_sentences_turn_ranges_and_proposals():
    change = Message(
        "findings.change-only", what="cook temperature", value=38.0, was=37.0, unit="°C"
    )
    best = Message("wording.effect-best-near", value=38.0, low=37.5, high=38.5, unit="°C")
    bounds = Message(
        "findings.outside-bounds", variable="curd size", least=5.08, most=12.7, unit="mm"
    )
    ends = Message("findings.low-to-high", low=35.0, high=40.0, unit="°C")
    assert text_of(change) == "Change only the cook temperature: 38 °C instead of 37."
    assert text_of(change, US) == "Change only the cook temperature: 100.4 °F instead of 98.6."
    assert text_of(best, US) == "best near 100.4 °F (99.5 to 101.3)"
    assert "from 0.2 to 0.5 in in this plan" in text_of(bounds, US)
    assert (text_of(ends), text_of(ends, US)) == ("35 to 40", "95 to 104")
