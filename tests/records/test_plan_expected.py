"""What a plan gives from a milk: cheese, height, moulds, and what was taken for granted."""

from __future__ import annotations

import pytest

from journal.message import Message
from journal.records.plan_expected import expected
from journal.records.plan_text import builtin_plan
from journal.wording import text_of

OLD = builtin_plan("cheddar type")


def test_what_a_milk_gives() -> None:
    plain = expected(OLD, 12.0)
    assert plain.cheese_kg == 12 * 1.03 * 0.10 or abs(plain.cheese_kg - 1.236) < 1e-9
    # 1.236 kg at 1.08 kg/L over 176.71 cm²: 64.8 mm
    assert abs(plain.height_mm - 64.8) < 0.1
    rich = expected(OLD, 12.0, 4.5)
    assert rich.cheese_kg > 1.15 * plain.cheese_kg
    (assumed,) = rich.assumed
    assert assumed == Message("records.protein-guessed", protein=assumed.values["protein"], fat=3.5)
    assert ", from the fat" in text_of(assumed)
    assert expected(OLD, 12.0, 3.5).cheese_kg == plain.cheese_kg
    # Skimming leaves the protein, 3.3 %: 0.93 × 1.5 + 2.5 of 0.93 × 3.5 + 2.5 (Van Slyke and Price)
    assert expected(OLD, 12.0, 1.5).cheese_kg == pytest.approx(plain.cheese_kg * 3.895 / 5.755)


@pytest.mark.parametrize(
    ("name", "litres", "least_g", "most_g"),
    [
        # At least 250 g (Codex C-33-1973); half a pound of 2 quarts (Thom & Fisk 1918, par. 147):
        # six of 10 l, as the plan's note says.
        ("camembert type", 10.0, 227, 290),
        ("camembert type", 60.0, 227, 290),
        # Some 200 g, 250 g and 600 g, as the plans' own notes say.
        ("goat with ash", 10.0, 180, 220),
        ("lactic", 10.0, 180, 220),
        ("mozzarella type", 10.0, 200, 280),
        ("mozzarella type", 60.0, 200, 280),
        ("smoked stretched curd", 12.0, 550, 650),
    ],
)
def test_as_many_moulds_as_make_cheeses_of_the_size_that_is_published(
    name, litres, least_g, most_g
) -> None:
    found = expected(builtin_plan(name), litres)
    assert least_g <= 1000 * found.cheese_kg / found.moulds <= most_g
