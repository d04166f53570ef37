"""An amount in the measures of a kitchen, near enough to be measured by."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from journal.quantities import QuantityError
from journal.quantities.typed import parse
from journal.wording.kitchen import kitchen


@pytest.mark.parametrize(
    ("ml", "text"),
    [
        (0, "none"),
        (0.01, "less than a drop"),
        (0.05, "about 1 drop"),
        (0.1, "about 2 drops"),
        (0.6, "about 1/8 tsp"),
        (2.5, "about 1/2 tsp"),
        (2.2, "about 1/2 tsp"),
        (5, "about 1 tsp"),
        (15, "about 1 tbsp"),
        (250, "about 1 cup"),
        (1200, "about 1.2 L"),
    ],
)
def test_kitchen_measure(ml: float, text: str) -> None:
    assert kitchen(ml) == text


@given(st.floats(0.15, 1100))
def test_a_kitchen_measure_is_near(ml: float) -> None:
    parts = kitchen(ml).removeprefix("about ").split(" + ")
    unit = parts[-1].rsplit(" ", 1)[1]
    back = sum(
        parse(part if part[-1].isalpha() else f"{part} {unit}", "volume_ml").stored
        for part in parts
    )
    # Half a drop at the small end. The nearest by ratio is off by no more than the root of the gap
    # between two measures: 1/16 and 3/32 tsp are 3/2 apart, above them no two more than 4/3.
    gap = 3 / 2 if ml < 5 * 3 / 32 else 4 / 3
    assert back == pytest.approx(ml, rel=math.sqrt(gap) - 1 + 1e-9, abs=0.026)


def test_a_kitchen_measure_needs_a_volume() -> None:
    for ml in (-1.0, math.nan, math.inf):
        with pytest.raises(QuantityError):
            kitchen(ml)
