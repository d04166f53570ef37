"""A part of a wheel, a wheel's size and what a spoonful weighs, as they are typed."""

from __future__ import annotations

import pytest

from journal.records import RecordError
from journal.records.spoon_weight import spoonful, typed_g_per_ml, usual_g_per_ml
from journal.records.stock import Ingredient
from journal.records.taken_typed import read_part, read_size
from tests.refusals import refused


@pytest.mark.parametrize(
    ("text", "share", "weight_kg"),
    [
        ("1/4", 0.25, None), (" 3 / 8 ", 0.375, None), ("half", 0.5, None), ("A half", 0.5, None),
        ("all", 1.0, None), ("25 %", 0.25, None), ("12,5%", 0.125, None), ("100 %", 1.0, None),
        ("300 g", None, 0.3), ("0,3 kg", None, 0.3),
    ],
)  # fmt: skip
def test_a_part_is_a_share_or_a_weight(text, share, weight_kg) -> None:
    found = read_part(text)
    assert found == (pytest.approx(share) if share else None,
                     pytest.approx(weight_kg) if weight_kg else None)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("0 %", "records.part-share"), ("101 %", "records.part-share"),
        ("5/4", "records.part-share"), ("0/4", "records.part-share"),
        ("0.3", "records.part-unknown"), ("1/0", "records.part-typed"),
        ("some", "records.part-typed"), ("", "records.part-typed"), ("3 ml", "records.part-typed"),
    ],
)  # fmt: skip
def test_what_is_no_part_is_refused(text, why) -> None:
    with refused(RecordError, why):
        read_part(text)


@pytest.mark.parametrize(
    "text", ["16 x 8 cm", "160 × 80 mm", "16cm by 8cm", "16 cm X 80 mm", "0,16 m x 8 cm"]
)
def test_a_size_is_two_lengths_the_first_in_the_unit_of_the_other(text) -> None:
    assert read_size(text) == (pytest.approx(160.0), pytest.approx(80.0))


@pytest.mark.parametrize("text", ["16 cm", "x", "16 x 8 kg", "a x b cm", ""])
def test_what_is_no_size_is_refused(text) -> None:
    with refused(RecordError, "records.size-typed", typed=text):
        read_size(text)


@pytest.mark.parametrize(
    ("strength", "weighs"),
    [
        ("0.55 g/ml", 0.55), ("3 g/tsp", 0.6), ("double", None), ("", None),
        ("900 g/ml", None), ("0 g/ml", None),
    ],
)  # fmt: skip
def test_a_lot_says_what_a_spoonful_weighs(strength, weighs) -> None:
    """A measuring spoon is the metric one, 5 ml (common practice, no source)."""
    assert typed_g_per_ml(strength) == (None if weighs is None else pytest.approx(weighs))


def test_its_own_lot_comes_before_others_of_its_name_and_these_before_the_usual() -> None:
    def lot(number: int, strength: str, name: str = "fine salt") -> Ingredient:
        return Ingredient(kind="culture", name=name, unit="g", strength=strength, id=number)

    own, other, third = lot(1, "0.5 g/ml"), lot(2, "0.6 g/ml"), lot(3, "0.7 g/ml", "another")
    assert spoonful("culture", "Fine  Salt", 1, [own, other, third]).g_per_ml == 0.5
    assert spoonful("culture", "fine salt", None, [other, third]).g_per_ml == 0.6
    usual = spoonful("culture", "fine salt", None, [own, other])  # which of the two nobody knows
    assert usual.g_per_ml == usual_g_per_ml("culture")
    assert usual.off > spoonful("culture", "fine salt", 1, [own]).off > 0
    assert usual_g_per_ml("brick") is None
