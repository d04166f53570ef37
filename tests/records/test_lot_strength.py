"""A lot's strength against the one that doses are written for."""

from __future__ import annotations

import pytest

from journal.records.lot_strength import strength_share
from journal.records.makes import Ingredient
from journal.wording.doses import strength_sentence


@pytest.mark.parametrize(
    ("kind", "strength", "share"),
    [
        # single strength is 250 IMCU/ml (University of Guelph's two doses agree at that)
        ("rennet", "200 IMCU/ml", 1.25),
        ("rennet", "500 imcu per ml", 0.5),
        ("rennet", "250 IMCU/ml", None),
        ("rennet", "single strength", None),
        ("rennet", "200 g", None),
        ("rennet", "1,500 IMCU/ml", None),  # 1.5 or 1500: nobody knows
        # 20 ml of a 30 % solution for 100 kg (University of Guelph)
        ("calcium chloride", "20 %", 1.5),
        ("calcium chloride", "30 %", None),
        ("culture", "200 IMCU/ml", None),
    ],
)
def test_the_share_of_a_lot_that_does_the_same(kind, strength, share) -> None:
    found = strength_share(Ingredient(kind, "lot", strength, unit="ml"))
    assert found == (None if share is None else pytest.approx(share))


def test_what_to_take_is_said_with_its_doubt() -> None:
    output = strength_sentence(Ingredient("rennet", "r", "200 IMCU/ml", unit="ml"), "tomme", 2.4)
    assert "where tomme says 2.4 ml, use 3 ml" in output
    assert "weaker than the usual 250 IMCU/ml" in output
    assert strength_sentence(Ingredient("rennet", "r", "", unit="ml"), "tomme", 2.4) == ""
