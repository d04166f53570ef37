"""Brine: four ways to say its strength kept apart, topping up, and how salt goes into a wheel."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from journal.message import Message
from journal.reckoning.bounds import (
    Floats,
    Numbers,
    above,
    at_least,
    each,
    outside,
    plain,
    require,
    within,
)

# Saturated at 60 °F, % w/w: a salt handbook, restated. Makers of hydrometers use 26.4 and 26.5 too.
SATURATED_PCT = 26.395
BAUME_MODULUS = 145.0
SALTING_PCT = (16.0, 25.0)  # University of Guelph
# For white cheese that is salted already: tried at 6.5 to 9.5 % (McMahon et al., J. Dairy Sci.
# 2009), 7 % advised after one day of dry salt (Pappas et al., J. Soc. Dairy Technol. 49, 1996).
KEEPING_PCT = (6.5, 9.5)
# Salt in a model gouda at 13 °C, m²/s: Dairy Sci. Technol. 90 (2010), table II.
GOUDA_M2_S = 2.3e-10
_DAY_S = 86_400.0
_TERMS = 200


@dataclass(frozen=True)
class BrineTable:
    """Published densities: % w/w ascending, kg/m³ at 20 °C, and kg/m³ lost for each °C above."""

    pct_w_w: Floats
    kg_m3_20c: Floats
    per_c: Floats

    def at(self, temp_c: float) -> tuple[Floats, Floats]:
        """The table at another temperature, from water to saturation."""
        dense = self.kg_m3_20c + self.per_c * (20 - temp_c)
        top = dense[-1] + (dense[-1] - dense[-2]) / (self.pct_w_w[-1] - self.pct_w_w[-2]) * (
            SATURATED_PCT - self.pct_w_w[-1]
        )
        return (
            np.concatenate(([0.0], self.pct_w_w, [SATURATED_PCT])),
            np.concatenate(([float(water_density_kg_m3(temp_c))], dense, [top])),
        )


def water_density_kg_m3(temp_c: Numbers) -> Numbers:
    """Density of pure water, kg/m³, 0 to 100 °C: the polynomial of Kell 1975 (from memory).

    Checked against the printed 999.10 at 15 °C and 998.21 at 20 °C.
    """
    within(temp_c, 0, 100, "reckoning.temperature-of-water", "°C")
    t = temp_c
    top = 999.83952 + t * (
        16.945176
        + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12)))
    )
    return top / (1 + 16.879850e-3 * t)


def brine_density_kg_m3(pct_w_w: Numbers, temp_c: Numbers, table: BrineTable) -> Numbers:
    """Density of a salt brine, kg/m³.

    Straight lines between the published strengths, 20 °C, and the table's own change with
    temperature. Source of the table: Poradnik fizykochemiczny, WNT Warsaw 1974. For 5 to 35 °C:
    within 0.5 kg/m³ of Rogers & Pitzer 1982 from 10 to 30 °C. The page also prints a column headed
    15 °C; it agrees with 10 °C by that source and by the table's own change with temperature, so
    it is left out.
    """
    _strength(pct_w_w)

    def one(pct: float, temp: float) -> float:
        return float(np.interp(pct, *table.at(temp)))

    return each(one, pct_w_w, temp_c)


def brine_pct_from_density(kg_m3: Numbers, temp_c: Numbers, table: BrineTable) -> Numbers:
    """Strength of a brine, % w/w, from its density: the reverse of `brine_density_kg_m3`."""

    def one(value: float, temp: float) -> float:
        pct, dense = table.at(temp)
        low, high = float(dense[0]) - 0.05, float(dense[-1]) + 0.05
        within(value, low, high, "reckoning.density-of-brine", "kg/m³")
        return float(np.interp(value, dense, pct))

    return each(one, kg_m3, temp_c)


def baume(kg_m3: Numbers, temp_c: Numbers) -> Numbers:
    """°Baumé of a density: 145 − 145/SG, SG against water of the same temperature.

    The US scale for liquids heavier than water; the scale of Gerlach uses 146.78. Exact.
    """
    above(kg_m3, 0, "reckoning.density", "kg/m³")
    return BAUME_MODULUS - BAUME_MODULUS * water_density_kg_m3(temp_c) / kg_m3


def kg_m3_from_baume(baume_deg: Numbers, temp_c: Numbers) -> Numbers:
    """The density of so many °Baumé, kg/m³: the reverse of `baume`."""
    within(baume_deg, 0, 70, "reckoning.strength", "°Bé")
    return BAUME_MODULUS * water_density_kg_m3(temp_c) / (BAUME_MODULUS - baume_deg)


def salometer_deg(pct_w_w: Numbers, saturated_pct: Numbers = SATURATED_PCT) -> Numbers:
    """Salometer: % of saturation, 100 at 26.395 % w/w (60 °F). A canning scale sets 100 = 25 %."""
    _strength(pct_w_w)
    return 100 * pct_w_w / saturated_pct


def pct_from_salometer(salometer: Numbers, saturated_pct: Numbers = SATURATED_PCT) -> Numbers:
    """% w/w from salometer degrees: the reverse of `salometer_deg`."""
    within(salometer, 0, 100, "reckoning.strength", "°S")
    return salometer * saturated_pct / 100


def g_per_kg_water(pct_w_w: Numbers) -> Numbers:
    """Salt for a kilogram of water, g: 1000 p / (100 − p). A 20 % brine takes 250 g. Exact."""
    _strength(pct_w_w)
    return 1000 * pct_w_w / (100 - pct_w_w)


def pct_from_g_per_kg_water(salt_g: Numbers) -> Numbers:
    """% w/w of a brine with so many g of salt in a kg of water. 200 g give 16.7 %. Exact."""
    at_least(salt_g, 0, "reckoning.salt", "g")
    return 100 * salt_g / (1000 + salt_g)


def top_up_salt_kg(brine_kg: Numbers, pct_now: Numbers, pct_wanted: Numbers) -> Numbers:
    """Salt that brings a used brine back to strength, kg: m (want − now) / (100 − want). Exact."""
    above(brine_kg, 0, "reckoning.brine", "kg")
    _strength(pct_now)
    _strength(pct_wanted)
    require(pct_wanted >= pct_now, "reckoning.brine-not-weakened")
    return brine_kg * (pct_wanted - pct_now) / (100 - pct_wanted)


def used_brine_pct(
    brine_kg: Numbers, pct_w_w: Numbers, salt_taken_kg: Numbers, whey_given_kg: Numbers
) -> Numbers:
    """Strength of a brine after a cheese took salt and gave off whey, % w/w. Exact balance.

    The whey counts as free of salt.
    """
    above(brine_kg, 0, "reckoning.brine", "kg")
    salt = brine_kg * pct_w_w / 100 - salt_taken_kg
    left = brine_kg - salt_taken_kg + whey_given_kg
    require((salt >= 0) & (left > 0), "reckoning.more-salt-than-brine")
    return 100 * salt / left


def m2_s_from_cm2_day(cm2_per_day: Numbers) -> Numbers:
    """A diffusion coefficient in m²/s from cm² a day. Exact: 0.23 cm²/day is 2.66e-10 m²/s."""
    return cm2_per_day * 1e-4 / _DAY_S


def diffusion_depth_mm(diffusion_m2_s: Numbers, hours: Numbers) -> Numbers:
    """How deep salt has gone, mm: √(D t). It grows with the root of the time, not with it."""
    above(diffusion_m2_s, 0, "reckoning.diffusion-coefficient", "m²/s")
    at_least(hours, 0, "reckoning.time", "h")
    return plain(1000 * np.sqrt(np.asarray(diffusion_m2_s) * hours * 3600))


def uptake_share(
    diffusion_m2_s: Numbers, hours: Numbers, diameter_mm: Numbers, height_mm: Numbers
) -> Numbers:
    """The share of all the salt a round wheel could take from a brine, 0 to 1.

    A wheel is a slab and a cylinder at once: 1 − (1 − slab)(1 − cylinder), with the series of
    Crank, The Mathematics of Diffusion, for a surface held at the strength of the brine. Water
    leaving, and a rind that closes, are not in it.
    """
    above(diffusion_m2_s, 0, "reckoning.diffusion-coefficient", "m²/s")
    at_least(hours, 0, "reckoning.time", "h")
    above(diameter_mm, 0, "reckoning.width-of-wheel", "mm")
    above(height_mm, 0, "reckoning.height-of-wheel", "mm")
    spread = np.asarray(diffusion_m2_s) * hours * 3600 * 1e6  # mm²
    slab = _slab_left(np.asarray(4 * spread / np.square(height_mm)))
    cylinder = _cylinder_left(np.asarray(4 * spread / np.square(diameter_mm)))
    return plain(1 - slab * cylinder)


def hours_for_share(
    diffusion_m2_s: float, share: float, diameter_mm: float, height_mm: float
) -> float:
    """Hours in a brine after which a round wheel has taken that share of all it could, 0 to 1.

    The reverse of `uptake_share`, found by halving.
    """
    within(share, 1e-6, 0.999, "reckoning.share-taken-up")
    low, high = 0.0, 1.0
    while uptake_share(diffusion_m2_s, high, diameter_mm, height_mm) < share:
        low, high = high, 2 * high
    for _ in range(50):
        middle = (low + high) / 2
        if uptake_share(diffusion_m2_s, middle, diameter_mm, height_mm) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def salt_after_brine_pct(moisture_pct: Numbers, pct_w_w: Numbers, share: Numbers) -> Numbers:
    """Salt of the cheese after the brine, %: its water's salt at full uptake × the share taken."""
    within(moisture_pct, 1, 99, "reckoning.moisture", "%")
    within(share, 0, 1, "reckoning.share-taken-up")
    return moisture_pct * g_per_kg_water(pct_w_w) / 1000 * share


