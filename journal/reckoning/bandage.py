"""Cloth for a wheel: which pieces to cut, how much cloth and fat they take."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from journal.reckoning.bounds import Numbers, above, at_least, require, within

OVERLAP_MM = 20.0
# Melted lard or butter that one layer takes up (common practice, no source).
FAT_G_PER_CM2 = 0.05


@dataclass(frozen=True)
class ClothPiece:
    """Some pieces of one kind: how many, and their size in mm (a disc has a width alone)."""

    name: str
    count: int
    width_mm: float
    length_mm: float | None = None

    @property
    def area_cm2(self) -> float:
        """Cloth in all pieces of this kind, cm²."""
        if self.length_mm is None:
            return self.count * float(np.pi) * (self.width_mm / 20) ** 2
        return self.count * self.width_mm * self.length_mm / 100


def pieces(
    diameter_mm: float, height_mm: float, layers: int = 2, overlap_mm: float = OVERLAP_MM
) -> list[ClothPiece]:
    """The pieces for one round wheel: two discs and a strip a layer.

    A disc reaches the overlap down the side all round; the strip is as wide as the wheel is high
    and reaches round it with the overlap to spare. Common practice, no source; exact geometry.
    """
    above(diameter_mm, 0, "reckoning.width-of-wheel", "mm")
    above(height_mm, 0, "reckoning.height-of-wheel", "mm")
    at_least(overlap_mm, 0, "reckoning.overlap", "mm")
    within(layers, 1, 20, "reckoning.number-of-layers")
    require(layers == int(layers), "reckoning.layers-whole")
    require(overlap_mm <= height_mm, "reckoning.overlap-above-height")
    return [
        ClothPiece("disc", 2 * int(layers), diameter_mm + 2 * overlap_mm),
        ClothPiece("strip", int(layers), height_mm, float(np.pi) * diameter_mm + overlap_mm),
    ]


def cloth_area_cm2(cut: list[ClothPiece]) -> float:
    """Cloth in all pieces, cm²; cutting discs from a sheet wastes about a fifth more."""
    return sum(piece.area_cm2 for piece in cut)


def fat_g(area_cm2: Numbers, g_per_cm2: Numbers = FAT_G_PER_CM2) -> Numbers:
    """Fat to stick and seal so much cloth, g: about 0.05 g/cm² (common practice, no source)."""
    at_least(area_cm2, 0, "reckoning.cloth", "cm²")
    return area_cm2 * g_per_cm2
