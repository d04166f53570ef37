"""Loads on a press against the definitions of the units and the old rule of pressing."""

from __future__ import annotations

import pytest

from journal.reckoning.press import load_kg, round_area_cm2

PSI_KPA = 6.894757  # definition of the pound-force per square inch
LB_KG = 0.45359237  # definition of the avoirdupois pound


@pytest.mark.parametrize(
    ("psi", "mould_mm", "kgf"), [(14, 165, 210.5), (20, 150, 248.5), (14, 100, 77.3)]
)
def test_psi_on_a_round_mould(psi: float, mould_mm: float, kgf: float) -> None:
    # Worked from N = kPa × m² × 1000 and kgf = N / 9.80665, both by definition; 0.1 %.
    assert load_kg(psi * PSI_KPA, round_area_cm2(mould_mm)) == pytest.approx(kgf, rel=1e-3)


@pytest.mark.parametrize(("pounds", "kpa"), [(120, 10.5), (240, 21.1)])
def test_ten_to_twenty_times_its_own_weight(pounds: float, kpa: float) -> None:
    # Thom & Fisk 1918, The Book of Cheese: 10 to 20 times the weight of a 12 lb cheese, in a
    # mould 10 in at its widest; printed to the pound, the pressure here to 0.1 kPa.
    assert load_kg(kpa, round_area_cm2(254.0)) == pytest.approx(pounds * LB_KG, rel=5e-3)
