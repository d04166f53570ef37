"""Where the acid ends, told by what a plan does with the curd."""

from __future__ import annotations

import pytest

from journal.curves.ends import LACTIC, UNKNOWN, end_of
from journal.records.plans import Dose, Plan, Stage

CULTURE, RENNET = Dose("culture", "culture", 0.02, "g"), Dose("rennet", "rennet", 0.2, "ml")


@pytest.mark.parametrize(
    ("stages", "end"),
    [
        ((Stage("ripen", 180, doses=(CULTURE,)), Stage("drain", 30)), LACTIC),
        ((Stage("ripen", 170, doses=(CULTURE,)), Stage("drain", 600)), UNKNOWN),
        ((Stage("ripen", 600, doses=(CULTURE, RENNET)), Stage("drain", 600)), UNKNOWN),
        ((Stage("ripen", 600), Stage("drain", 600)), UNKNOWN),
    ],
)
def test_milk_that_ripens_for_hours_without_rennet_is_soured_whole(stages, end) -> None:
    """As quark and yoghurt are (University of Guelph); not so curd that drains overnight."""
    assert end_of(Plan("A plain one", stages)) == end
