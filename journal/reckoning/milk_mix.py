"""A mix of up to three milks from their labels: milk, cream or skim milk, and powder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import above, require, within
from journal.reckoning.brine import water_density_kg_m3

# Density of fat and of solids-not-fat, kg/L, the classical figures (from memory): they give the
# products of the University of Guelph's table at 20 °C within 0.002 (tests/outside).
FAT_KG_PER_L = 0.93
SNF_KG_PER_L = 1.608
# Thom & Fisk 1918, table I: milk sugar 4.8 % and ash 0.72 % of whole milk.
SUGAR_G_PER_100_ML = 4.8
ASH_G_PER_100_ML = 0.72
LABEL_C = 20.0


@dataclass(frozen=True)
class Part:
    """One part of a mix, % of its mass, and its density."""

    fat_pct: float
    protein_pct: float
    snf_pct: float
    kg_per_l: float


def density_of_parts(fat_pct: float, snf_pct: float, temp_c: float = LABEL_C) -> float:
    """Density of milk or cream from what it holds, kg/L: 1 / Σ (share / density of the share)."""
    within(fat_pct, 0, 100, "reckoning.fat", "%")
    within(snf_pct, 0, 100 - fat_pct, "reckoning.solids-not-fat", "%")
    water = float(water_density_kg_m3(temp_c)) / 1000
    shares = fat_pct / FAT_KG_PER_L + snf_pct / SNF_KG_PER_L + (100 - fat_pct - snf_pct) / water
    return 100 / shares


def part_of_label(fat_g: float, protein_g: float, sugar_g: float | None = None) -> Part:
    """A milk or cream from its label, g in 100 ml.

    Without sugar on the label it has milk's 4.8 g in what is not fat; ash is milk's 0.72 g in the
    same. What 100 ml weigh follows from the densities of fat, the other solids and water.
    """
    within(fat_g, 0, 85, "reckoning.fat-of-label", "g")
    within(protein_g, 0, 30, "reckoning.protein-of-label", "g")
    not_fat = 1 - fat_g / (100 * FAT_KG_PER_L)
    sugar = SUGAR_G_PER_100_ML * not_fat if sugar_g is None else sugar_g
    within(sugar, 0, 60, "reckoning.sugar-of-label", "g")
    snf = protein_g + sugar + ASH_G_PER_100_ML * not_fat
    water_ml = 100 - fat_g / FAT_KG_PER_L - snf / SNF_KG_PER_L
    require(water_ml > 0, "reckoning.label-too-full")
    grams = fat_g + snf + water_ml * float(water_density_kg_m3(LABEL_C)) / 1000
    fat, protein, rest = (100 * one / grams for one in (fat_g, protein_g, snf))
    return Part(fat, protein, rest, grams / 100)


def part_of_powder(fat_g: float, protein_g: float) -> Part:
    """A milk powder from its label, g in 100 g; dry but for 4 % of water (from memory)."""
    within(fat_g, 0, 60, "reckoning.fat-of-label", "g")
    within(protein_g, 0, 96 - fat_g, "reckoning.protein-of-label", "g")
    return Part(fat_g, protein_g, 96 - fat_g, density_of_parts(fat_g, 96 - fat_g))


def shares(
    parts: Sequence[Part], fat_pct: float | None = None, protein_pct: float | None = None
) -> list[float]:
    """The share of each part's mass in a mix of that fat and protein, each 0 to 1.

    A balance of mass, exact: as many wishes as parts but one. Method of the University of Guelph's
    standardizing problems, for two wishes at once.

    Raises
    ------
    ReckoningError
        When no mix of these parts is so.
    """
    rows, wanted = [[1.0] * len(parts)], [1.0]
    if fat_pct is not None:
        rows.append([part.fat_pct for part in parts])
        wanted.append(fat_pct)
    if protein_pct is not None:
        rows.append([part.protein_pct for part in parts])
        wanted.append(protein_pct)
    require(len(rows) == len(parts), "reckoning.mix-wishes", parts=len(parts))
    matrix = np.asarray(rows)
    require(abs(np.linalg.det(matrix)) > 1e-6, "reckoning.mix-alike")
    found = np.linalg.solve(matrix, np.asarray(wanted))
    require(bool(np.all(found > -1e-6)), "reckoning.mix-out-of-reach")
    return [max(float(one), 0.0) for one in found]


def mixed(parts: Sequence[Part], share: Sequence[float]) -> Part:
    """What the mix holds and weighs: means by mass, volumes added."""
    fat, protein, snf = (
        sum(s * value for s, value in zip(share, values, strict=True))
        for values in (
            [part.fat_pct for part in parts],
            [part.protein_pct for part in parts],
            [part.snf_pct for part in parts],
        )
    )
    litres = sum(s / part.kg_per_l for s, part in zip(share, parts, strict=True))
    above(litres, 0, "reckoning.milk")
    return Part(fat, protein, snf, 1 / litres)


def powder_warnings(powder_share: float) -> tuple[Message, ...]:
    """A mix with so much powder that whey and curd turn out otherwise."""
    if powder_share > 0.03:
        return (Message("reckoning.much-powder"),)
    return ()
