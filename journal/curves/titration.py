"""Titratable acidity beside pH: what pH of the curd an acidity stands for, and how surely."""

from __future__ import annotations

import numpy as np

from journal.records.traces import Floats

# Fresh milk in % lactic acid: cow 14 to 16 °D, goat 12 to 16, ewe 18 to 22 (two encyclopaedia
# pages agree); buffalo and mixed as cow, from memory. Fresh whey has less, because the casein has
# left (Mistry & Kosikowski 1985); by how much is from memory.
FRESH_PCT = {"cow": 0.15, "goat": 0.14, "sheep": 0.20, "buffalo": 0.15, "mixed": 0.15}
WHEY_SHARE = 0.72
FRESH_SPREAD_PCT = 0.02
FRESH_PH = 6.6
# Acid that has come for each unit of pH that the curd has fallen. Skim milk takes 0.48 % to pH 4.6
# (Mistry & Kosikowski 1985): 0.24; ripened for a camembert 0.05 % to pH 6.2 to 6.3 (University of
# Guelph): 0.14; whey of a cheddar 0.16 to 0.19 % at the drain and 0.45 to 0.65 % at the mill (Thom
# & Fisk 1918), where the curd is at 6.05 and 5.35 (Guelph): 0.12 and 0.35. They lie apart by some
# 40 % either way, and in one make all readings share the error.
PCT_PER_PH, PER_PH_SPREAD = 0.24, 0.4
BURETTE_PCT = 0.01  # how well a drop is read; from memory


def fresh_pct(animal: str, kind: str) -> float:
    """% lactic acid of fresh milk or of its whey, by kind of reading."""
    milk = FRESH_PCT.get(animal, FRESH_PCT["cow"])
    return milk * WHEY_SHARE if kind == "whey-acidity" else milk


def ph_of_acidity(pct: Floats | float, animal: str, kind: str) -> Floats:
    """The curd's pH that an acidity of milk or whey, % lactic acid, stands for (any shape)."""
    fallen = (np.asarray(pct, float) - fresh_pct(animal, kind)) / PCT_PER_PH
    out: Floats = FRESH_PH - fallen
    return out


def spread_ph(ph: Floats) -> Floats:
    """How far such pHs (n,) of one make may be off, each; the shared error of the whole relation
    is laid on each of them so that all together are no surer of it than one is."""
    own = np.hypot(FRESH_SPREAD_PCT, BURETTE_PCT) / PCT_PER_PH
    shared = PER_PH_SPREAD * np.maximum(FRESH_PH - ph, 0.0)
    out: Floats = np.sqrt(own**2 + len(ph) * shared**2)
    return out
