"""A dose of bulk starter beside the packet that stands for it."""

from __future__ import annotations

import pytest

from journal.records.plan_text import builtin_plan
from journal.records.plans import Dose
from journal.wording.doses import direct_set_sentence
from journal.wording.plan_sheet import in_full


@pytest.mark.parametrize(
    ("per_litre", "litres", "units"),
    [
        (10.0, 100.0, "6.2 units for 100 L"),  # one maker's sheet: 6.25 units for 100 L are 1 %
        (30.0, 10.0, "1.9 units for 10 L"),
        (5.0, 50.0, "1.6 units for 50 L"),
    ],
)
def test_units_for_the_milk(per_litre: float, litres: float, units: str) -> None:
    output = direct_set_sentence(Dose("culture", "bulk", per_litre, "ml"), litres)
    assert output.endswith(f"{units}.")
    assert "6.25 units for 100 L as 1 % of bulk starter" in output


def test_what_is_weighed_says_its_own_packet() -> None:
    assert direct_set_sentence(Dose("culture", "direct", 0.01, "g"), 10) == ""
    assert direct_set_sentence(Dose("rennet", "rennet", 0.2, "ml"), 10) == ""


def test_a_plan_says_it_at_its_stage_for_the_milk_there_is() -> None:
    ripen = next(s for s in builtin_plan("colby type").stages if s.kind == "ripen")
    assert "1.1 units for 12 L." in in_full(ripen, 12.0)
    assert "2.2 units for 24 L." in in_full(ripen, 24.0)
