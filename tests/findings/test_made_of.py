"""What a cheese is made of: its parts balance, drying takes water alone, published cheeses fit."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from journal.findings.made_of import made_of
from journal.reckoning.density import MILK_KG_PER_L
from journal.reckoning.milk_yield import CASEIN_OF_PROTEIN
from journal.records.makes import Milk

# Minerals and whey solids beside fat and casein: 9 % (Van Slyke and Price's formula) less the salt
# in them, 1.8 of the 63.3 % of solids of a cheddar (University of Guelph, table 1.2).
OTHER_SOLIDS = 1.09 * (1 - 1.8 / 63.3)
PARTS = ("moisture_pct", "fat_pct", "salt_pct")


@given(
    st.floats(2, 60), st.floats(2.5, 5.5), st.floats(2.8, 4.0), st.floats(9, 14), st.floats(0, 5),
    st.floats(0, 25),
)  # fmt: skip
def test_the_parts_of_a_wheel_balance_and_it_loses_water_alone(
    litres, fat, protein, yield_pct, salt_pct, lost
):
    milk = Milk(litres, fat_pct=fat, protein_pct=protein)
    milk_kg = litres * MILK_KG_PER_L
    green_kg = milk_kg * yield_pct / 100
    salt_g = 10 * green_kg * salt_pct
    green, now = made_of(milk, salt_g, green_kg), made_of(milk, salt_g, green_kg, lost)
    assume(green is not None and now is not None)
    kg_now = green_kg * (1 - lost / 100)
    kg = {name: getattr(now, name) * kg_now / 100 for name in PARTS}
    assert min(kg.values()) >= 0
    # each by itself: of the fat 90 %, of the casein all but 0.1 % of the milk, of the salt 60 %
    assert kg["fat_pct"] == pytest.approx(0.9 * milk_kg * fat / 100)
    casein_kg = milk_kg * (CASEIN_OF_PROTEIN * protein - 0.1) / 100
    solids_kg = OTHER_SOLIDS * (kg["fat_pct"] + casein_kg)  # with minerals and solids of the whey
    assert kg_now - kg["moisture_pct"] - kg["salt_pct"] == pytest.approx(solids_kg)
    assert kg["salt_pct"] == pytest.approx(0.6 * salt_g / 1000)
    water = green.moisture_pct * green_kg / 100
    assert water - kg["moisture_pct"] == pytest.approx(green_kg - kg_now, abs=1e-9)


@pytest.mark.parametrize("added_pct", [2.5, 3.0])  # of the curd: cheddar's, as published
def test_a_published_cheddar_lies_in_the_range(added_pct):
    """Milk, yield and moisture: Thom & Fisk 1918, table XI (100 kg of 3.75 % fat and 2.4 % casein
    make 10.03 kg of 37 %). Salt, S/M, FDM and MNFS: University of Guelph, table 1.2, which is of
    other vats, so that what hangs on milk and moisture lies in the range of 95 in 100."""
    milk = Milk(100 / MILK_KG_PER_L, fat_pct=3.75, protein_pct=2.4 / CASEIN_OF_PROTEIN)
    found = made_of(milk, added_pct * 100.3, 10.03)
    assert found is not None
    for name, value in {"moisture_pct": 37.0, "salt_pct": 1.8, "s_m_pct": 4.905}.items():
        low, high = found.ranges_80[name]
        assert low <= value <= high, name
    for name, value in {"fdm_pct": 52.29, "mnfs_pct": 54.86}.items():
        low, high = found.ranges[name]
        assert low <= value <= high, name
    assert found.s_m_pct < 5.7  # all of the salt would make 6.6 to 8 %


def test_salt_that_nobody_said_and_milk_that_is_not_known():
    milk = Milk(10, fat_pct=3.75, protein_pct=3.2)
    unsaid = made_of(milk, None, 1.05)
    assert unsaid is not None
    assert unsaid.salt_pct == pytest.approx(1.0)
    assert made_of(Milk(10), 20, 1.05) is None
    assert made_of(Milk(10, fat_pct=6.5, animal="ewe"), 20, 1.05) is None
    assert made_of(milk, 20, 0.2) is None  # lighter than what it is made of
