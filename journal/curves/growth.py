"""How fast a culture works at a temperature: the cardinal temperature model with inflection."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from journal.curves import CurveError
from journal.records.traces import Floats


@dataclass(frozen=True)
class CultureType:
    """A type of culture: its cardinal temperatures in °C and its usual pace of acid.

    `middle_min` is how many minutes at its best temperature it takes to half of its fall in pH,
    `width_min` how drawn out that fall is (the logistic's scale). Both are the centre of a wide
    guess that the journal's own makes replace.
    """

    lowest_c: float
    best_c: float
    highest_c: float
    middle_min: float
    width_min: float


# Cardinal temperatures. Mesophilic: lowest and highest from memory; the best one is set so that
# the acid rate falls above about 35 °C, as lactococci slow from there (University College Cork
# authors, cheesescience.net) and many strains die above 40. Thermophilic: from memory; such
# cultures do not grow above about 52 (the same), and go on souring curd that cools, slowly, down to
# a cool kitchen. Mixed: published growth of three lactic species
# with lactococci and S. thermophilus in milk (Medveďová et al. 2019, Fermentation 5(1):2).
# Middles and widths: from memory, wide; the published anchors are a normal mesophilic culture at
# 37 °C (University of Guelph, Fig. 3.1) and the two makes of J. Milk Sci. Biotechnol. 35(2):85.
CULTURES: dict[str, CultureType] = {
    "mesophilic": CultureType(6.0, 34.0, 42.0, 230.0, 40.0),
    "thermophilic": CultureType(12.0, 42.0, 52.0, 180.0, 32.0),
    "mixed": CultureType(4.0, 38.3, 49.6, 220.0, 36.0),
}


def culture(name: str) -> CultureType:
    """The type of culture called `name`; CurveError with the list of those there are."""
    try:
        return CULTURES[name]
    except KeyError:
        raise CurveError("curves.no-culture-type", name=name, known=tuple(CULTURES)) from None


def ctmi(
    temp_c: npt.ArrayLike,
    lowest_c: float,
    best_c: float,
    highest_c: float,
    best_rate: float = 1.0,
) -> Floats:
    """Growth rate at a temperature by the cardinal temperature model with inflection.

    Parameters
    ----------
    temp_c : °C, any shape
    lowest_c, best_c, highest_c : no growth below or above, and the greatest in between; the best
        must lie nearer the highest than the lowest
    best_rate : the rate at the best temperature, whose unit the answer has

    Source: Rosso et al. 1993; the equation from memory, its limits checked.
    """
    if not lowest_c < best_c < highest_c or 2 * best_c <= lowest_c + highest_c:
        raise CurveError("curves.best-temperature")
    t = np.asarray(temp_c, dtype=float)
    inside = (t > lowest_c) & (t < highest_c)
    held = np.where(inside, t, best_c)
    reach = best_c - lowest_c
    below = reach * (
        reach * (held - best_c) - (best_c - highest_c) * (best_c + lowest_c - 2 * held)
    )
    rate: Floats = best_rate * (held - highest_c) * (held - lowest_c) ** 2 / below
    return np.where(inside, rate, 0.0)


def pace(temp_c: npt.ArrayLike, culture_type: str) -> Floats:
    """How fast a type of culture works at `temp_c` (any shape): 1 at its best, 0 outside."""
    kind = culture(culture_type)
    return ctmi(temp_c, kind.lowest_c, kind.best_c, kind.highest_c)
