"""The truth of the Hollow Lane kitchen: what makes its cheese better, and by how much.

A wheel's score, before anyone tastes it, is

    CENTRE + sum of EFFECTS + sum of BENDS + a random effect of the make + one of the wheel,

and what an assessor writes down is that, plus the assessor's level as it drifts, the session's
mood and the moment's noise, rounded to halves. Makes that are alike in all of this differ by
chance with a standard deviation of half a point, as they do at home. Three effects are linear, in
points for a typical change:

- salt per kg of green curd: +0.42 for 2 g more (20 to 29 g/kg in this kitchen);
- age at tasting: +0.30 for 30 days more;
- cook rate (least-squares slope over the cook stage): −0.60 for 0.05 °C/min quicker.

One has its best value in the middle:

- curd pH when milling begins: best at 5.48, 0.55 less at 0.1 from there, four times that at 0.2.

Everything in NULLS varies too and has no effect on the overall score at all. The two plans
differ in nothing else than these variables. The other attributes follow the overall score
(flavour, odour, consistency) or a variable of their own (salt: salt per kg; acid: pH at milling;
bitter: rennet per litre and age); appearance follows nothing. All numbers are invented. The tests
use them; the window never shows them.
"""

from __future__ import annotations

from dataclasses import dataclass

CENTRE = 6.3
MAKE_SD, WHEEL_SD, SESSION_SD, SCORE_SD, ATTRIBUTE_SD = 0.50, 0.10, 0.12, 0.35, 0.45

ASSESSORS: dict[str, float] = {"Orla": 0.45, "Tam": -0.5, "Wen": 0.05}  # level now, to the mean
DRIFT_A_YEAR: dict[str, float] = {"Orla": 0.10, "Tam": -0.15, "Wen": 0.05}  # how it came there


@dataclass(frozen=True)
class Effect:
    """`points` for each `step` of a variable away from `middle`."""

    step: float
    points: float
    middle: float

    @property
    def slope(self) -> float:
        """Points for one unit of the variable."""
        return self.points / self.step

    def at(self, value: float) -> float:
        """Points at a value."""
        return self.slope * (value - self.middle)


@dataclass(frozen=True)
class Optimum:
    """`points` lost a `step` away from `best`, and four times that at two."""

    step: float
    points: float
    best: float

    def at(self, value: float) -> float:
        """Points at a value: 0 at the best."""
        return -self.points * ((value - self.best) / self.step) ** 2


EFFECTS: dict[str, Effect] = {
    "salt_g_per_kg": Effect(2.0, 0.42, 24.0),
    "age_days": Effect(30.0, 0.30, 150.0),
    "cook_rate": Effect(0.05, -0.6, 0.2),
}
GASSY_BELOW_MIN = 42.0  # curd milled so soon is sweet and poorly matted, and gas blows it up
OPTIMA: dict[str, Optimum] = {"mill_ph": Optimum(0.1, 0.55, 5.48)}
NULLS = (
    "ripening_min",
    "rennet_ml_per_l",
    "cut_mm",
    "cook_c",
    "drain_ph",
    "press_kpa",
    "room_humidity_pct",
    "milk_fat_pct",
)


@dataclass(frozen=True)
class Facts:
    """The variables of one make as they truly were."""

    washed: bool
    ripening_min: float
    rennet_ml_per_l: float
    cut_mm: float
    cook_rate: float
    cook_c: float
    drain_ph: float
    mill_ph: float
    salt_g_per_kg: float
    press_kpa: float
    room_humidity_pct: float
    milk_fat_pct: float
    matted_min: float = 100.0  # from the drain to the milling


def level_of(assessor: str, days_ago: float) -> float:
    """The assessor's level so many days before the present."""
    return ASSESSORS[assessor] - DRIFT_A_YEAR[assessor] * days_ago / 365.25


def quality(facts: Facts, age_days: float) -> float:
    """The score a wheel of that make deserves at that age, without random effects."""
    values = {**vars(facts), "age_days": age_days}
    lines = sum(effect.at(values[name]) for name, effect in EFFECTS.items())
    return CENTRE + lines + sum(optimum.at(values[name]) for name, optimum in OPTIMA.items())


def attributes(facts: Facts, age_days: float, overall: float) -> dict[str, float]:
    """What the other attributes deserve where the overall score is `overall`."""
    above = overall - CENTRE
    return {
        "appearance": 6.4,
        "odour": 6.1 + 0.6 * above,
        "flavour": 6.0 + 0.9 * above,
        "salt": 5.0 + 0.30 * (facts.salt_g_per_kg - 24.0),
        "acid": 5.0 - 9.0 * (facts.mill_ph - 5.5),
        "bitter": 1.6 + 22.0 * (facts.rennet_ml_per_l - 0.20) + 0.004 * (age_days - 150.0),
        "consistency": 6.2 + 0.6 * above,
    }


def defect_chances(facts: Facts, age_days: float, bitter: float) -> dict[tuple[str, str], float]:
    """How likely an assessor marks each defect (group and term of the defect table)."""
    return {
        ("flavour", "bitter"): 0.60 if bitter > 2.2 else 0.02,
        ("flavour", "acid"): 0.28 if facts.mill_ph < 5.36 else 0.02,
        ("flavour", "flat"): 0.22 if age_days < 80 else 0.02,
        ("flavour", "whey-taint"): 0.12 if facts.mill_ph > 5.62 else 0.01,
        ("body_texture", "curdy"): 0.25 if age_days < 80 else 0.01,
        ("body_texture", "crumbly"): 0.22 if facts.salt_g_per_kg > 27.5 else 0.03,
        ("body_texture", "pasty"): 0.14 if facts.salt_g_per_kg < 20.5 else 0.02,
        ("body_texture", "gassy"): 1.0 if facts.matted_min < GASSY_BELOW_MIN else 0.0,
        ("body_texture", "open"): 0.18 if facts.press_kpa < 12.0 else 0.03,
        ("finish", "checked rind"): 0.03,
        ("colour", "mottled"): 0.02,
    }