def is_to_keep_in(pct_w_w: Numbers) -> bool:
    """A brine as white cheese is kept in after its dry salt; all, where several are given."""
    return not outside(pct_w_w, *KEEPING_PCT)


def brine_warnings(pct_w_w: Numbers, temp_c: Numbers) -> tuple[Message, ...]:
    """Where a brine lies outside what was published or what is used."""
    warnings: list[Message] = []
    if is_to_keep_in(pct_w_w):
        warnings.append(Message("reckoning.brine-to-keep-in"))
    elif outside(pct_w_w, *SALTING_PCT):
        warnings.append(Message("reckoning.brine-unusual"))
    if outside(temp_c, 10, 30):
        warnings.append(Message("reckoning.brine-density-unchecked"))
    return tuple(warnings)


def _slab_left(fourier: Floats) -> Floats:
    """What a slab still lacks, 0 to 1, at D t / (half its thickness)²."""
    odd = 2 * np.arange(_TERMS) + 1
    rates = (odd * np.pi / 2) ** 2
    terms = 8 / (odd * np.pi) ** 2 * np.exp(-rates * fourier[..., np.newaxis])
    short = 1 - 2 * np.sqrt(fourier / np.pi)
    return np.where(fourier < 1e-3, short, terms.sum(axis=-1))


def _cylinder_left(fourier: Floats) -> Floats:
    """What a long cylinder still lacks, 0 to 1, at D t / radius²."""
    roots = _roots()
    terms = 4 / roots**2 * np.exp(-(roots**2) * fourier[..., np.newaxis])
    short = 1 - 4 * np.sqrt(fourier / np.pi) + fourier
    return np.where(fourier < 1e-3, short, terms.sum(axis=-1))


@cache
def _roots() -> Floats:
    """The first zeros of the Bessel function J0: three as tabled, the others by McMahon's series
    (Abramowitz & Stegun 9.5.12), so that a plan is scaled without loading scipy."""
    first = (2.404825557695773, 5.520078110286311, 8.653727912911013)
    beta = (np.arange(len(first) + 1, _TERMS + 1) - 0.25) * np.pi
    b = 8 * beta
    later = beta + 1 / b - 124 / (3 * b**3) + 120_928 / (15 * b**5) - 401_743_168 / (105 * b**7)
    found: Floats = np.r_[first, later]
    return found


def _strength(pct_w_w: Numbers) -> None:
    within(pct_w_w, 0, SATURATED_PCT + 0.005, "reckoning.brine-strength", "%")
